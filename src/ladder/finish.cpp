#include "ladder/finish.hpp"

#include <fmt/format.h>

#include "finish_facts.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

std::string source_words(const Flight& flight, std::string_view whose) {
  if (flight.provenance() == Provenance::drawn) {
    return fmt::format(
        "Read from the drawn flight, {:.2f} s long: the usual order, not this athlete's own moments.",
        flight.duration());
  }
  return fmt::format("Read from a {} flight of {}, {:.2f} s long: the moments are estimates.",
                     provenance_word(flight.provenance()), whose, flight.duration());
}

}  // namespace

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

FinishPlan finish_plan(const Ladder& ladder, std::size_t rung, const Flight& flight,
                       const std::vector<SightSpan>& sight, std::string_view whose) {
  const FinishFacts facts(ladder, rung, flight);
  FinishPlan plan;
  plan.lines = finish_in_air(facts, sight);
  for (FinishLine& line : finish_after(facts)) plan.lines.push_back(std::move(line));
  plan.floor_seen = sight;
  plan.source = source_words(flight, whose);
  return plan;
}

double carry_deg(const Rung& rung) {
  return wrap_deg(rung.flip_toward_deg - rung.twist_deg);
}

}  // namespace halfturn
