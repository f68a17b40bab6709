// Contrast by the formula of WCAG 2.1 (relative luminance of sRGB): text at least 4.5, shapes at least 3.
#include <doctest/doctest.h>

#include <cmath>

#include "scene/palette.hpp"

using namespace halfturn;

namespace {

double luminance(Color c) {
  const auto linear = [](double v) { return v <= 0.03928 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); };
  return 0.2126 * linear(c.r / 255.0) + 0.7152 * linear(c.g / 255.0) + 0.0722 * linear(c.b / 255.0);
}

double contrast(Color a, Color b) {
  const double x = luminance(a), y = luminance(b);
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

}  // namespace

TEST_CASE("text can be read on everything it stands on, in every theme") {
  for (const Theme theme : {Theme::light, Theme::dark, Theme::sunlight}) {
    const Palette& p = palette_of(theme);
    CAPTURE(static_cast<int>(theme));
    for (const Color ground : {p.air, p.wall, p.wall2, p.floor, p.mat, p.plate}) {
      CHECK(contrast(p.ink, ground) >= 4.5);
      CHECK(contrast(p.dim, ground) >= 4.5);
    }
    CHECK(contrast(p.on_selected, p.selected) >= 4.5);
    CHECK(contrast(p.on_front, p.front) >= 4.5);
    CHECK(contrast(p.on_left, p.left) >= 4.5);
    CHECK(contrast(p.on_right, p.right) >= 4.5);
    CHECK(contrast(p.on_passed, p.passed) >= 4.5);
    CHECK(contrast(p.front, p.body) >= 3);
    CHECK(contrast(p.halo, p.body) >= 3);
    CHECK(contrast(p.passed, p.air) >= 3);
    CHECK(contrast(p.edge, p.air) >= 3);
  }
}

TEST_CASE("data colours are of the Okabe-Ito set") {
  // Okabe and Ito 2008, Color Universal Design: the eight colours as printed there, sRGB.
  const Color set[] = {rgb(0x000000), rgb(0xE69F00), rgb(0x56B4E9), rgb(0x009E73),
                       rgb(0xF0E442), rgb(0x0072B2), rgb(0xD55E00), rgb(0xCC79A7)};
  for (const Theme theme : {Theme::light, Theme::dark, Theme::sunlight}) {
    const Palette& p = palette_of(theme);
    for (const Color color : {p.front, p.left, p.right, p.passed, p.mark, p.missed, p.crashed}) {
      bool found = false;
      for (const Color one : set) found = found || one == color;
      CHECK(found);
    }
  }
}
