// Which way is up, and which hand the axes have: asked of the record, then of the person.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <glm/geometric.hpp>

#include "base/expect.hpp"
#include "flight/simulated.hpp"
#include "measure/alignment.hpp"
#include "rotation/heading.hpp"
#include "sense.hpp"

namespace halfturn {

Vec3 SignedAxis::vector() const {
  Vec3 v(0);
  v[index] = sign;
  return v;
}

std::string SignedAxis::word() const {
  return fmt::format("{}{}", sign < 0 ? "-" : "", "xyz"[index]);
}

std::optional<SignedAxis> signed_axis(std::string_view word) {
  SignedAxis axis;
  if (word.starts_with('+') || word.starts_with('-')) {
    axis.sign = word[0] == '-' ? -1 : 1;
    word.remove_prefix(1);
  }
  if (word.size() != 1) return std::nullopt;
  const char letter = word[0];
  if (letter >= 'x' && letter <= 'z')
    axis.index = letter - 'x';
  else if (letter >= 'X' && letter <= 'Z')
    axis.index = letter - 'X';
  else
    return std::nullopt;
  return axis;
}

std::optional<SignedAxis> nearest_axis(const Vec3& direction) {
  for (int index = 0; index < 3; ++index) {
    if (std::abs(direction[index]) > close_cosine)
      return SignedAxis{index, direction[index] < 0 ? -1.0 : 1.0};
  }
  return std::nullopt;
}

namespace {

/// The same record seen in a mirror across one axis of both its frames: left-handed becomes right-handed.
void mirror(Recording& recording, FrameAnswers& answers, int axis) {
  for (Quat& q : recording.orientation) {
    const Vec3 v(q.x, q.y, q.z);
    Vec3 turned = -v;
    turned[axis] = v[axis];
    q = Quat(q.w, turned.x, turned.y, turned.z);
  }
  for (Reading& rate : recording.rate) {
    const float kept = rate[axis];
    rate = -rate;
    rate[axis] = kept;
  }
  for (Reading& force : recording.force) force[axis] = -force[axis];
  for (Reading& place : recording.place) place[axis] = -place[axis];
  if (recording.rest) {
    recording.rest->up[axis] = -recording.rest->up[axis];
    for (auto* direction : {&recording.rest->right, &recording.rest->forward}) {
      if (*direction) (**direction)[axis] = -(**direction)[axis];
    }
  }
  for (auto* answer : {&answers.forward, &answers.up, &answers.world_up}) {
    if (*answer && (*answer)->index == axis) (*answer)->sign = -(*answer)->sign;
  }
}

/// The axis of the record's world along which its path falls freely.
std::optional<SignedAxis> up_by_path(const Recording& recording) {
  if (recording.place.empty()) return std::nullopt;
  std::optional<SignedAxis> found;
  for (int index = 0; index < 3; ++index) {
    for (const double sign : {1.0, -1.0}) {
      std::vector<float> height;
      height.reserve(recording.size());
      for (const Reading& place : recording.place) height.push_back(static_cast<float>(sign) * place[index]);
      if (flights_by_height(recording.time, height).empty()) continue;
      if (found) return std::nullopt;
      found = SignedAxis{index, sign};
    }
  }
  return found;
}

/// Turn about an axis of the record's world, rad, + by the right hand, from the first to the last moment.
double turned_about(const Recording& recording, const Span& span, const Vec3& up) {
  const std::size_t first = sample_before(recording, span.from), last = sample_before(recording, span.to);
  double sum = 0;
  for (std::size_t i = first; i < last; ++i) {
    const Quat step = recording.orientation[i + 1] * glm::conjugate(recording.orientation[i]);
    sum += glm::dot(log_rotation(step), up);
  }
  return sum;
}

/// Whether the axes of a skeleton are left-handed: its feet, its head and its right side tell. Empty where
/// one of them is not known.
std::optional<bool> left_handed_by(const RestPose& rest) {
  if (!rest.forward || !rest.right) return std::nullopt;
  const double sense = glm::dot(glm::cross(*rest.forward, rest.up), *rest.right);
  if (std::abs(sense) < 0.5) return std::nullopt;
  return sense < 0;
}

constexpr const char* up_question =
    "which axis of the record's world points up? Give --up y, --up z, --up -z and so on";

}  // namespace

Outcome settle_world(Recording& recording, FrameAnswers& answers) {
  HT_EXPECT(!recording.orientation.empty());
  std::vector<Convention>& said = recording.conventions;
  std::string hand_how = answers.left_handed ? "given" : "";
  if (const auto left_handed = recording.rest ? left_handed_by(*recording.rest) : std::nullopt) {
    if (answers.left_handed && *answers.left_handed != *left_handed) {
      return Problem{"", "--hand",
                     fmt::format("says {}, but by its feet, head and right side the skeleton's axes are "
                                 "{}-handed",
                                 *answers.left_handed ? "left" : "right", *left_handed ? "left" : "right")};
    }
    answers.left_handed = left_handed;
    if (hand_how.empty()) hand_how = "found: the skeleton's feet, head and right side";
  }
  if (answers.left_handed.value_or(false)) {
    mirror(recording, answers, answers.world_up ? (answers.world_up->index + 1) % 3 : 2);
  }
  const std::vector<Span> stills = recording.force.empty() ? std::vector<Span>{} : still_spans(recording);
  if (!recording.gyroscope) {
    if (Outcome problem = settle_sense(recording, answers, stills)) return problem;
  }

  std::optional<Vec3> rest;
  std::optional<SignedAxis> rest_axis;
  if (!stills.empty()) {
    rest = rest_direction(recording, stills, false);
    if (rest) rest_axis = nearest_axis(*rest);
    // An integrated record begins with its up felt; what it drifts by later is told elsewhere.
    if (recording.gyroscope) rest_axis = SignedAxis{1, 1};
  }
  const auto path = up_by_path(recording);
  SignedAxis up{1, 1};
  std::string how;
  bool sign_sure = true;
  if (answers.world_up) {
    up = *answers.world_up;
    how = "given";
    if (path && !(*path == up)) {
      return Problem{"", "--up",
                     fmt::format("says {}, but the path in this record falls freely against {}", up.word(),
                                 path->word())};
    }
    if (rest && (!rest_axis || rest_axis->index != up.index)) {
      return Problem{"", "--up",
                     fmt::format("says {}, but at rest the accelerometer points {}", up.word(),
                                 rest_axis ? "along " + rest_axis->word()
                                           : std::string("along no axis of the record's world"))};
    }
  } else if (path) {
    up = *path;
    how = "found: the path falls freely against it";
    const auto stands = recording.rest ? nearest_axis(recording.rest->up) : std::nullopt;
    if (stands && !(*stands == up)) {
      return Problem{
          "", "--up",
          fmt::format("the path falls against {}, but the skeleton stands along {}: say which is up",
                      up.word(), stands->word())};
    }
    if (rest_axis && rest_axis->index != up.index) {
      return Problem{
          "", "--up",
          fmt::format("the path falls against {}, the accelerometer at rest points along {}: say which "
                      "is up",
                      up.word(), rest_axis->word())};
    }
  } else if (const auto stands = recording.rest ? nearest_axis(recording.rest->up) : std::nullopt) {
    up = *stands;
    how = "found: the skeleton stands along it with every angle 0";
  } else if (rest_axis) {
    up = *rest_axis;
    how = "found: the accelerometer at rest points along it";
    // An integrated record has been turned over already.
    const bool reads_down = answers.rest_reads_down.value_or(false) && !recording.gyroscope;
    if (reads_down) up.sign = -up.sign;
    sign_sure = answers.rest_reads_down.has_value() || (up == SignedAxis{1, 1} && !recording.gyroscope);
    if (!sign_sure && !answers.turn) {
      return Problem{
          "", "--up",
          fmt::format("at rest the accelerometer points along {}; devices differ in whether that is up or "
                      "down, and left and right hang on it: give --up {} or --up {}, or mark a known turn "
                      "with --turn FROM,TO,left90",
                      up.word(), SignedAxis{up.index, 1}.word(), SignedAxis{up.index, -1}.word())};
    }
  } else if (recording.own_table) {
    how = "named in the header: Halfturn's own table";
  } else {
    return Problem{"", "--up", up_question};
  }

  if (answers.turn) {
    const double want = to_rad(answers.turn->turn_deg);
    const double got = turned_about(recording, answers.turn->span, up.vector());
    const double allowed = std::max(to_rad(25.0), 0.2 * std::abs(want));
    if (std::abs(got - want) <= allowed) {
      how += "; the marked turn agrees";
    } else if (std::abs(got + want) <= allowed) {
      if (!sign_sure) {
        up.sign = -up.sign;
        how = "found: the accelerometer at rest and the marked turn";
      } else if (!answers.left_handed) {
        mirror(recording, answers, (up.index + 1) % 3);
        said.push_back({"hand of the axes", "left", "found: the marked turn reads the other way"});
      } else {
        return Problem{
            "", "--turn",
            fmt::format("says {:g} degrees to the left, but the record turns {:.0f} the other way: up, hand "
                        "and turn cannot all be right",
                        answers.turn->turn_deg, std::abs(to_deg(got)))};
      }
    } else {
      return Problem{
          "", "--turn",
          fmt::format("says {:g} degrees to the left between {:g} and {:g} s, but the record turns {:.0f} "
                      "about {}: mark the turn anew",
                      answers.turn->turn_deg, answers.turn->span.from, answers.turn->span.to, to_deg(got),
                      up.word())};
    }
  }
  said.push_back({"up", up.word() + " of the record's world", how});
  if (!answers.turn) {
    said.push_back({"hand of the axes", answers.left_handed.value_or(false) ? "left" : "right",
                    !hand_how.empty()     ? hand_how
                    : recording.own_table ? "named in the header: Halfturn's own table"
                                          : "assumed: the usual one; --turn FROM,TO,left90 would check it"});
  }
  recording.y_up = up == SignedAxis{1, 1} && !recording.gyroscope && !recording.from_skeleton;
  // Y of W is up; of the two rotations that take one axis to another, the short one keeps the heading whole.
  const Vec3 from = up.vector(), y(0, 1, 0);
  const Vec3 axis = glm::cross(from, y);
  Quat q_WR(1, 0, 0, 0);
  if (glm::dot(from, y) < -0.5)
    q_WR = rotation_x(pi);
  else if (glm::length(axis) > 0.5)
    q_WR = rotation_about(axis, 0.5 * pi);
  if (!(q_WR == Quat(1, 0, 0, 0))) {
    for (Quat& q : recording.orientation) q = q_WR * q;
    for (Reading& place : recording.place) place = Reading(q_WR * Vec3(place));
  }
  if (rest && glm::dot(q_WR * *rest, y) < 0) {
    for (Reading& force : recording.force) force = -force;
    said.push_back({"accelerometer at rest", "reads down", "found: against the axis that is up"});
  }
  return std::nullopt;
}

}  // namespace halfturn
