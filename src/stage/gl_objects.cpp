#include "gl_objects.hpp"

#include <string>

namespace halfturn {
namespace {

Result<GLuint> compile(GLenum kind, std::string_view name, std::string_view text) {
  const GLuint shader = glCreateShader(kind);
  const char* source = text.data();
  const auto length = static_cast<GLint>(text.size());
  glShaderSource(shader, 1, &source, &length);
  glCompileShader(shader);
  GLint done = 0;
  glGetShaderiv(shader, GL_COMPILE_STATUS, &done);
  if (done == 0) {
    char log[1024] = "";
    glGetShaderInfoLog(shader, sizeof log, nullptr, log);
    glDeleteShader(shader);
    return Problem{"", std::string(name),
                   std::string("this OpenGL driver does not compile a shader: ") + log};
  }
  return shader;
}

GLuint renderbuffer(int samples, GLenum format, int width, int height) {
  GLuint buffer = 0;
  glGenRenderbuffers(1, &buffer);
  glBindRenderbuffer(GL_RENDERBUFFER, buffer);
  if (samples > 1) {
    glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, format, width, height);
  } else {
    glRenderbufferStorage(GL_RENDERBUFFER, format, width, height);
  }
  return buffer;
}

bool complete() {
  return glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
}

}  // namespace

Result<GLuint> make_program(std::string_view name, std::string_view vertex, std::string_view fragment) {
  const Result<GLuint> v = compile(GL_VERTEX_SHADER, name, vertex);
  if (!v) return v.problem();
  const Result<GLuint> f = compile(GL_FRAGMENT_SHADER, name, fragment);
  if (!f) {
    glDeleteShader(*v);
    return f.problem();
  }
  const GLuint program = glCreateProgram();
  glAttachShader(program, *v);
  glAttachShader(program, *f);
  glLinkProgram(program);
  glDeleteShader(*v);
  glDeleteShader(*f);
  GLint done = 0;
  glGetProgramiv(program, GL_LINK_STATUS, &done);
  if (done == 0) {
    char log[1024] = "";
    glGetProgramInfoLog(program, sizeof log, nullptr, log);
    glDeleteProgram(program);
    return Problem{"", std::string(name), std::string("this OpenGL driver does not link a shader: ") + log};
  }
  return program;
}

bool resize_target(Target& target, int width, int height, int samples) {
  if (target.width == width && target.height == height && target.samples == samples) return true;
  delete_target(target);
  target.width = width;
  target.height = height;
  target.samples = samples;
  glGenTextures(1, &target.texture);
  glBindTexture(GL_TEXTURE_2D, target.texture);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  glGenFramebuffers(1, &target.single);
  glBindFramebuffer(GL_FRAMEBUFFER, target.single);
  glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, target.texture, 0);
  if (samples <= 1) {
    target.depth = renderbuffer(1, GL_DEPTH_COMPONENT24, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER, target.depth);
  }
  bool good = complete();
  if (samples > 1) {
    glGenFramebuffers(1, &target.many);
    glBindFramebuffer(GL_FRAMEBUFFER, target.many);
    target.many_color = renderbuffer(samples, GL_RGBA8, width, height);
    target.many_depth = renderbuffer(samples, GL_DEPTH_COMPONENT24, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, target.many_color);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER, target.many_depth);
    good = good && complete();
  }
  glGenFramebuffers(1, &target.still);
  glBindFramebuffer(GL_FRAMEBUFFER, target.still);
  target.still_color = renderbuffer(samples, GL_RGBA8, width, height);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, target.still_color);
  good = good && complete();
  if (!good) delete_target(target);
  return good;
}

void delete_target(Target& target) {
  const GLuint framebuffers[] = {target.many, target.single, target.still};
  const GLuint renderbuffers[] = {target.many_color, target.many_depth, target.depth, target.still_color};
  glDeleteFramebuffers(3, framebuffers);
  glDeleteRenderbuffers(4, renderbuffers);
  glDeleteTextures(1, &target.texture);
  target = {};
}

}  // namespace halfturn
