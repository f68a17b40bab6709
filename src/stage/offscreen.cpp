#include <EGL/egl.h>
#include <EGL/eglext.h>

#include <string>

#include "stage/renderer.hpp"

namespace halfturn {
namespace {

Problem no_context(const std::string& what) {
  return Problem{"", "", "no picture can be drawn here: " + what + " (a Mesa EGL driver is needed)"};
}

void* load(const char* name) {
  return reinterpret_cast<void*>(eglGetProcAddress(name));  // NOLINT: EGL hands out all functions as one type
}

}  // namespace

Result<std::unique_ptr<OffscreenContext>> OffscreenContext::create() {
  const char* extensions = eglQueryString(EGL_NO_DISPLAY, EGL_EXTENSIONS);
  if (extensions == nullptr ||
      std::string(extensions).find("EGL_MESA_platform_surfaceless") == std::string::npos)
    return no_context("EGL has no surfaceless platform");
  const auto get_display = reinterpret_cast<PFNEGLGETPLATFORMDISPLAYEXTPROC>(
      eglGetProcAddress("eglGetPlatformDisplayEXT"));  // NOLINT
  if (get_display == nullptr) return no_context("EGL cannot open a surfaceless display");
  std::unique_ptr<OffscreenContext> offscreen(new OffscreenContext);
  const EGLDisplay display = get_display(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr);
  if (display == EGL_NO_DISPLAY || eglInitialize(display, nullptr, nullptr) == EGL_FALSE)
    return no_context("EGL does not start");
  offscreen->display_ = display;
  const EGLint config_wishes[] = {EGL_SURFACE_TYPE, EGL_PBUFFER_BIT, EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT,
                                  EGL_NONE};
  EGLConfig config = nullptr;
  EGLint found = 0;
  if (eglChooseConfig(display, config_wishes, &config, 1, &found) == EGL_FALSE || found == 0 ||
      eglBindAPI(EGL_OPENGL_API) == EGL_FALSE)
    return no_context("EGL offers no OpenGL");
  const EGLint context_wishes[] = {EGL_CONTEXT_MAJOR_VERSION,
                                   3,
                                   EGL_CONTEXT_MINOR_VERSION,
                                   3,
                                   EGL_CONTEXT_OPENGL_PROFILE_MASK,
                                   EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                                   EGL_NONE};
  const EGLContext context = eglCreateContext(display, config, EGL_NO_CONTEXT, context_wishes);
  if (context == EGL_NO_CONTEXT) return no_context("EGL gives no OpenGL 3.3 core context");
  offscreen->context_ = context;
  if (eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, context) == EGL_FALSE)
    return no_context("the context cannot be used without a surface");
  return offscreen;
}

OffscreenContext::~OffscreenContext() {
  if (display_ == nullptr) return;
  eglMakeCurrent(display_, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
  if (context_ != nullptr) eglDestroyContext(display_, context_);
  eglTerminate(display_);
}

Renderer::LoadFunction OffscreenContext::load_function() {
  return load;
}

}  // namespace halfturn
