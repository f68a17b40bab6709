// How the sensor sits on the body: from what the person says, a still stance, a bow or the flip itself.
#include "measure/alignment.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>

#include "base/expect.hpp"
#include "measure/measures.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

const double most_stance_tilt = to_rad(25.0);  // a stance further from upright contradicts the axes given
const double likely_tilt = to_rad(20.0);       // of a sensor that lies like the body
const double least_bow = to_rad(20.0);
const double worn_doubt = to_rad(1.0);  // a still stance is upright to about this: this project's estimate

double heading_of(const Vec3& direction) {
  return std::atan2(-direction.z, direction.x);
}

/// Mean orientation over a span, and the greatest angle from it.
struct Mean {
  Quat q{1, 0, 0, 0};
  double sway = 0;
};
Mean mean_orientation(const Recording& recording, const Span& span) {
  const std::size_t first = sample_before(recording, span.from), last = sample_before(recording, span.to);
  const Quat& reference = recording.orientation[(first + last) / 2];
  Vec3 sum(0);
  for (std::size_t i = first; i <= last; ++i) {
    sum += log_rotation(glm::conjugate(reference) * recording.orientation[i]);
  }
  Mean mean;
  mean.q = reference * exp_rotation(sum / static_cast<double>(last - first + 1));
  for (std::size_t i = first; i <= last; ++i) {
    mean.sway = std::max(mean.sway, angle_between(mean.q, recording.orientation[i]));
  }
  return mean;
}

/// The last still stretch that ends before takeoff.
std::optional<Span> stance_before(const Recording& recording, double takeoff) {
  std::optional<Span> stance;
  for (const Span& span : still_spans(recording)) {
    if (span.from >= takeoff) break;
    const Span cut{span.from, std::min(span.to, takeoff)};
    if (cut.to - cut.from >= 0.15) stance = cut;
  }
  return stance;
}

/// Heading of the chest in the stance, from a bow forward: the body turns about its left.
Result<double> chest_by_bow(const Recording& recording, const Mean& stance, const Span& bow) {
  double deepest = 0;
  Vec3 about(0);
  for (std::size_t i = sample_before(recording, bow.from);
       i < recording.size() && recording.time[i] <= bow.to; ++i) {
    const Vec3 turn = log_rotation(recording.orientation[i] * glm::conjugate(stance.q));
    const Vec3 level(turn.x, 0, turn.z);
    if (glm::length(level) > deepest) {
      deepest = glm::length(level);
      about = level;
    }
  }
  if (deepest < least_bow) {
    return Problem{
        "", "--bow",
        fmt::format("the record bends only {:.0f} degrees between {:g} and {:g} s; mark a bow forward of 20 "
                    "degrees or more",
                    to_deg(deepest), bow.from, bow.to)};
  }
  return heading_of(glm::cross(Vec3(0, 1, 0), -about));
}

/// Axes given for the sensor: the rotation body -> sensor.
Result<Quat> rotation_of_axes(const SignedAxis& forward, const SignedAxis& up) {
  if (forward.index == up.index) {
    return Problem{"", "--axes", "forward and up are the same axis of the sensor"};
  }
  const Vec3 x = forward.vector(), y = up.vector();
  return glm::quat_cast(Mat3(x, y, glm::cross(x, y)));
}

constexpr const char* chest_question =
    "the record does not say which way the chest faces, so front, back and side cannot be told apart: mark a "
    "bow "
    "forward with --bow FROM,TO, or say which sensor axis points forward, --axes forward=z, or which way it "
    "flips, "
    "--flip-toward back";

}  // namespace

Result<Alignment> align(const Recording& recording, const FrameAnswers& answers, const FoundFlight& flight) {
  Alignment alignment;
  std::vector<Convention>& said = alignment.conventions;
  if (answers.still) {
    alignment.stance = answers.still;
  } else {
    alignment.stance = stance_before(recording, flight.takeoff);
  }
  Mean stance;
  if (alignment.stance) {
    stance = mean_orientation(recording, *alignment.stance);
    alignment.doubt = std::hypot(0.5 * stance.sway, worn_doubt);
    said.push_back({"still stance",
                    fmt::format("{:.2f} to {:.2f} s", alignment.stance->from, alignment.stance->to),
                    answers.still ? "given" : "found: the last still moment before takeoff"});
  } else if (answers.start_heading_deg) {
    return Problem{"", "--start-heading",
                   "needs a still stance before takeoff: mark it with --still FROM,TO"};
  }

  std::optional<SignedAxis> forward = answers.forward, up = answers.up;
  std::string how = "given";
  if (!forward && !up && recording.own_table) {
    forward = SignedAxis{0, 1};
    up = SignedAxis{1, 1};
    how = "named in the header: Halfturn's own table";
  }
  if (!forward && !up && recording.rest) {
    const RestPose& rest = *recording.rest;
    // Right-handed by now: Y up x Z right is X forward.
    std::optional<Vec3> ahead = rest.forward;
    if (!ahead && rest.right) ahead = glm::cross(rest.up, *rest.right);
    const auto stands = nearest_axis(rest.up);
    const auto faces = ahead ? nearest_axis(*ahead) : std::nullopt;
    if (stands && faces && stands->index != faces->index) {
      forward = faces;
      up = stands;
      how = rest.forward ? "found: the way the skeleton's feet point with every angle 0"
                         : "found: from the skeleton's left to its right with every angle 0";
    }
  }
  const bool chest_told = forward || answers.bow || answers.flip_toward_deg;
  if (!chest_told && !up && recording.y_up && alignment.stance &&
      angle_from_vertical(stance.q) < likely_tilt) {
    forward = SignedAxis{0, 1};
    up = SignedAxis{1, 1};
    how =
        "assumed: y points up in the still stance and in the record's world, as in Halfturn's own axes; say "
        "--axes or --bow if x is not forward";
  }
  double chest = 0;  // heading of the chest in the stance, in W
  if (forward && up) {
    const Result<Quat> q_SB = rotation_of_axes(*forward, *up);
    if (!q_SB) return q_SB.problem();
    alignment.q_SB = *q_SB;
    said.push_back({"sensor axes", fmt::format("{} forward, {} up", forward->word(), up->word()), how});
    if (alignment.stance) {
      const double tilt = angle_from_vertical(stance.q * *q_SB);
      if (tilt > most_stance_tilt) {
        return Problem{
            "", "--axes",
            fmt::format("{} up ({}), but in the still stance from {:.2f} to {:.2f} s that axis is {:.0f} "
                        "degrees from vertical: give the axes with --axes forward=x,up=y, or leave them out "
                        "and let the stance tell",
                        up->word(), how, alignment.stance->from, alignment.stance->to, to_deg(tilt))};
      }
      chest = heading(stance.q * *q_SB).value_or(0);
      alignment.doubt = std::hypot(0.5 * tilt, worn_doubt);
    }
  } else {
    if (!alignment.stance) {
      return Problem{
          "", "--still",
          "nothing tells how the sensor sits on the body: mark a moment of standing upright and still with "
          "--still FROM,TO, or give the sensor's axes with --axes forward=x,up=y"};
    }
    said.push_back(
        {"upright", "the still stance", answers.still ? "given" : "assumed: people stand upright"});
    const auto mount = [&](double heading_of_chest) {
      alignment.q_SB = glm::conjugate(stance.q) * rotation_y(heading_of_chest);
    };
    mount(0);
    const FlightMeasures blind = measure_flight(recorded_flight(recording, alignment, flight));
    if (forward) {
      const Vec3 direction = stance.q * forward->vector();
      if (std::hypot(direction.x, direction.z) < 0.5) {
        return Problem{
            "", "--axes",
            fmt::format("forward={}, but that axis points up or down in the still stance", forward->word())};
      }
      chest = heading_of(direction);
      said.push_back({"chest", "sensor axis " + forward->word(), "given"});
    } else if (answers.bow) {
      const Result<double> bowed = chest_by_bow(recording, stance, *answers.bow);
      if (!bowed) return bowed.problem();
      chest = *bowed;
      said.push_back({"chest", "by the bow", "given"});
    } else if (blind.flips && (answers.flip_toward_deg || answers.planned_flip_toward_deg)) {
      const double toward =
          answers.flip_toward_deg ? *answers.flip_toward_deg : *answers.planned_flip_toward_deg;
      chest = to_rad(*blind.flip_toward_deg - toward);
      said.push_back({"chest", fmt::format("flips toward {:g} degrees from it", toward),
                      answers.flip_toward_deg ? "given" : "assumed: it flips as the plan says"});
    } else if (!blind.flips) {
      alignment.chest_known = false;
      said.push_back({"chest", "not needed", "no flip: only turns about the vertical count"});
    } else {
      return Problem{"", "--bow", chest_question};
    }
    mount(chest);
  }
  // A mounting that was solved has no heading of its own: the stance faces the start, the front wall unless
  // said.
  const bool own_heading = forward && up;
  if (alignment.stance && (answers.start_heading_deg || !own_heading)) {
    alignment.heading_shift = to_rad(answers.start_heading_deg.value_or(0)) - chest;
    said.push_back({"start heading", fmt::format("{:g}", answers.start_heading_deg.value_or(0)),
                    answers.start_heading_deg ? "given" : "assumed: the stance faces the front"});
  } else {
    said.push_back({"headings", "as in the record's world", how});
  }
  return alignment;
}

}  // namespace halfturn
