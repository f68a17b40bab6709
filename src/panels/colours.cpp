#include "panels/colours.hpp"

namespace halfturn {
namespace {

constexpr Colours light{.air = {0xF6F3EC},
                        .floor = {0xF3EFE6},
                        .mat = {0xFBF9F4},
                        .plate = {0xFFFFFF},
                        .ink = {0x1B2430},
                        .dim = {0x515B67},
                        .edge = {0x8A8375},
                        .hair = {0xBFB8A9},
                        .selected = {0x1B2430},
                        .on_selected = {0xFFFFFF},
                        .front = {0xF0E442},
                        .left = {0x0072B2},
                        .on_left = {0xFFFFFF},
                        .right = {0xD55E00},
                        .on_right = {0x000000},
                        .passed = {0x009E73},
                        .on_passed = {0x000000},
                        .mark = {0xCC79A7},
                        .body = {0x49525E},
                        .head = {0x6A7480},
                        .line = {0x1B2430},
                        .line_factor = 1};

constexpr Colours dark{.air = {0x12171E},
                       .floor = {0x171D25},
                       .mat = {0x222B36},
                       .plate = {0x1D252F},
                       .ink = {0xF4F1EA},
                       .dim = {0xA9B3BF},
                       .edge = {0x748292},
                       .hair = {0x465261},
                       .selected = {0xF4F1EA},
                       .on_selected = {0x12171E},
                       .front = {0xF0E442},
                       .left = {0x56B4E9},
                       .on_left = {0x0B0F14},
                       .right = {0xE69F00},
                       .on_right = {0x0B0F14},
                       .passed = {0x009E73},
                       .on_passed = {0x000000},
                       .mark = {0xCC79A7},
                       .body = {0x49525E},
                       .head = {0x6A7480},
                       .line = {0x0B0F14},
                       .line_factor = 1};

constexpr Colours sunlight{.air = {0xFFFFFF},
                           .floor = {0xFFFFFF},
                           .mat = {0xFFFFFF},
                           .plate = {0xFFFFFF},
                           .ink = {0x000000},
                           .dim = {0x000000},
                           .edge = {0x5C5C5C},
                           .hair = {0x767676},
                           .selected = {0x000000},
                           .on_selected = {0xFFFFFF},
                           .front = {0xF0E442},
                           .left = {0x0072B2},
                           .on_left = {0xFFFFFF},
                           .right = {0xD55E00},
                           .on_right = {0x000000},
                           .passed = {0x009E73},
                           .on_passed = {0x000000},
                           .mark = {0xCC79A7},
                           .body = {0x1C1C1C},
                           .head = {0x3A3A3A},
                           .line = {0x000000},
                           .line_factor = 1.6};

}  // namespace

const Colours& colours_of(Theme theme) {
  return theme == Theme::light ? light : theme == Theme::dark ? dark : sunlight;
}

}  // namespace halfturn
