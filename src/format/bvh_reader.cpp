#include "bvh_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <glm/geometric.hpp>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_joints = 1000, most_depth = 200;
constexpr double longest_unit = 1e6;       // of an offset or a place, in the file's unit
constexpr double false_jump_deg_s = 5000;  // from a reference pose in frame 0 to the first real one

bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

bool same_word(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
    return std::tolower(static_cast<unsigned char>(x)) == std::tolower(static_cast<unsigned char>(y));
  });
}

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

/// A joint's name without its side, and the side: -1 left, +1 right, 0 neither.
struct SidedName {
  std::string name;
  int side = 0;
};

SidedName sided(std::string_view original) {
  std::string name = lower(original);
  for (const auto& [word, side] : {std::pair("left", -1), std::pair("right", 1)}) {
    const std::size_t at = name.find(word);
    if (at == std::string::npos) continue;
    name.replace(at, std::string_view(word).size(), "*");
    return {name, side};
  }
  // "LHip", "l_hip", "hip.L", "Bip L Thigh".
  for (const auto& [letter, side] : {std::pair('l', -1), std::pair('r', 1)}) {
    const char capital = static_cast<char>(letter - 'a' + 'A');
    for (std::size_t i = 0; i < original.size(); ++i) {
      const char c = original[i];
      if (c != letter && c != capital) continue;
      const bool starts = i == 0 || std::string_view(" _.-:").find(original[i - 1]) != std::string_view::npos;
      const bool ends = i + 1 == original.size() ||
                        std::string_view(" _.-").find(original[i + 1]) != std::string_view::npos;
      const bool before_capital =
          i + 1 < original.size() && std::isupper(static_cast<unsigned char>(original[i + 1])) != 0;
      if (!starts || !(ends || before_capital)) continue;
      name.replace(i, 1, "*");
      return {name, side};
    }
  }
  return {name, 0};
}

std::optional<Vec3> unit(const Vec3& v) {
  const double length = glm::length(v);
  if (!(length > 1e-9)) return std::nullopt;
  return v / length;
}

}  // namespace

bool looks_like_bvh(std::string_view start) {
  if (start.starts_with("\xEF\xBB\xBF")) start.remove_prefix(3);
  while (!start.empty() && (is_space(start.front()) || start.front() == '\n')) start.remove_prefix(1);
  return start.size() >= 9 && same_word(start.substr(0, 9), "HIERARCHY");
}

bool BvhReader::Joint::turns() const {
  return std::any_of(channels.begin(), channels.end(), [](Channel c) { return c >= Channel::x_turn; });
}

Problem BvhReader::wrong(std::size_t column, std::string text) const {
  return {file_, fmt::format("line {}, column {}", line_, column), std::move(text)};
}

Problem BvhReader::wrong(const Token& token, std::string text) const {
  return wrong(token.column, std::move(text));
}

void BvhReader::split(std::string_view line) {
  tokens_.clear();
  for (std::size_t i = 0; i < line.size();) {
    if (is_space(line[i])) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < line.size() && !is_space(line[end])) ++end;
    tokens_.push_back({line.substr(i, end - i), i + 1});
    i = end;
  }
}

Outcome BvhReader::number(const Token& token, double& value) const {
  const char* last = token.text.data() + token.text.size();
  const char* first = token.text.data() + (token.text.front() == '+' ? 1 : 0);
  const auto [end, error] = std::from_chars(first, last, value);
  if (error != std::errc() || end != last)
    return wrong(token, fmt::format("\"{:.40}\" is not a number", token.text));
  if (!std::isfinite(value)) return wrong(token, fmt::format("is {}, a finite number is needed", token.text));
  return std::nullopt;
}

Outcome BvhReader::take(std::string_view line, bool ended) {
  ++line_;
  if (line_ == 1 && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
  for (std::size_t i = 0; i < line.size(); ++i) {
    const auto c = static_cast<unsigned char>(line[i]);
    if (c < 32 && c != '\t' && c != '\r')
      return wrong(i + 1, fmt::format("holds the byte {}: this is no text but a binary file", int{c}));
  }
  split(line);
  if (tokens_.empty()) return std::nullopt;
  switch (part_) {
    case Part::start:
      part_ = Part::root;
      if (tokens_.size() > 1) return wrong(tokens_[1], "HIERARCHY stands alone on its line");
      return std::nullopt;
    case Part::root:
    case Part::hierarchy:
      return take_hierarchy();
    case Part::motion:
    case Part::frames:
    case Part::frame_time:
      return take_frame_words();
    case Part::rows:
      return take_row(line, ended);
  }
  return std::nullopt;
}

Outcome BvhReader::take_hierarchy() {
  std::size_t next = 0;
  while (next < tokens_.size()) {
    const Token& token = tokens_[next];
    if (awaits_brace_) {
      if (token.text != "{") return wrong(token, fmt::format("\"{:.40}\" where {{ is needed", token.text));
      awaits_brace_ = false;
      ++next;
    } else if (!open_.empty()) {
      if (Outcome problem = take_in_joint(next)) return problem;
    } else if (same_word(token.text, "ROOT")) {
      if (!joints_.empty()) {
        return wrong(token, "a second ROOT: a file of one person is needed; export each by itself");
      }
      if (Outcome problem = begin_joint(next, false)) return problem;
    } else if (same_word(token.text, "MOTION")) {
      if (joints_.empty()) return wrong(token, "MOTION before any ROOT: there is no skeleton");
      if (tokens_.size() > next + 1) return wrong(tokens_[next + 1], "MOTION stands alone on its line");
      part_ = Part::motion;
      return choose_trunk();
    } else {
      return wrong(token, fmt::format("\"{:.40}\" where {} is needed", token.text,
                                      joints_.empty() ? "ROOT NAME" : "MOTION"));
    }
  }
  return std::nullopt;
}

/// One piece of what stands between the braces of a joint.
Outcome BvhReader::take_in_joint(std::size_t& next) {
  const Token token = tokens_[next];
  const auto index = static_cast<std::size_t>(open_.back());
  Joint& joint = joints_[index];
  if (token.text == "}") {
    if (!joint.has_offset) return wrong(token, fmt::format("\"{}\" has no OFFSET", joint.name));
    if (!joint.has_channels && !joint.is_end)
      return wrong(token, fmt::format("\"{}\" has no CHANNELS", joint.name));
    open_.pop_back();
    ++next;
    return std::nullopt;
  }
  if (same_word(token.text, "OFFSET")) {
    if (joint.has_offset) return wrong(token, fmt::format("a second OFFSET of \"{}\"", joint.name));
    joint.has_offset = true;
    ++next;
    if (Outcome problem = take_numbers(next, joint.offset)) return problem;
    joint.at_rest =
        joint.offset +
        (joint.parent >= 0 ? joints_[static_cast<std::size_t>(joint.parent)].at_rest : -joint.offset);
    return std::nullopt;
  }
  if (same_word(token.text, "CHANNELS") && !joint.is_end) return take_channels(joint, next);
  if (!joint.has_offset)
    return wrong(token,
                 fmt::format("\"{:.40}\" where OFFSET X Y Z of \"{}\" is needed", token.text, joint.name));
  if (same_word(token.text, "JOINT") && !joint.is_end) return begin_joint(next, false);
  if (same_word(token.text, "End") && next + 1 < tokens_.size() &&
      same_word(tokens_[next + 1].text, "Site") && !joint.is_end) {
    return begin_joint(next, true);
  }
  return wrong(token,
               fmt::format("\"{:.40}\" where OFFSET, CHANNELS, JOINT, End Site or }} is needed", token.text));
}

/// "ROOT name", "JOINT name" or "End Site", with { here or on the next line.
Outcome BvhReader::begin_joint(std::size_t& next, bool is_end) {
  const Token word = tokens_[next];
  if (joints_.size() >= most_joints) return wrong(word, fmt::format("more than {} joints", most_joints));
  if (open_.size() >= most_depth)
    return wrong(word, fmt::format("joints lie more than {} deep in each other", most_depth));
  Joint joint;
  joint.is_end = is_end;
  joint.parent = open_.empty() ? -1 : open_.back();
  next += is_end ? 2 : 1;
  // A name may have spaces.
  while (!is_end && next < tokens_.size() && tokens_[next].text != "{") {
    if (!joint.name.empty()) joint.name += ' ';
    joint.name += tokens_[next++].text;
  }
  if (joint.name.empty() && !is_end) return wrong(word, "a joint without a name");
  if (joint.name.size() > 100) return wrong(word, "the name of a joint is longer than 100 characters");
  if (joint.parent >= 0) {
    Joint& parent = joints_[static_cast<std::size_t>(joint.parent)];
    ++parent.children;
    if (is_end) joint.name = parent.name + " end";
  }
  open_.push_back(static_cast<int>(joints_.size()));
  joints_.push_back(std::move(joint));
  awaits_brace_ = true;
  part_ = Part::hierarchy;
  return std::nullopt;
}

Outcome BvhReader::take_numbers(std::size_t& next, Vec3& into) {
  for (int k = 0; k < 3; ++k, ++next) {
    if (next >= tokens_.size())
      return wrong(tokens_.back().column + tokens_.back().text.size(), "three numbers are needed here");
    if (Outcome problem = number(tokens_[next], into[k])) return problem;
    if (std::abs(into[k]) > longest_unit)
      return wrong(tokens_[next], fmt::format("is {:g}, no length of a body", into[k]));
  }
  return std::nullopt;
}

Outcome BvhReader::take_channels(Joint& joint, std::size_t& next) {
  constexpr std::string_view names[] = {"Xposition", "Yposition", "Zposition",
                                        "Xrotation", "Yrotation", "Zrotation"};
  const Token word = tokens_[next];
  if (joint.has_channels) return wrong(word, fmt::format("a second CHANNELS of \"{}\"", joint.name));
  joint.has_channels = true;
  joint.first_channel = channels_;
  if (++next >= tokens_.size()) return wrong(word, "CHANNELS without their number");
  double count = 0;
  if (Outcome problem = number(tokens_[next], count)) return problem;
  if (count != std::floor(count) || count < 0 || count > 6)
    return wrong(tokens_[next], fmt::format("{} channels: a joint has 0 to 6", tokens_[next].text));
  ++next;
  for (int k = 0; k < static_cast<int>(count); ++k, ++next) {
    if (next >= tokens_.size()) {
      return wrong(tokens_.back().column + tokens_.back().text.size(),
                   fmt::format("\"{}\" has {} channels named where it says {:g}", joint.name, k, count));
    }
    const auto* found = std::find_if(std::begin(names), std::end(names), [&](std::string_view name) {
      return same_word(name, tokens_[next].text);
    });
    if (found == std::end(names)) {
      return wrong(tokens_[next], fmt::format("\"{:.40}\" is no channel: Xposition, Yposition, Zposition, "
                                              "Xrotation, Yrotation or Zrotation",
                                              tokens_[next].text));
    }
    const auto channel = static_cast<Channel>(found - std::begin(names));
    if (std::find(joint.channels.begin(), joint.channels.end(), channel) != joint.channels.end())
      return wrong(tokens_[next], fmt::format("\"{}\" has {} twice", joint.name, *found));
    joint.channels.push_back(channel);
  }
  channels_ += joint.channels.size();
  return std::nullopt;
}

std::string BvhReader::joint_list() const {
  std::string list;
  int listed = 0;
  for (const Joint& joint : joints_) {
    if (joint.is_end) continue;
    if (++listed > 12) return list + ", ...";
    list += fmt::format("{}\"{}\"", list.empty() ? "" : ", ", joint.name);
  }
  return list;
}

double BvhReader::height() const {
  double greatest = 0;
  for (int axis = 0; axis < 3; ++axis) {
    double low = 0, high = 0;
    for (const Joint& joint : joints_) {
      low = std::min(low, joint.at_rest[axis]);
      high = std::max(high, joint.at_rest[axis]);
    }
    greatest = std::max(greatest, high - low);
  }
  return greatest;
}

/// The joint to be measured: the one asked for, else the first at which the skeleton branches.
Outcome BvhReader::choose_trunk() {
  int trunk = -1;
  std::string how = "given";
  for (std::size_t i = 0; i < joints_.size(); ++i) {
    const Joint& joint = joints_[i];
    if (joint.is_end) continue;
    const bool wanted = answers_.segment.empty() ? joint.turns() && joint.children >= 2
                                                 : same_word(joint.name, answers_.segment);
    if (!wanted) continue;
    trunk = static_cast<int>(i);
    break;
  }
  if (answers_.segment.empty())
    how = "found: the first joint at which the skeleton branches; another with --segment NAME";
  if (trunk < 0) {
    return Problem{
        file_, "--segment",
        answers_.segment.empty()
            ? fmt::format("which joint is the trunk? The skeleton branches nowhere; it has {}", joint_list())
            : fmt::format("there is no joint \"{}\"; there are {}", answers_.segment, joint_list())};
  }
  for (int i = trunk; i >= 0; i = joints_[static_cast<std::size_t>(i)].parent)
    chain_.insert(chain_.begin(), i);
  const bool turns = std::any_of(chain_.begin(), chain_.end(),
                                 [&](int i) { return joints_[static_cast<std::size_t>(i)].turns(); });
  if (!turns) {
    return Problem{file_, "--segment",
                   fmt::format("\"{}\" has no rotation channel, so it never turns; there are {}",
                               joints_[static_cast<std::size_t>(trunk)].name, joint_list())};
  }
  recording_.conventions.push_back({"trunk", joints_[static_cast<std::size_t>(trunk)].name, how});
  if (!answers_.length_unit_m && answers_.needs_path) {
    const double tall = height();
    std::string likely = "it fits no unit for a person";
    for (const auto& [unit_m, name] :
         {std::pair(1.0, "m"), std::pair(0.01, "cm"), std::pair(0.001, "mm"), std::pair(0.0254, "in")}) {
      if (tall * unit_m > 0.9 && tall * unit_m < 2.3) likely = fmt::format("that would fit {}", name);
    }
    return Problem{
        file_, "--length-unit",
        fmt::format("lengths have no unit in this kind of file, and free fall is found by them. The "
                    "skeleton is {:.4g} high or wide: {}. Give --length-unit cm, m, mm, in, ft or "
                    "the metres of one unit; or mark --takeoff and --landing",
                    tall, likely)};
  }
  return std::nullopt;
}

/// "Frames: 120", then "Frame Time: 0.0083".
Outcome BvhReader::take_frame_words() {
  const auto words = [&](std::initializer_list<std::string_view> wanted) {
    return tokens_.size() >= wanted.size() &&
           std::equal(wanted.begin(), wanted.end(), tokens_.begin(),
                      [](std::string_view word, const Token& token) { return same_word(word, token.text); });
  };
  if (part_ == Part::motion) {
    if (!words({"Frames:"}) || tokens_.size() != 2) return wrong(tokens_[0], "\"Frames: N\" is needed here");
    if (Outcome problem = number(tokens_[1], frames_said_)) return problem;
    if (frames_said_ != std::floor(frames_said_) || frames_said_ < 0)
      return wrong(tokens_[1], fmt::format("{} is no number of frames", tokens_[1].text));
    part_ = Part::frame_time;
    return std::nullopt;
  }
  if (!words({"Frame", "Time:"}) || tokens_.size() != 3)
    return wrong(tokens_[0], "\"Frame Time: SECONDS\" is needed here");
  if (Outcome problem = number(tokens_[2], frame_time_)) return problem;
  if (!(frame_time_ >= 2e-5 && frame_time_ <= 0.5)) {
    return wrong(tokens_[2],
                 fmt::format("a frame time of {} s would be {:.3g} frames a second, which no camera "
                             "writes",
                             tokens_[2].text, 1 / frame_time_));
  }
  part_ = Part::rows;
  return std::nullopt;
}

Outcome BvhReader::take_row(std::string_view line, bool ended) {
  if (tokens_.size() != channels_) {
    if (!ended && tokens_.size() < channels_) {
      return wrong(line.size() + 1,
                   "the file ends in the middle of a frame: it was cut off; delete this line to measure what "
                   "is there");
    }
    return wrong(tokens_.size() > channels_ ? tokens_[channels_].column : line.size() + 1,
                 fmt::format("has {} numbers, the skeleton has {} channels", tokens_.size(), channels_));
  }
  if (rows_ >= most_record_rows)
    return wrong(1, fmt::format("more than {} frames: cut the record to the attempts", most_record_rows));
  values_.resize(channels_);
  for (std::size_t k = 0; k < channels_; ++k) {
    if (Outcome problem = number(tokens_[k], values_[k])) return problem;
  }
  Quat q(1, 0, 0, 0);
  Vec3 place(0);
  for (const int index : chain_) {
    const Joint& joint = joints_[static_cast<std::size_t>(index)];
    Vec3 shift = joint.offset;
    Quat turn(1, 0, 0, 0);
    for (std::size_t k = 0; k < joint.channels.size(); ++k) {
      const double value = values_[joint.first_channel + k];
      const auto channel = static_cast<int>(joint.channels[k]);
      const Token& token = tokens_[joint.first_channel + k];
      if (channel < 3) {
        if (std::abs(value) > longest_unit)
          return wrong(token, fmt::format("is {:g}, no place in a hall", value));
        // A joint with a place of its own has it instead of the offset; a root's offset is where it counts
        // from.
        shift[channel] = value + (joint.parent < 0 ? joint.offset[channel] : 0.0);
      } else {
        if (std::abs(value) > 1e7) return wrong(token, fmt::format("is {:g}, no angle in degrees", value));
        Vec3 axis(0);
        axis[channel - 3] = 1;
        turn = turn * rotation_about(axis, to_rad(value));
      }
    }
    place += q * shift;
    q = glm::normalize(q * turn);
  }
  recording_.time.push_back(static_cast<double>(rows_++) * frame_time_);
  recording_.orientation.push_back(q);
  if (answers_.length_unit_m) recording_.place.emplace_back(*answers_.length_unit_m * place);
  return std::nullopt;
}

/// Which way the skeleton faces with every angle 0, from the names of its joints.
std::optional<RestPose> BvhReader::rest_pose() const {
  std::optional<Vec3> head;
  Vec3 to_right(0), toes(0);
  std::vector<std::pair<SidedName, Vec3>> paired;
  for (const Joint& joint : joints_) {
    const SidedName name = sided(joint.name);
    if (!joint.is_end && name.side == 0 && name.name.find("head") != std::string::npos && !head)
      head = joint.at_rest;
    if (!joint.is_end && name.side != 0) {
      for (const auto& [other, at_rest] : paired) {
        if (other.name == name.name && other.side == -name.side)
          to_right += static_cast<double>(name.side) * (joint.at_rest - at_rest);
      }
      paired.emplace_back(name, joint.at_rest);
    }
    // From the ankle to the ball of the foot or to its end.
    const bool toe = name.name.find("toe") != std::string::npos;
    const bool end_of_foot = joint.is_end && name.name.find("foot") != std::string::npos;
    if (name.side != 0 && (toe || end_of_foot)) toes += joint.offset;
  }
  const std::optional<Vec3> up =
      head ? unit(*head - joints_[static_cast<std::size_t>(chain_.back())].at_rest) : std::nullopt;
  if (!up) return std::nullopt;
  RestPose rest;
  rest.up = *up;
  rest.right = unit(to_right - glm::dot(to_right, *up) * *up);
  rest.forward = unit(toes - glm::dot(toes, *up) * *up);
  return rest;
}

Result<Recording> BvhReader::finish() {
  if (part_ == Part::start) return Problem{file_, "line 1", "is empty"};
  ++line_;
  if (!open_.empty() || awaits_brace_) {
    return wrong(1, fmt::format("the file ends inside \"{}\": {} }} missing",
                                joints_.empty() ? "" : joints_.back().name, open_.size()));
  }
  if (part_ != Part::rows)
    return wrong(1, "the file ends before its frames: MOTION, Frames: and Frame Time:");
  if (recording_.size() < 8)
    return wrong(1, fmt::format("has {} frames, too few to measure anything", recording_.size()));
  std::vector<Convention>& said = recording_.conventions;
  said.push_back({"time", fmt::format("{:.4g} frames a second", 1 / frame_time_), "named in the file"});
  if (static_cast<double>(rows_) != frames_said_)
    said.push_back({"frames", fmt::format("{}", rows_),
                    fmt::format("found: the lines that follow; the file says {:g}", frames_said_)});
  const double first_turn = angle_between(recording_.orientation[0], recording_.orientation[1]);
  if (to_deg(first_turn) > 30 && to_deg(first_turn) / frame_time_ > false_jump_deg_s) {
    recording_.time.erase(recording_.time.begin());
    recording_.orientation.erase(recording_.orientation.begin());
    if (!recording_.place.empty()) recording_.place.erase(recording_.place.begin());
    said.push_back({"frame 0", "left out",
                    fmt::format("found: a reference pose, {:.0f} degrees from frame 1", to_deg(first_turn))});
  }
  said.push_back({"angles", "degrees", "named in the format"});
  if (answers_.length_unit_m)
    said.push_back({"length", fmt::format("{:g} m a unit", *answers_.length_unit_m), "given"});
  recording_.from_skeleton = true;
  recording_.rest = rest_pose();
  note_steps(recording_);
  return std::move(recording_);
}

}  // namespace halfturn
