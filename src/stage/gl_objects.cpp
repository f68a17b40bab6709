#include "gl_objects.hpp"

#include <cstring>
#include <string>

namespace halfturn {
namespace {

Result<GLuint> compile(GLenum kind, std::string_view name, std::string_view text) {
  const GLuint shader = glCreateShader(kind);
  // The files are written for OpenGL 3.3; a browser has the same language under another heading.
  constexpr std::string_view desktop = "#version 330 core\n";
  constexpr std::string_view browser =
      "#version 300 es\nprecision highp float;\nprecision highp int;\nprecision highp sampler2D;\n";
  const std::string_view heading = in_browser ? browser : desktop;
  if (text.starts_with(desktop)) text.remove_prefix(desktop.size());
  const char* const sources[] = {heading.data(), text.data()};
  const GLint lengths[] = {static_cast<GLint>(heading.size()), static_cast<GLint>(text.size())};
  glShaderSource(shader, 2, sources, lengths);
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

/// Colours of several samples for the framebuffer in use.
void make_samples(Target& target) {
#ifdef __EMSCRIPTEN__
  glGenRenderbuffers(1, &target.color);
  glBindRenderbuffer(GL_RENDERBUFFER, target.color);
  glRenderbufferStorageMultisample(GL_RENDERBUFFER, target.samples, GL_RGBA8, target.width, target.height);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, target.color);
#else
  constexpr GLenum kind = GL_TEXTURE_2D_MULTISAMPLE;
  glGenTextures(1, &target.texture);
  glBindTexture(kind, target.texture);
  glTexImage2DMultisample(kind, target.samples, GL_RGBA8, target.width, target.height, GL_TRUE);
  glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, kind, target.texture, 0);
#endif
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

StreamBuffer::~StreamBuffer() {
  for (const GLsync done : done_) glDeleteSync(done);
  glDeleteBuffers(1, &id_);
}

void StreamBuffer::make() {
  glGenBuffers(1, &id_);
}

#ifdef __EMSCRIPTEN__
std::size_t StreamBuffer::write(const void* data, std::size_t bytes, std::size_t) {
  // WebGL maps no buffers and looks after new content itself.
  glBindBuffer(GL_ARRAY_BUFFER, id_);
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(bytes), data, GL_STREAM_DRAW);
  return 0;
}
#else
std::size_t StreamBuffer::write(const void* data, std::size_t bytes, std::size_t stride) {
  glBindBuffer(GL_ARRAY_BUFFER, id_);
  // All drawing from the part written last has been asked for by now.
  if (part_bytes_ > 0) {
    glDeleteSync(done_[part_]);
    done_[part_] = glFenceSync(GL_SYNC_GPU_COMMANDS_COMPLETE, 0);
    part_ = (part_ + 1) % parts;
  }
  if (bytes > part_bytes_) {
    // Larger by half, so that a growing picture seldom needs a new buffer; the driver keeps the old one alive
    // for what is still drawn from it. A part begins at a whole vertex.
    part_bytes_ = (bytes + bytes / 2 + stride) / stride * stride;
    glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(parts * part_bytes_), nullptr, GL_STREAM_DRAW);
    for (GLsync& done : done_) {
      glDeleteSync(done);
      done = nullptr;
    }
  }
  const std::size_t offset = part_ * part_bytes_;
  if (bytes == 0) return offset;
  if (done_[part_] != nullptr) {
    constexpr GLuint64 second = 1'000'000'000;  // ns
    glClientWaitSync(done_[part_], GL_SYNC_FLUSH_COMMANDS_BIT, second);
  }
  void* place =
      glMapBufferRange(GL_ARRAY_BUFFER, static_cast<GLintptr>(offset), static_cast<GLsizeiptr>(bytes),
                       GL_MAP_WRITE_BIT | GL_MAP_UNSYNCHRONIZED_BIT | GL_MAP_INVALIDATE_RANGE_BIT);
  if (place != nullptr) {
    std::memcpy(place, data, bytes);
    glUnmapBuffer(GL_ARRAY_BUFFER);
  } else {
    glBufferSubData(GL_ARRAY_BUFFER, static_cast<GLintptr>(offset), static_cast<GLsizeiptr>(bytes), data);
  }
  return offset;
}
#endif

void clear_depth() {
#ifdef __EMSCRIPTEN__
  glClearDepthf(1);
#else
  glClearDepth(1);
#endif
  glClear(GL_DEPTH_BUFFER_BIT);
}

bool make_target(Target& target, int width, int height, int samples, bool with_depth) {
  delete_target(target);
  target.width = width;
  target.height = height;
  target.samples = samples;
  glGenFramebuffers(1, &target.framebuffer);
  glBindFramebuffer(GL_FRAMEBUFFER, target.framebuffer);
  if (samples > 0) {
    make_samples(target);
  } else {
    constexpr GLenum kind = GL_TEXTURE_2D;
    glGenTextures(1, &target.texture);
    glBindTexture(kind, target.texture);
    glTexImage2D(kind, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
    glTexParameteri(kind, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(kind, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    glTexParameteri(kind, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
    glTexParameteri(kind, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
    glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, kind, target.texture, 0);
  }
  if (with_depth) {
    glGenRenderbuffers(1, &target.depth);
    glBindRenderbuffer(GL_RENDERBUFFER, target.depth);
    glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, GL_DEPTH_COMPONENT24, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER, target.depth);
  }
  if (glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE) return true;
  delete_target(target);
  return false;
}

void delete_target(Target& target) {
  glDeleteFramebuffers(1, &target.framebuffer);
  glDeleteRenderbuffers(1, &target.color);
  glDeleteRenderbuffers(1, &target.depth);
  glDeleteTextures(1, &target.texture);
  target = {};
}

}  // namespace halfturn
