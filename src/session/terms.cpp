#include "session/terms.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace halfturn {
namespace {

constexpr std::array all_terms{
    Term{"Adolph", "a front flip with three and a half twists"},
    Term{"aerial", "a flip over the side with no hands on the floor, off one leg"},
    Term{"air time", "from the last touch of the floor to the first touch of the landing"},
    Term{"angular momentum",
         "how much turning a takeoff gives; nothing in the air adds to it or takes from it"},
    Term{"Arabian", "a half twist right off the floor, then a front flip"},
    Term{"Barani", "a front flip with a half twist that lands seeing the floor"},
    Term{"blind",
         "the landing faces away from the way of travel: the floor comes into view late or not at all"},
    Term{"butterfly", "a flat spin of the whole body over the floor, from one leg to the other, chest down"},
    Term{"cheat", "a takeoff that steps and turns on the floor before it jumps"},
    Term{"contact twist", "twist that is begun while the feet still push on the floor"},
    Term{"corkscrew", "a gainer with a whole twist, off one leg"},
    Term{"double full", "a flip with two whole twists"},
    Term{"finish", "how a turn is ended: arms, opening, look; planned before the first try"},
    Term{"flip axis", "the line through the hips that the somersault goes round"},
    Term{"full", "a flip with one whole twist"},
    Term{"gainer", "a backward flip that travels forward, off one leg with the other swinging through"},
    Term{"gate", "what has to be landed, controlled and with something in hand, before the next rung"},
    Term{"half", "half a twist: the landing faces the other way"},
    Term{"heading", "the way the chest points, seen from above"},
    Term{"hurdle", "the skip from the run into the takeoff"},
    Term{"in hand", "landed with room to spare: it could have turned more, or landed lower"},
    Term{"layout", "the body long, hips open"},
    Term{"long axis", "the line from the head through the hips to the feet: a twist goes round it"},
    Term{"momentum", "short for angular momentum: the turning that the takeoff gave"},
    Term{"off-axis", "the flip leans over: head and feet do not pass straight above the hips"},
    Term{"on-axis", "the flip goes straight over, the twist round an upright body"},
    Term{"opening", "arms and body go wide: the turn slows down for the landing"},
    Term{"pike", "folded at the hips, legs straight"},
    Term{"quarter", "a quarter of a twist: the landing faces a side wall"},
    Term{"Randy", "a front flip with two and a half twists"},
    Term{"roundoff", "a run-up that turns half round over the hands, to jump backward"},
    Term{"Rudi", "a front flip with one and a half twists"},
    Term{"rung", "one step of the climb: a jump with a known start, landing and finish"},
    Term{"sees the floor", "the landing comes into view before the feet touch it"},
    Term{"set", "arms up and body tall as the feet leave the floor"},
    Term{"side on", "the landing faces across the way of travel"},
    Term{"somersault", "the turn head over heels"},
    Term{"spotter", "a trained person beside the landing who catches or slows a fall"},
    Term{"spread", "how much one athlete's jumps differ from try to try"},
    Term{"sprung floor", "a floor on springs under a carpet"},
    Term{"takeoff", "the last push of the feet on the floor"},
    Term{"tilt", "how far the long axis leans out of the plane of the flip: it is what keeps a twist going"},
    Term{"tuck", "knees to the chest"},
    Term{"twist", "the turn round the long axis of the body"},
    Term{"uprightness", "how far the body leans from the vertical as the feet touch down"},
    Term{"webster", "a forward flip off one leg, the other swinging up behind"},
    Term{"wrap", "arms drawn close to the chest: the twist goes faster"},
};

char low(char c) {
  return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

bool is_letter(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0;
}

/// Where a word stands in a text by itself; npos where it does not.
std::size_t place_of(std::string_view word, std::string_view text) {
  const auto same = [](char a, char b) { return low(a) == low(b); };
  for (auto from = text.begin();;) {
    const auto at = std::search(from, text.end(), word.begin(), word.end(), same);
    if (at == text.end()) return std::string_view::npos;
    const auto begin = static_cast<std::size_t>(at - text.begin());
    std::size_t end = begin + word.size();
    if (end < text.size() && low(text[end]) == 's') ++end;
    const bool alone =
        (begin == 0 || !is_letter(text[begin - 1])) && (end >= text.size() || !is_letter(text[end]));
    if (alone) return begin;
    from = at + 1;
  }
}

}  // namespace

std::span<const Term> terms() {
  return all_terms;
}

const Term* term_in(std::string_view text) {
  const Term* found = nullptr;
  std::size_t found_at = 0;
  for (const Term& term : all_terms) {
    const std::size_t at = place_of(term.word, text);
    if (at == std::string_view::npos) continue;
    const bool better = found == nullptr || term.word.size() > found->word.size() ||
                        (term.word.size() == found->word.size() && at < found_at);
    if (!better) continue;
    found = &term;
    found_at = at;
  }
  return found;
}

}  // namespace halfturn
