#include "cairo_font.hpp"

#include <cairo-ft.h>

#include <memory>

namespace halfturn {
namespace {

/// A font file opened by FreeType.
struct Face {
  FT_Library library = nullptr;
  FT_Face face = nullptr;
  Face() = default;
  Face(const Face&) = delete;
  Face& operator=(const Face&) = delete;
  ~Face() {
    if (face != nullptr) FT_Done_Face(face);
    if (library != nullptr) FT_Done_FreeType(library);
  }
  bool open(std::string_view file) {
    return FT_Init_FreeType(&library) == 0 &&
           FT_New_Memory_Face(library, reinterpret_cast<const FT_Byte*>(file.data()),
                              static_cast<FT_Long>(file.size()), 0, &face) == 0;
  }
};

}  // namespace

CairoFont open_font(std::string_view file) {
  auto face = std::make_unique<Face>();
  if (!face->open(file)) return {};
  const CairoFont opened{cairo_ft_font_face_create_for_ft_face(face->face, FT_LOAD_NO_HINTING), face->face};
  // Cairo keeps scaled fonts longer than any drawing: the face goes when Cairo lets go of it.
  static const cairo_user_data_key_t key{};
  const auto release = [](void* owned) { delete static_cast<Face*>(owned); };
  if (cairo_font_face_set_user_data(opened.font, &key, face.get(), release) == CAIRO_STATUS_SUCCESS)
    static_cast<void>(face.release());
  return opened;
}

}  // namespace halfturn
