#include "ladder/finish.hpp"

namespace halfturn {

std::string_view finish_part_word(FinishPart part) {
  switch (part) {
    case FinishPart::in_the_air:
      return "in the air";
    case FinishPart::on_the_feet:
      return "on the feet";
    case FinishPart::short_turn:
      return "if it is short";
    case FinishPart::long_turn:
      return "if it is long";
    case FinishPart::way_out:
      return "the way out";
    case FinishPart::mats:
      return "mats and spotter";
  }
  return "";
}

}  // namespace halfturn
