#include <array>

#include "composer.hpp"

namespace halfturn {
namespace {

/// Advance widths of the characters 32 to 126 in thousandths of the font size, read from the horizontal
/// metrics of Inter 3.19 (SIL Open Font License) Medium, Bold and ExtraBold.
constexpr std::array<std::array<short, 95>, 3> advances{{
    {265, 294, 400, 637, 643, 828, 651, 217, 378, 378, 522, 666, 288, 463, 283, 368, 646, 473, 613,
     644, 654, 620, 636, 579, 631, 636, 283, 288, 666, 666, 666, 526, 968, 700, 654, 735, 722, 603,
     586, 749, 742, 270, 552, 664, 564, 898, 747, 768, 639, 768, 645, 643, 651, 738, 700, 978, 666,
     685, 639, 378, 368, 378, 475, 460, 497, 569, 626, 568, 626, 587, 369, 617, 602, 249, 249, 556,
     249, 884, 597, 602, 617, 617, 384, 536, 372, 594, 566, 825, 551, 566, 551, 378, 342, 378, 666},
    {232, 325, 392, 650, 655, 859, 674, 209, 409, 409, 565, 680, 303, 469,  298, 390, 688, 489,  630,
     659, 678, 645, 660, 595, 661, 660, 298, 303, 680, 680, 680, 563, 1031, 748, 661, 752, 727,  613,
     585, 761, 746, 281, 570, 690, 567, 915, 735, 782, 648, 783, 656, 655,  668, 729, 748, 1036, 714,
     724, 667, 409, 390, 409, 488, 477, 497, 580, 635, 587, 635, 598, 386,  633, 624, 272, 272,  582,
     272, 912, 622, 614, 632, 632, 409, 562, 388, 622, 586, 850, 574, 586,  572, 409, 374, 409,  680},
    {215, 340, 388, 656, 661, 875, 686, 205, 425, 425, 586, 686, 310, 472,  305, 401, 709, 498,  638,
     667, 690, 657, 673, 603, 675, 673, 305, 310, 686, 686, 686, 581, 1062, 772, 664, 760, 730,  617,
     585, 767, 748, 286, 579, 702, 569, 923, 729, 789, 652, 790, 662, 661,  677, 725, 772, 1065, 739,
     744, 681, 425, 401, 425, 494, 485, 497, 586, 640, 597, 640, 603, 394,  641, 635, 284, 284,  594,
     284, 926, 634, 619, 640, 640, 421, 575, 397, 636, 596, 863, 585, 596,  582, 425, 389, 425,  686},
}};
constexpr int other_advance = 640;  // about a capital

}  // namespace

double text_width_em(std::string_view text, Weight weight) {
  const auto& row = advances[static_cast<std::size_t>(weight)];
  int width = 0;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 32 && byte < 127) {
      width += row[byte - 32U];
    } else if (byte >= 0xC0 || byte < 0x80) {
      width += other_advance;  // one for each code point outside ASCII: the bytes that follow count nothing
    }
  }
  return width / 1000.0;
}

}  // namespace halfturn
