#pragma once

// OpenGL 3.3 core on a desktop; in a browser OpenGL ES 3.0, as WebGL 2 has it.
#ifdef __EMSCRIPTEN__
#include <GLES3/gl3.h>
#else
#include <glad/gl.h>
#endif

namespace halfturn {

#ifdef __EMSCRIPTEN__
inline constexpr bool in_browser = true;
#else
inline constexpr bool in_browser = false;
#endif

}  // namespace halfturn
