#include "scene/palette.hpp"

namespace halfturn {
namespace {

constexpr Palette light{.air = rgb(0xF6F3EC),
                        .wall = rgb(0xECE7DC),
                        .wall2 = rgb(0xE4DED1),
                        .floor = rgb(0xF3EFE6),
                        .mat = rgb(0xFBF9F4),
                        .plate = rgb(0xFFFFFF),
                        .ink = rgb(0x1B2430),
                        .dim = rgb(0x515B67),
                        .edge = rgb(0x8A8375),
                        .hair = rgb(0xBFB8A9),
                        .selected = rgb(0x1B2430),
                        .on_selected = rgb(0xFFFFFF),
                        .front = rgb(0xF0E442),
                        .on_front = rgb(0x1B2430),
                        .left = rgb(0x0072B2),
                        .on_left = rgb(0xFFFFFF),
                        .right = rgb(0xD55E00),
                        .on_right = rgb(0x000000),
                        .passed = rgb(0x009E73),
                        .on_passed = rgb(0x000000),
                        .mark = rgb(0xCC79A7),
                        .missed = rgb(0xE69F00),
                        .crashed = rgb(0xD55E00),
                        .body = rgb(0x49525E),
                        .head = rgb(0x6A7480),
                        .companions = {rgb(0xCC79A7), rgb(0x009E73), rgb(0x56B4E9)},
                        .halo = rgb(0xFBF9F4),
                        .ghost = rgb(0x8D939A),
                        .line = rgb(0x1B2430),
                        .shadow = rgb(0x1B2430),
                        .beam_opacity = 0.55,
                        .halo_px = 5,
                        .line_factor = 1};

constexpr Palette dark{.air = rgb(0x12171E),
                       .wall = rgb(0x1A212A),
                       .wall2 = rgb(0x202833),
                       .floor = rgb(0x171D25),
                       .mat = rgb(0x222B36),
                       .plate = rgb(0x1D252F),
                       .ink = rgb(0xF4F1EA),
                       .dim = rgb(0xA9B3BF),
                       .edge = rgb(0x748292),
                       .hair = rgb(0x465261),
                       .selected = rgb(0xF4F1EA),
                       .on_selected = rgb(0x12171E),
                       .front = rgb(0xF0E442),
                       .on_front = rgb(0x0B0F14),
                       .left = rgb(0x56B4E9),
                       .on_left = rgb(0x0B0F14),
                       .right = rgb(0xE69F00),
                       .on_right = rgb(0x0B0F14),
                       .passed = rgb(0x009E73),
                       .on_passed = rgb(0x000000),
                       .mark = rgb(0xCC79A7),
                       .missed = rgb(0xE69F00),
                       .crashed = rgb(0xD55E00),
                       .body = rgb(0x49525E),
                       .head = rgb(0x6A7480),
                       .companions = {rgb(0xCC79A7), rgb(0x009E73), rgb(0x0072B2)},
                       .halo = rgb(0xF4F1EA),
                       .ghost = rgb(0x8793A0),
                       .line = rgb(0x0B0F14),
                       .shadow = rgb(0x000000),
                       .beam_opacity = 0.66,
                       .halo_px = 3.2,
                       .line_factor = 1};

constexpr Palette sunlight{.air = rgb(0xFFFFFF),
                           .wall = rgb(0xFFFFFF),
                           .wall2 = rgb(0xFFFFFF),
                           .floor = rgb(0xFFFFFF),
                           .mat = rgb(0xFFFFFF),
                           .plate = rgb(0xFFFFFF),
                           .ink = rgb(0x000000),
                           .dim = rgb(0x000000),
                           .edge = rgb(0x5C5C5C),
                           .hair = rgb(0x767676),
                           .selected = rgb(0x000000),
                           .on_selected = rgb(0xFFFFFF),
                           .front = rgb(0xF0E442),
                           .on_front = rgb(0x000000),
                           .left = rgb(0x0072B2),
                           .on_left = rgb(0xFFFFFF),
                           .right = rgb(0xD55E00),
                           .on_right = rgb(0x000000),
                           .passed = rgb(0x009E73),
                           .on_passed = rgb(0x000000),
                           .mark = rgb(0xCC79A7),
                           .missed = rgb(0xE69F00),
                           .crashed = rgb(0xD55E00),
                           .body = rgb(0x1C1C1C),
                           .head = rgb(0x3A3A3A),
                           .companions = {rgb(0xCC79A7), rgb(0x009E73), rgb(0x56B4E9)},
                           .halo = rgb(0xFFFFFF),
                           .ghost = rgb(0x5A5A5A),
                           .line = rgb(0x000000),
                           .shadow = rgb(0x000000),
                           .beam_opacity = 1,
                           .halo_px = 5,
                           .line_factor = 1.6};

}  // namespace

const Palette& palette_of(Theme theme) {
  switch (theme) {
    case Theme::dark:
      return dark;
    case Theme::sunlight:
      return sunlight;
    case Theme::light:
      break;
  }
  return light;
}

}  // namespace halfturn
