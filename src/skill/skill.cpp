#include "skill/skill.hpp"

#include <algorithm>
#include <cctype>
#include <numeric>
#include <utility>

#include "base/expect.hpp"

namespace halfturn {
namespace {

std::string lower(std::string_view text) {
  std::string result(text);
  std::transform(result.begin(), result.end(), result.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return result;
}

/// Number of single-letter edits between two words (Levenshtein 1966).
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t swap = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      diagonal = std::exchange(row[j], std::min({row[j] + 1, row[j - 1] + 1, swap}));
    }
  }
  return row.back();
}

bool any_takeoff_like(const Skill& a, const Skill& b) {
  return a.rotation == b.rotation && a.kicks.empty() == b.kicks.empty() &&
         (a.discipline == "trampoline") == (b.discipline == "trampoline") &&
         (a.rotation == Rotation::upright || a.flip_toward_deg == b.flip_toward_deg);
}

/// A field of the rows blended at a twist; `get` gives it or nothing.
template <class Get>
double blended(const std::vector<FlightRow>& rows, double twist_deg, double fallback, Get get) {
  std::optional<double> below;
  double below_twist = 0;
  for (const FlightRow& row : rows) {
    const std::optional<double> value = get(row);
    if (!value) continue;
    if (row.twist_deg >= twist_deg) {
      if (!below || row.twist_deg == twist_deg) return *value;
      return *below + (*value - *below) * ((twist_deg - below_twist) / (row.twist_deg - below_twist));
    }
    below = value;
    below_twist = row.twist_deg;
  }
  return below.value_or(fallback);
}

}  // namespace

std::string_view word(Side side) {
  return side == Side::left ? "left" : "right";
}

std::string swap_sides(std::string_view text) {
  std::string result;
  result.reserve(text.size() + 4);
  for (std::size_t i = 0; i < text.size();) {
    const bool starts_word = i == 0 || std::isalpha(static_cast<unsigned char>(text[i - 1])) == 0;
    const auto is_word = [&](std::string_view word) {
      const std::size_t end = i + word.size();
      return starts_word && text.substr(i, word.size()) == word &&
             (end == text.size() || std::isalpha(static_cast<unsigned char>(text[end])) == 0);
    };
    if (is_word("left")) {
      result += "right";
      i += 4;
    } else if (is_word("right")) {
      result += "left";
      i += 5;
    } else {
      result += text[i++];
    }
  }
  return result;
}

const Skill* Vocabulary::find(std::string_view name) const {
  const std::string wanted = lower(name);
  for (const Skill& skill : skills) {
    if (lower(skill.name) == wanted) return &skill;
  }
  for (const Skill& skill : skills) {
    const auto same = [&](const std::string& alias) { return lower(alias) == wanted; };
    if (std::any_of(skill.aliases.begin(), skill.aliases.end(), same)) return &skill;
  }
  return nullptr;
}

std::vector<std::string> Vocabulary::near_matches(std::string_view name) const {
  const std::string wanted = lower(name);
  std::vector<std::pair<std::size_t, std::string>> ranked;
  for (const Skill& skill : skills) {
    std::size_t best = edit_distance(wanted, lower(skill.name));
    if (!wanted.empty() && lower(skill.name).find(wanted) != std::string::npos)
      best = std::min<std::size_t>(best, 1);
    for (const std::string& alias : skill.aliases) best = std::min(best, edit_distance(wanted, lower(alias)));
    ranked.emplace_back(best, skill.name);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> names;
  for (const auto& [distance, match] : ranked) {
    if (names.size() < 3 && distance <= std::max<std::size_t>(2, wanted.size() / 2)) names.push_back(match);
  }
  return names;
}

bool Vocabulary::accepts(const Skill& skill, std::string_view takeoff) {
  return skill.takeoff == takeoff || std::find(skill.also_takeoffs.begin(), skill.also_takeoffs.end(),
                                               takeoff) != skill.also_takeoffs.end();
}

const Skill* Vocabulary::with_takeoff(const Skill& skill, std::string_view takeoff) const {
  if (accepts(skill, takeoff)) return &skill;
  for (const Skill& candidate : skills) {
    if (candidate.takeoff == takeoff && any_takeoff_like(skill, candidate)) return &candidate;
  }
  for (const Skill& candidate : skills) {
    if (accepts(candidate, takeoff) && any_takeoff_like(skill, candidate)) return &candidate;
  }
  return nullptr;
}

FlightValues values_at(const Skill& skill, double twist_deg, bool early, std::string_view setup,
                       std::string_view surface) {
  const std::vector<FlightRow>& rows = skill.rows;
  const auto value = [&](double fallback, auto member) {
    return blended(rows, twist_deg, fallback, [member](const FlightRow& row) { return row.*member; });
  };
  const auto timed = [&](double fallback, auto member, auto early_member) {
    return blended(rows, twist_deg, fallback, [=](const FlightRow& row) {
      return early && row.*early_member ? row.*early_member : row.*member;
    });
  };
  const auto air_time = [&](auto member, auto variant_member) {
    return blended(rows, twist_deg, 0.0, [&](const FlightRow& row) {
      for (const AirTimes& variant : skill.air_times) {
        if (variant.twist_deg == row.twist_deg && (variant.setup.empty() || variant.setup == setup) &&
            (variant.surface.empty() || variant.surface == surface)) {
          return std::optional<double>(variant.*variant_member);
        }
      }
      return row.*member;
    });
  };
  FlightValues values;
  values.incline_deg = value(0, &FlightRow::incline_deg);
  values.lean_deg = value(0, &FlightRow::lean_deg);
  values.landing_lean_deg = value(0, &FlightRow::landing_lean_deg);
  values.takeoff_phase_deg = value(0, &FlightRow::takeoff_phase_deg);
  values.landing_phase_deg = value(0, &FlightRow::landing_phase_deg);
  values.twist_onset = timed(0, &FlightRow::twist_onset, &FlightRow::early_twist_onset);
  values.twist_end = timed(1, &FlightRow::twist_end, &FlightRow::early_twist_end);
  values.air_time_low_s = air_time(&FlightRow::air_time_low_s, &AirTimes::low_s);
  values.air_time_high_s = air_time(&FlightRow::air_time_high_s, &AirTimes::high_s);
  values.floor_turn_deg = value(0, &FlightRow::floor_turn_deg);
  values.foot_turn_deg = value(0, &FlightRow::foot_turn_deg);
  for (const FlightRow& row : rows) {
    if (row.landing_feet && (values.landing_feet.empty() || row.twist_deg <= twist_deg)) {
      values.landing_feet = *row.landing_feet;
    }
  }
  return values;
}

const SkillName* name_at(const Skill& skill, double twist_deg, bool early) {
  for (const SkillName& name : skill.names) {
    const bool fits = name.timing.empty() || name.timing == (early ? "early" : "late");
    if (name.twist_deg == twist_deg && fits) return &name;
  }
  return nullptr;
}

const KickRow& kick_at(const Skill& skill, double turn_deg) {
  HT_EXPECT(!skill.kicks.empty());
  const KickRow* found = &skill.kicks.front();
  for (const KickRow& row : skill.kicks) {
    if (row.turn_deg <= turn_deg) found = &row;
  }
  return *found;
}

}  // namespace halfturn
