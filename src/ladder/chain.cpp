#include "ladder/chain.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "ladder/finish.hpp"
#include "rotation/heading.hpp"
#include "rung_travel.hpp"
#include "rung_words.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr double same_way_deg = 45, other_way_deg = 135;

/// The chest's direction over the floor, m: x forward at heading 0, z to its right.
void go(double heading_deg, double metres, double& x, double& z) {
  x += metres * std::cos(to_rad(heading_deg));
  z -= metres * std::sin(to_rad(heading_deg));
}

struct Runner {
  const Plan& plan;
  const Vocabulary& vocabulary;
  const LinkBook& links;
  const DifficultyTable& difficulty;
  double heading_deg = 0, x = 0, z = 0, time = 0;

  Result<ChainStop> skill_stop(const ChainItem& item, std::size_t index) const {
    const Skill* skill = vocabulary.find(item.skill);
    if (skill == nullptr) {
      const auto near = vocabulary.near_matches(item.skill);
      std::string text = fmt::format("\"{}\" is not a skill of the vocabulary", item.skill);
      if (!near.empty()) text += fmt::format("; did you mean {}?", fmt::join(near, ", "));
      return Problem{"", fmt::format("chain[{}].skill", index), text};
    }
    Plan one;
    one.base = skill->name;
    one.side = item.side.value_or(plan.side);
    one.hold = "start";
    one.held_heading_deg = heading_deg;
    one.timing = plan.timing;
    one.walls = plan.walls;
    const double twist = item.twist_deg == 0 ? skill->first_deg : item.twist_deg;
    if (twist < skill->first_deg || twist > greatest_twist_deg || twist != std::floor(twist)) {
      return Problem{"", fmt::format("chain[{}].twist_deg", index),
                     fmt::format("is {}, must be a whole number of degrees from {} to {}", twist,
                                 skill->first_deg, greatest_twist_deg)};
    }
    one.from_deg = twist;
    Result<Ladder> ladder = make_ladder(one, vocabulary, difficulty);
    if (!ladder) {
      Problem problem = ladder.problem();
      problem.place = fmt::format("chain[{}].{}", index, problem.place);
      return problem;
    }
    const Rung& rung = ladder->rungs.front();
    ChainStop stop;
    stop.title = rung.title;
    stop.is_skill = true;
    stop.turn_deg = rung.turn_deg;
    stop.end_heading_deg = rung.landing.heading_deg;
    stop.start_feet = rung.takeoff_feet;
    stop.end_feet = rung.landing.feet;
    stop.landing_kind = rung.landing.kind;
    stop.duration_s = drawn_duration(rung);
    const double takeoff_heading = heading_deg + rung.floor_turn_deg;
    if (skill->travel != "in place")
      stop.enters_deg = wrap_deg(takeoff_heading + way_deg(skill->travel, rung.side));
    // A flip goes on the way it falls; an upright skill goes on the way it came.
    if (rung.flip_deg != 0) {
      stop.carries_deg = wrap_deg(rung.landing.heading_deg + carry_deg(rung));
    } else {
      stop.carries_deg = stop.enters_deg;
    }
    stop.end_x = x;
    stop.end_z = z;
    if (stop.enters_deg) go(*stop.enters_deg, skill->travel_m, stop.end_x, stop.end_z);
    stop.rung = rung;
    return stop;
  }

  Result<ChainStop> link_stop(const ChainItem& item, std::size_t index) const {
    const Link* link = links.find(item.link);
    if (link == nullptr) {
      std::vector<std::string> names;
      for (const Link& known : links.links) names.push_back(known.name);
      return Problem{
          "", fmt::format("chain[{}].link", index),
          fmt::format("\"{}\" is no setup or transition; known are: {}", item.link, fmt::join(names, ", "))};
    }
    const Side side = item.side.value_or(plan.side);
    ChainStop stop;
    stop.title = on_side(link->name, side);
    stop.turn_deg = sign_of(side) * link->turn_deg + 0.0;
    stop.end_heading_deg = wrap_deg(heading_deg + stop.turn_deg);
    stop.start_feet = on_side(link->start_feet, side);
    stop.end_feet = on_side(link->end_feet, side);
    stop.duration_s = link->duration_s;
    stop.end_x = x;
    stop.end_z = z;
    if (link->travel != "in place") {
      const double way = wrap_deg(heading_deg + way_deg(link->travel, side));
      go(way, link->travel_m, stop.end_x, stop.end_z);
      if (!link->setup) stop.enters_deg = way;
    }
    if (link->carries != "in place")
      stop.carries_deg = wrap_deg(stop.end_heading_deg + way_deg(link->carries, side));
    return stop;
  }
};

/// "both", "left" or "right" of the places where a link stands.
std::string last_foot(const std::string& feet) {
  if (feet == "bed") return "both";
  const std::size_t comma = feet.find(", ");
  return comma == std::string::npos ? feet : "both";
}

void check_feet(const ChainStop& from, const ChainStop& to, ChainJoint& joint) {
  if (to.start_feet == "any" || to.start_feet.empty()) return;
  const std::string ends = last_foot(from.end_feet), begins = last_foot(to.start_feet);
  if (ends == begins) return;
  if (ends == "both") {
    joint.mismatches.push_back(fmt::format("the {} ends on both feet, the {} leaves from the {} foot",
                                           from.title, to.title, begins));
    joint.mends.push_back(
        fmt::format("step out of the {} so that the {} foot comes down last, or put a step "
                    "between",
                    from.title, begins));
  } else if (begins == "both") {
    joint.mismatches.push_back(
        fmt::format("the {} ends on the {} foot, the {} leaves from both", from.title, ends, to.title));
    joint.mends.emplace_back("bring the other foot down beside it, or put a hurdle between");
  } else {
    joint.mismatches.push_back(fmt::format("the {} ends on the {} foot, the {} leaves from the {}",
                                           from.title, ends, to.title, begins));
    joint.mends.push_back(fmt::format("put one step between, or turn the {} to the other side", to.title));
  }
}

void check_way(const ChainStop& from, const ChainStop& to, const Walls& walls, ChainJoint& joint) {
  if (!from.carries_deg || !to.enters_deg) return;
  const double off = wrap_deg(*to.enters_deg - *from.carries_deg);
  if (std::abs(off) <= same_way_deg) return;
  joint.mismatches.push_back(fmt::format("the {} carries on to the {}, the {} goes to the {}", from.title,
                                         facing_words(*from.carries_deg, walls), to.title,
                                         facing_words(*to.enters_deg, walls)));
  if (std::abs(off) >= other_way_deg) {
    joint.mends.push_back(
        from.is_skill
            ? fmt::format("add or take a half turn in the {}, or put a half turn between", from.title)
            : "put a half turn between, or choose a skill that goes the other way");
  } else {
    joint.mends.push_back(fmt::format("put a quarter turn {} between", off > 0 ? "left" : "right"));
  }
}

void check_surface(const ChainStop& from, const ChainStop& to, ChainJoint& joint) {
  if (!from.rung || !to.rung) return;
  const bool a = from.rung->surface == "trampoline", b = to.rung->surface == "trampoline";
  if (a == b) return;
  joint.mismatches.push_back(fmt::format("the {} is done on the {}, the {} on the {}", from.title,
                                         from.rung->surface, to.title, to.rung->surface));
  joint.mends.emplace_back("choose both for one surface");
}

std::string feet_text(const std::string& feet) {
  if (feet == "both") return "both feet";
  if (feet == "any") return "either foot";
  if (feet == "bed") return "the bed";
  return feet.find(", ") == std::string::npos ? "the " + feet + " foot" : feet;
}

}  // namespace

const Link* LinkBook::find(std::string_view name) const {
  const auto found =
      std::find_if(links.begin(), links.end(), [&](const Link& link) { return link.name == name; });
  return found == links.end() ? nullptr : &*found;
}

bool ChainRun::fits() const {
  return std::all_of(joints.begin(), joints.end(), [](const ChainJoint& joint) { return joint.fits(); });
}

double ChainRun::duration() const {
  return stops.empty() ? 0 : stops.back().start_s + stops.back().duration_s;
}

Result<ChainRun> run_chain(const Plan& plan, const Vocabulary& vocabulary, const LinkBook& links,
                           const DifficultyTable& difficulty) {
  ChainRun run;
  Runner runner{plan, vocabulary, links, difficulty};
  const bool holds_start = plan.hold.value_or("start") == "start";
  runner.heading_deg = holds_start ? wrap_deg(plan.held_heading_deg) : 0;
  run.mark_deg = plan.mark_deg.value_or(runner.heading_deg);
  for (std::size_t i = 0; i < plan.chain.size(); ++i) {
    const ChainItem& item = plan.chain[i];
    Result<ChainStop> made = item.skill.empty() ? runner.link_stop(item, i) : runner.skill_stop(item, i);
    if (!made) return made.problem();
    ChainStop stop = std::move(made).value();
    stop.start_heading_deg = runner.heading_deg;
    stop.start_stance = stance_at(stop.start_heading_deg, run.mark_deg);
    stop.end_stance = stance_at(stop.end_heading_deg, run.mark_deg);
    stop.start_x = runner.x;
    stop.start_z = runner.z;
    stop.start_s = runner.time;
    runner.heading_deg = stop.end_heading_deg;
    runner.x = stop.end_x;
    runner.z = stop.end_z;
    runner.time += stop.duration_s;
    run.stops.push_back(std::move(stop));
  }
  for (std::size_t i = 0; i + 1 < run.stops.size(); ++i) {
    ChainJoint joint;
    check_feet(run.stops[i], run.stops[i + 1], joint);
    check_way(run.stops[i], run.stops[i + 1], plan.walls, joint);
    check_surface(run.stops[i], run.stops[i + 1], joint);
    run.joints.push_back(std::move(joint));
  }
  return run;
}

ChainMoment chain_at(const ChainRun& run, double time_s) {
  ChainMoment moment;
  if (run.stops.empty()) return moment;
  while (moment.stop + 1 < run.stops.size() && time_s >= run.stops[moment.stop + 1].start_s) ++moment.stop;
  const ChainStop& stop = run.stops[moment.stop];
  moment.share = stop.duration_s > 0 ? std::clamp((time_s - stop.start_s) / stop.duration_s, 0.0, 1.0) : 1;
  moment.x = stop.start_x + moment.share * (stop.end_x - stop.start_x);
  moment.z = stop.start_z + moment.share * (stop.end_z - stop.start_z);
  moment.heading_deg = wrap_deg(stop.start_heading_deg + moment.share * stop.turn_deg);
  return moment;
}

std::string chain_stop_words(const ChainStop& stop, const Walls& walls) {
  return fmt::format(
      "from the {}, off {}; turn {:+.6g}; ends facing the {}, on {}{}",
      facing_words(stop.start_heading_deg, walls), feet_text(stop.start_feet), stop.turn_deg,
      facing_words(stop.end_heading_deg, walls), feet_text(stop.end_feet),
      stop.landing_kind.empty() || stop.landing_kind == "upright" ? "" : ", " + stop.landing_kind);
}

std::string chain_words(const ChainRun& run, const Walls& walls) {
  std::string text;
  const auto out = std::back_inserter(text);
  std::size_t width = 0;
  for (const ChainStop& stop : run.stops) width = std::max(width, stop.title.size());
  for (std::size_t i = 0; i < run.stops.size(); ++i) {
    const ChainStop& stop = run.stops[i];
    fmt::format_to(out, "{:>3}  {:<{}}  {}\n", i + 1, stop.title, width, chain_stop_words(stop, walls));
    if (i >= run.joints.size()) continue;
    for (const std::string& line : run.joints[i].mismatches)
      fmt::format_to(out, "     does not fit: {}\n", line);
    for (const std::string& line : run.joints[i].mends) fmt::format_to(out, "     to mend it: {}\n", line);
  }
  return text;
}

Result<ChainItem> parse_chain_item(const std::string& text, const LinkBook& links) {
  ChainItem item;
  std::string name = text;
  for (const Side side : {Side::left, Side::right}) {
    const std::string ending = fmt::format(":{}", word(side));
    if (name.ends_with(ending)) {
      item.side = side;
      name.resize(name.size() - ending.size());
    }
  }
  if (links.find(name) != nullptr) {
    item.link = name;
    return item;
  }
  const std::size_t colon = name.find(':');
  item.skill = name.substr(0, colon);
  if (colon == std::string::npos) return item;
  const std::string degrees = name.substr(colon + 1);
  const bool whole = !degrees.empty() && degrees.size() <= 4 &&
                     std::all_of(degrees.begin(), degrees.end(), [](char c) { return c >= '0' && c <= '9'; });
  if (!whole) {
    return Problem{
        "", "chain",
        fmt::format("\"{}\" has no whole degrees behind the colon; write for instance back flip:360", text)};
  }
  item.twist_deg = std::stod(degrees);
  return item;
}

}  // namespace halfturn
