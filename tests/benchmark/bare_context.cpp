// The least that a program with OpenGL 3.3 can do: open a context, clear, show. start_time.py takes its time
// off.
//
//   bin/bare_context window | surfaceless
#include <EGL/egl.h>
#include <EGL/eglext.h>

#define GLFW_INCLUDE_NONE
#include <GL/gl.h>
#include <GLFW/glfw3.h>

#include <string_view>

namespace {

int window() {
  if (glfwInit() == GLFW_FALSE) return 3;
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  GLFWwindow* const bare = glfwCreateWindow(1280, 800, "bare", nullptr, nullptr);
  if (bare == nullptr) return 3;
  glfwMakeContextCurrent(bare);
  glfwSwapInterval(1);
  glClear(GL_COLOR_BUFFER_BIT);
  glfwSwapBuffers(bare);
  glfwTerminate();
  return 0;
}

int surfaceless() {
  EGLDisplay display = eglGetPlatformDisplay(EGL_PLATFORM_SURFACELESS_MESA, nullptr, nullptr);
  if (eglInitialize(display, nullptr, nullptr) == EGL_FALSE || eglBindAPI(EGL_OPENGL_API) == EGL_FALSE)
    return 3;
  const EGLint wanted[] = {EGL_CONTEXT_MAJOR_VERSION, 3, EGL_CONTEXT_MINOR_VERSION, 3, EGL_NONE};
  EGLContext context = eglCreateContext(display, EGL_NO_CONFIG_KHR, EGL_NO_CONTEXT, wanted);
  if (eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, context) == EGL_FALSE) return 3;
  glFinish();
  eglTerminate(display);
  return 0;
}

}  // namespace

int main(int count, char** words) {
  return count > 1 && std::string_view(words[1]) == "surfaceless" ? surfaceless() : window();
}
