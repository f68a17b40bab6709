#include "skill/stance.hpp"

#include <fmt/format.h>

#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// The lead stances come first, so that a tie goes to them.
struct NamedStance {
  const char* name;
  double mark_from_chest_deg;
  const char* feet;
};
constexpr NamedStance stances[] = {
    {"left lead", 90, "left ahead"},
    {"right lead", -90, "right ahead"},
    {"square", 0, "side by side"},
    {"back", 180, "side by side"},
};

struct Nearest {
  const NamedStance* stance;
  double turned_left_deg;  ///< how far the chest is turned to the left of the named stance
};

Nearest nearest(double heading_deg, double mark_deg) {
  const double mark_from_chest = wrap_deg(mark_deg - heading_deg);
  Nearest best{nullptr, 0};
  for (const NamedStance& stance : stances) {
    const double off = wrap_deg(stance.mark_from_chest_deg - mark_from_chest);
    if (best.stance == nullptr || std::abs(off) < std::abs(best.turned_left_deg)) best = {&stance, off};
  }
  return best;
}

}  // namespace

std::string stance_at(double heading_deg, double mark_deg) {
  const auto [stance, off] = nearest(heading_deg, mark_deg);
  if (off == 0) return stance->name;
  return fmt::format("{} {} {}", stance->name, off > 0 ? "+" : "-", degrees_text(off));
}

std::string feet_of_stance(double heading_deg, double mark_deg) {
  return nearest(heading_deg, mark_deg).stance->feet;
}

std::string landing_kind(double flip_toward_deg, double twist_deg) {
  const double off = std::abs(wrap_deg(flip_toward_deg - twist_deg));
  if (off >= 135) return "sees floor";
  return off <= 45 ? "blind" : "side on";
}

std::string facing_words(double heading_deg, const Walls& walls) {
  const double wrapped = wrap_deg(heading_deg);
  const double quarter = std::round(wrapped / 90.0);
  const double off = wrap_deg(wrapped - 90.0 * quarter);
  const int index = (static_cast<int>(quarter) + 4) % 4;
  const std::string* names[] = {&walls.front, &walls.left, &walls.back, &walls.right};
  if (off == 0) return *names[index];
  return fmt::format("{}, {} {} of it", *names[index], degrees_text(off), off > 0 ? "left" : "right");
}

std::string degrees_text(double angle_deg) {
  const double amount = std::abs(angle_deg);
  // Whole degrees are by far the most frequent, and much faster to write.
  if (amount < 1e6 && amount == std::floor(amount)) return fmt::format_int(static_cast<int>(amount)).str();
  return fmt::format("{:.6g}", amount);
}

std::string turn_words(double turn_deg) {
  const double amount = std::abs(turn_deg);
  const double quarters = amount / 90.0;
  if (quarters != std::floor(quarters)) return degrees_text(amount) + " degrees";
  const int whole = static_cast<int>(quarters) / 4;
  static const char* const parts[] = {"", "quarter", "half", "three quarters"};
  const char* part = parts[static_cast<int>(quarters) % 4];
  if (whole == 0) return amount == 0 ? "no turn" : part;
  static const char* const counts[] = {"", "full turn", "two full turns", "three full turns",
                                       "four full turns"};
  std::string turns = whole <= 4 ? counts[whole] : fmt::format("{} full turns", whole);
  if (*part == '\0') return turns;
  return fmt::format("{} and {}{}", turns, *part == 't' ? "" : "a ", part);
}

bool on_one_foot(const std::string& feet) {
  return feet == "left" || feet == "right";
}

std::string landing_feet_words(const std::string& feet) {
  if (feet == "both") return "on two feet";
  if (feet == "bed") return "on the bed";
  const std::size_t comma = feet.find(", ");
  if (comma != std::string::npos)
    return fmt::format("{} foot, then {}", feet.substr(0, comma), feet.substr(comma + 2));
  return fmt::format("on the {} foot", feet);
}

}  // namespace halfturn
