// Header names of records: any sensible spelling of time, quaternion, gyroscope, accelerometer and path.
#include "recording_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <set>

#include "flight/simulated.hpp"

namespace halfturn {
namespace {

char lower(char c) {
  return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}
bool is_letter_or_digit(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0;
}
bool is_upper(char c) {
  return std::isupper(static_cast<unsigned char>(c)) != 0;
}

/// Words of a name: cut at everything that is no letter or digit and before a capital after a small letter.
std::vector<std::string> words_of(std::string_view raw) {
  // The superscript two, the degree sign and the two letters mu of UTF-8.
  std::string name(raw);
  for (const auto& [sign, plain] : {std::pair<std::string_view, std::string_view>{"\xC2\xB2", "2"},
                                    {"\xC2\xB0", "deg"},
                                    {"\xC2\xB5", "u"},
                                    {"\xCE\xBC", "u"}}) {
    for (std::size_t at = name.find(sign); at != std::string::npos; at = name.find(sign)) {
      name.replace(at, sign.size(), plain);
    }
  }
  std::vector<std::string> words;
  std::string word;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const char c = name[i];
    const bool hump = is_upper(c) && i > 0 && is_letter_or_digit(name[i - 1]) && !is_upper(name[i - 1]);
    if ((!is_letter_or_digit(c) || hump) && !word.empty()) {
      words.push_back(word);
      word.clear();
    }
    if (is_letter_or_digit(c)) word += lower(c);
  }
  if (!word.empty()) words.push_back(word);
  return words;
}

struct UnitName {
  std::string_view words;  // joined without anything between
  Quantity quantity;
  double si;
};
constexpr double degree = pi / 180.0;
constexpr UnitName unit_names[] = {
    {"s", Quantity::time, 1},
    {"sec", Quantity::time, 1},
    {"secs", Quantity::time, 1},
    {"second", Quantity::time, 1},
    {"seconds", Quantity::time, 1},
    {"ms", Quantity::time, 1e-3},
    {"msec", Quantity::time, 1e-3},
    {"millis", Quantity::time, 1e-3},
    {"milliseconds", Quantity::time, 1e-3},
    {"us", Quantity::time, 1e-6},
    {"usec", Quantity::time, 1e-6},
    {"micros", Quantity::time, 1e-6},
    {"microseconds", Quantity::time, 1e-6},
    {"ns", Quantity::time, 1e-9},
    {"nsec", Quantity::time, 1e-9},
    {"nanos", Quantity::time, 1e-9},
    {"nanoseconds", Quantity::time, 1e-9},
    {"rads", Quantity::rate, 1},
    {"radps", Quantity::rate, 1},
    {"radpersec", Quantity::rate, 1},
    {"degs", Quantity::rate, degree},
    {"dps", Quantity::rate, degree},
    {"degps", Quantity::rate, degree},
    {"degpersec", Quantity::rate, degree},
    {"ms2", Quantity::force, 1},
    {"mps2", Quantity::force, 1},
    {"mss", Quantity::force, 1},
    {"g", Quantity::force, standard_gravity},
    {"gs", Quantity::force, standard_gravity},
    {"mg", Quantity::force, standard_gravity * 1e-3},
    {"m", Quantity::place, 1},
    {"cm", Quantity::place, 0.01},
    {"mm", Quantity::place, 0.001},
};

const UnitName* unit_named(std::string_view words, Quantity quantity) {
  const Quantity wanted = quantity == Quantity::height ? Quantity::place : quantity;
  for (const UnitName& unit : unit_names) {
    if (unit.quantity == wanted && unit.words == words) return &unit;
  }
  return nullptr;
}

struct QuantityName {
  std::string_view word;
  Quantity quantity;
  bool alone;  // only as the whole name: too short to be trusted behind another word
};
constexpr QuantityName quantity_names[] = {
    {"quaternion", Quantity::orientation, false},
    {"quat", Quantity::orientation, false},
    {"orientation", Quantity::orientation, false},
    {"rotation", Quantity::orientation, false},
    {"attitude", Quantity::orientation, false},
    {"rot", Quantity::orientation, false},
    {"q", Quantity::orientation, false},
    {"rotationrate", Quantity::rate, false},
    {"angularvelocity", Quantity::rate, false},
    {"angularrate", Quantity::rate, false},
    {"gyroscope", Quantity::rate, false},
    {"gyro", Quantity::rate, false},
    {"gyr", Quantity::rate, false},
    {"omega", Quantity::rate, false},
    {"w", Quantity::rate, true},
    {"g", Quantity::rate, true},
    {"accelerometer", Quantity::force, false},
    {"acceleration", Quantity::force, false},
    {"accel", Quantity::force, false},
    {"acc", Quantity::force, false},
    {"specificforce", Quantity::force, false},
    {"a", Quantity::force, true},
    {"position", Quantity::place, false},
    {"pos", Quantity::place, false},
    {"p", Quantity::place, true},
};

bool any_of_words(const std::vector<std::string>& words, std::initializer_list<std::string_view> wanted) {
  return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
    return std::find(wanted.begin(), wanted.end(), word) != wanted.end();
  });
}

std::string joined(const std::vector<std::string>& words, std::size_t from, std::size_t to,
                   std::string_view between = "") {
  std::string text;
  for (std::size_t i = from; i < to; ++i) {
    if (i > from) text += between;
    text += words[i];
  }
  return text;
}

std::optional<NamedColumn> named_time(const std::vector<std::string>& words) {
  static const std::set<std::string, std::less<>> names{
      "t",           "time",        "timestamp",  "seconds",    "elapsed",   "secondselapsed",
      "timeelapsed", "elapsedtime", "sampletime", "sensortime", "timestamps"};
  if (words.empty()) return std::nullopt;
  for (std::size_t used = 1; used <= std::min<std::size_t>(2, words.size()); ++used) {
    if (!names.contains(joined(words, 0, used))) continue;
    NamedColumn column;
    const std::string rest = joined(words, used, words.size());
    if (const UnitName* unit = unit_named(rest, Quantity::time))
      column.unit = unit->si;
    else if (!rest.empty())
      continue;
    if (joined(words, 0, used).starts_with("seconds")) column.unit = 1;
    return column;
  }
  return std::nullopt;
}

}  // namespace

std::optional<NamedColumn> named_column(std::string_view name) {
  std::vector<std::string> words = words_of(name);
  if (words.empty()) return std::nullopt;
  if (const auto time = named_time(words)) return time;
  // Accelerations without gravity and gravity alone are not what an accelerometer reads.
  if (any_of_words(words, {"linear", "user", "gravity", "mag", "magnetic", "magnetometer"}))
    return std::nullopt;
  if (words[0] == "height" || joined(words, 0, std::min<std::size_t>(2, words.size())) == "comheight" ||
      joined(words, 0, std::min<std::size_t>(2, words.size())) == "comy") {
    NamedColumn column;
    column.quantity = Quantity::height;
    const std::size_t used = words[0] == "height" ? 1 : 2;
    const std::string rest = joined(words, used, words.size());
    if (const UnitName* unit = unit_named(rest, Quantity::height))
      column.unit = unit->si;
    else if (!rest.empty())
      return std::nullopt;
    return column;
  }
  // The component is a word of its own or the last letter of a word; what follows it is the unit.
  for (std::size_t i = words.size(); i-- > 0;) {
    const std::string& word = words[i];
    const std::string rest = joined(words, i + 1, words.size());
    static constexpr std::string_view letters = "wxyz";
    const std::size_t letter = letters.find(word.back());
    const bool digit = word.size() > 1 && word.back() >= '0' && word.back() <= '3';
    if (letter == std::string_view::npos && !digit) continue;
    const int component = digit ? word.back() - '0' : static_cast<int>(letter);
    std::string stem = word.substr(0, word.size() - 1);
    std::size_t before = i;  // words that are left for the name of the set
    if (stem.empty()) {
      if (i == 0) {
        // A letter alone: x, y, z of a path, or of a quaternion where there is a w; settled by the plan.
        NamedColumn column{Quantity::place, component, "", std::nullopt};
        if (const UnitName* unit = unit_named(rest, Quantity::place))
          column.unit = unit->si;
        else if (!rest.empty())
          return std::nullopt;
        return column;
      }
      stem = words[--before];
    }
    for (const std::size_t length : {std::size_t{2}, std::size_t{1}}) {
      if (length == 2 && before == 0) continue;
      const std::string full = length == 2 ? words[before - 1] + stem : stem;
      const std::size_t left = length == 2 ? before - 1 : before;
      for (const QuantityName& known : quantity_names) {
        if (known.word != full || (known.alone && left > 0)) continue;
        if (digit && known.quantity != Quantity::orientation) continue;
        NamedColumn column{known.quantity, component, joined(words, 0, left, "_"), std::nullopt};
        if (known.quantity != Quantity::orientation) {
          if (component == 0) return std::nullopt;
          column.component = component - 1;
          if (const UnitName* unit = unit_named(rest, known.quantity))
            column.unit = unit->si;
          else if (!rest.empty())
            return std::nullopt;
        } else if (!rest.empty()) {
          return std::nullopt;
        }
        return column;
      }
    }
    // "root_x_m": a place, where the unit says so.
    if (word.size() == 1 && component > 0) {
      if (const UnitName* unit = unit_named(rest, Quantity::place)) {
        return NamedColumn{Quantity::place, component - 1, joined(words, 0, i, "_"), unit->si};
      }
    }
  }
  return std::nullopt;
}

namespace {

struct Found {
  NamedColumn name;
  int index;
};

/// Names of the sets that have all components of a quantity.
std::vector<std::string> whole_sets(const std::vector<Found>& columns, Quantity quantity, int components) {
  std::set<std::string> names, whole;
  for (const Found& column : columns) {
    if (column.name.quantity == quantity) names.insert(column.name.set);
  }
  for (const std::string& name : names) {
    int count = 0;
    for (int c = 0; c < components; ++c) {
      count += std::any_of(columns.begin(), columns.end(), [&](const Found& column) {
        return column.name.quantity == quantity && column.name.set == name && column.name.component == c;
      });
    }
    if (count == components) whole.insert(name);
  }
  return {whole.begin(), whole.end()};
}

template <std::size_t N>
void take(const std::vector<Found>& columns, Quantity quantity, const std::string& set,
          std::array<int, N>& into, std::optional<double>* unit) {
  for (const Found& column : columns) {
    if (column.name.quantity != quantity || column.name.set != set) continue;
    into[static_cast<std::size_t>(column.name.component)] = column.index;
    if (unit != nullptr && column.name.unit) *unit = column.name.unit;
  }
}

constexpr const char* columns_help =
    "a record needs a header line with a time column (time_s, t_ms, timestamp_ns) and either a quaternion "
    "(qw,qx,qy,qz) or gyroscope and accelerometer columns (gyro_x ..., acc_x ...)";

}  // namespace

Result<ColumnPlan> plan_columns(const std::vector<std::string>& header, const ColumnAnswers& answers) {
  ColumnPlan plan;
  std::vector<Found> columns;
  std::vector<std::string> plain;
  for (std::size_t i = 0; i < header.size(); ++i) {
    plain.push_back(joined(words_of(header[i]), 0, words_of(header[i]).size(), "_"));
    if (const auto name = named_column(header[i])) columns.push_back({*name, static_cast<int>(i)});
  }
  static const std::vector<std::string> own{"t", "qw", "qx", "qy", "qz", "wx", "wy", "wz"};
  plan.own_table = plain == own;
  // w, x, y, z alone are a quaternion where there is a w.
  const bool bare_w = std::any_of(columns.begin(), columns.end(), [](const Found& column) {
    return column.name.quantity == Quantity::place && column.name.set.empty() && column.name.component == 0 &&
           !column.name.unit;
  });
  for (std::size_t i = 0; i < columns.size();) {
    NamedColumn& name = columns[i].name;
    const bool bare = name.quantity == Quantity::place && name.set.empty() &&
                      words_of(header[static_cast<std::size_t>(columns[i].index)])[0].size() == 1 &&
                      words_of(header[static_cast<std::size_t>(columns[i].index)])[0] != "p";
    if (bare && bare_w)
      name.quantity = Quantity::orientation;
    else if (bare && name.component > 0)
      name.component -= 1;
    ++i;
  }
  for (const Found& column : columns) {
    if (column.name.quantity != Quantity::time) continue;
    if (plan.time >= 0) {
      return Problem{"", fmt::format("column \"{}\"", header[static_cast<std::size_t>(column.index)]),
                     fmt::format("is a second time column beside \"{}\": leave one out",
                                 header[static_cast<std::size_t>(plan.time)])};
    }
    plan.time = column.index;
    plan.time_unit = column.name.unit;
  }
  if (plan.time < 0) return Problem{"", "", fmt::format("has no time column; {}", columns_help)};

  std::vector<std::string> sets = whole_sets(columns, Quantity::orientation, 4);
  const std::vector<std::string> rate_sets = whole_sets(columns, Quantity::rate, 3);
  const std::vector<std::string> force_sets = whole_sets(columns, Quantity::force, 3);
  const bool by_quaternion = !sets.empty();
  if (!by_quaternion) sets = rate_sets;
  if (sets.empty()) {
    return Problem{
        "", "", fmt::format("has neither a whole quaternion nor three gyroscope columns; {}", columns_help)};
  }
  if (!answers.segment.empty()) {
    const std::vector<std::string> words = words_of(answers.segment);
    const std::string wanted = joined(words, 0, words.size(), "_");
    if (std::find(sets.begin(), sets.end(), wanted) == sets.end()) {
      return Problem{
          "", "--segment",
          fmt::format("there is no \"{}\"; the record has {}", answers.segment, fmt::join(sets, ", "))};
    }
    plan.set = wanted;
  } else if (sets.size() > 1) {
    return Problem{"", "--segment",
                   fmt::format("the record has several sets of columns: {}. Which sits on the trunk?",
                               fmt::join(sets, ", "))};
  } else {
    plan.set = sets[0];
  }
  const auto belongs = [&](const std::vector<std::string>& names) -> std::optional<std::string> {
    if (std::find(names.begin(), names.end(), plan.set) != names.end()) return plan.set;
    if (names.size() == 1 && (names[0].empty() || sets.size() == 1)) return names[0];
    return std::nullopt;
  };
  if (by_quaternion) take(columns, Quantity::orientation, plan.set, plan.orientation, nullptr);
  if (const auto set = belongs(rate_sets)) take(columns, Quantity::rate, *set, plan.rate, &plan.rate_unit);
  if (const auto set = belongs(force_sets))
    take(columns, Quantity::force, *set, plan.force, &plan.force_unit);
  std::optional<double> unit;
  if (const auto set = belongs(whole_sets(columns, Quantity::place, 3))) {
    take(columns, Quantity::place, *set, plan.place, &unit);
    plan.place_unit = unit.value_or(1);
  }
  for (const Found& column : columns) {
    if (column.name.quantity != Quantity::height || plan.height >= 0) continue;
    plan.height = column.index;
    plan.height_unit = column.name.unit.value_or(1);
  }
  if (plan.own_table) {
    plan.time_unit = 1;
    plan.rate_unit = 1;
  }
  if (answers.time_unit_s) plan.time_unit = answers.time_unit_s;
  if (answers.rate_unit_rad_s) plan.rate_unit = answers.rate_unit_rad_s;
  if (answers.force_unit_m_s2) plan.force_unit = answers.force_unit_m_s2;
  if (!by_quaternion && plan.force[0] < 0) {
    return Problem{
        "", "", "has a gyroscope but no accelerometer columns; without them nothing tells which way is up"};
  }
  if (plan.rate[0] >= 0 && !plan.rate_unit && !by_quaternion) {
    return Problem{"", "--rate-unit",
                   "the header does not say the unit of the gyroscope: give --rate-unit rad/s or deg/s"};
  }
  // Beside a quaternion a gyroscope of unknown unit is of no use: the quaternion turns as well.
  if (!plan.rate_unit) plan.rate = {-1, -1, -1};
  return plan;
}

}  // namespace halfturn
