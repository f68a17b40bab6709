#include <string>

#include "gl.hpp"
#include "stage/renderer.hpp"

namespace halfturn {

Result<std::unique_ptr<Renderer>> Renderer::create(LoadFunction load, const StageFonts& fonts) {
  const int version =
      gladLoadGL(reinterpret_cast<GLADloadfunc>(load));  // NOLINT: the loader's own function type
  if (version < GLAD_MAKE_VERSION(3, 3)) {
    return Problem{"", "",
                   "OpenGL 3.3 is needed; this driver offers " +
                       (version == 0 ? std::string("none")
                                     : std::to_string(GLAD_VERSION_MAJOR(version)) + "." +
                                           std::to_string(GLAD_VERSION_MINOR(version)))};
  }
  Result<std::unique_ptr<LetterSet>> letters = freetype_letters(fonts);
  if (!letters) return letters.problem();
  return create(std::move(letters).value());
}

}  // namespace halfturn
