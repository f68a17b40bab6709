// Whether the orientations of a record map the sensor to the world or the other way.
#include "sense.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "consistency.hpp"
#include "measure/find_flight.hpp"
#include "rotation/heading.hpp"

namespace halfturn {

std::optional<Vec3> rest_direction(const Recording& recording, const std::vector<Span>& stills,
                                   bool world_to_sensor) {
  Vec3 sum(0);
  double count = 0;
  for (const Span& span : stills) {
    for (std::size_t i = sample_before(recording, span.from);
         i < recording.size() && recording.time[i] <= span.to; ++i) {
      const Quat& q = recording.orientation[i];
      const Vec3 force(recording.force[i]);
      const double length = glm::length(force);
      if (!(length > 0)) continue;
      sum += (world_to_sensor ? glm::conjugate(q) : q) * (force / length);
      ++count;
    }
  }
  if (count == 0) return std::nullopt;
  return sum / count;
}

namespace {

constexpr double least_rate_fit = 0.8;  // of a gyroscope that turns with the orientations at all

/// Whether the gyroscope agrees with the orientations as sensor -> world or the other way; empty: neither, or
/// no gyroscope, or no turning. Mirrored signs are mended on the way; a wrong unit is a question.
Outcome sense_by_rate(Recording& recording, std::optional<bool>& world_to_sensor) {
  constexpr const char* against = "the orientations";
  const auto plain = rate_against_orientation(recording, false);
  const auto other = rate_against_orientation(recording, true);
  if (!plain || !other) return std::nullopt;
  const bool inverse = other->fit > plain->fit;
  const RateScale& best = inverse ? *other : *plain;
  const double rest = inverse ? plain->fit : other->fit;
  if (Outcome question = rate_question(best, against)) return question;
  if (best.fit < least_rate_fit) {
    return Problem{"", "record",
                   "the gyroscope and the orientations of this record do not turn together, whichever way "
                   "they map: leave one of the two out of the file"};
  }
  // A turn about one axis alone reads the same both ways but for its sign: the usual sign tells.
  if (rest > 0.8 * best.fit) {
    world_to_sensor = plain->scale < 0;
    return std::nullopt;
  }
  mend_mirrored_rates(recording, best, against);
  world_to_sensor = inverse;
  return std::nullopt;
}

/// Whether free fall, as a sensor off the centre of mass feels it, is found in one way of mapping only.
std::optional<bool> world_to_sensor_by_fall(Recording& recording) {
  const auto turn_over = [&] {
    for (Quat& q : recording.orientation) q = glm::conjugate(q);
  };
  const auto longest = [&] {
    double longest_s = 0;
    for (const FoundFlight& flight : flights_by_force(recording)) {
      longest_s = std::max(longest_s, flight.landing - flight.takeoff);
    }
    return longest_s;
  };
  const double plain = longest();
  turn_over();
  const double other = longest();
  turn_over();
  if (plain > 1.5 * other) return false;
  if (other > 1.5 * plain) return true;
  return std::nullopt;
}

/// Whether the ways the athlete stands still differ by turns about the axis that is up in one way of mapping
/// only. Empty: nothing tells, as when every stance faces the same way.
std::optional<bool> world_to_sensor_by_stances(const Recording& recording, const Vec3& up) {
  constexpr double along = 0.97, across = 0.85;  // cosines: within 14 degrees of it, and over 32 from it
  const std::vector<Span> stills = still_spans(recording);
  std::optional<bool> found;
  for (std::size_t k = 1; k < stills.size(); ++k) {
    const auto middle = [&](const Span& span) {
      return recording.orientation[sample_before(recording, 0.5 * (span.from + span.to))];
    };
    const Quat first = middle(stills[0]), later = middle(stills[k]);
    const Vec3 plain = log_rotation(later * glm::conjugate(first));
    const Vec3 other = log_rotation(glm::conjugate(later) * first);
    const double angle = glm::length(plain);
    if (angle < to_rad(30)) continue;
    const double plain_up = std::abs(glm::dot(plain, up)) / angle;
    const double other_up = std::abs(glm::dot(other, up)) / angle;
    if (plain_up > along && other_up < across) found = false;
    if (other_up > along && plain_up < across) found = true;
  }
  return found;
}

}  // namespace

Outcome settle_sense(Recording& recording, const FrameAnswers& answers, const std::vector<Span>& stills) {
  std::optional<bool> by_rate;
  if (Outcome problem = sense_by_rate(recording, by_rate)) return problem;
  bool inverse = false;
  std::string how;
  if (answers.world_to_sensor) {
    inverse = *answers.world_to_sensor;
    how = "given";
    if (by_rate && *by_rate != inverse) {
      return Problem{"", "--orientation",
                     fmt::format("says {}, but the gyroscope of this record turns the other way: it is {}",
                                 inverse ? "world-to-body" : "body-to-world",
                                 inverse ? "body-to-world" : "world-to-body")};
    }
  } else if (by_rate) {
    inverse = *by_rate;
    how = "found: the gyroscope turns that way";
  } else {
    how = recording.own_table ? "named in the header: Halfturn's own table"
          : recording.from_skeleton
              ? "named in the format"
              : "assumed: the usual order; say --orientation world-to-body if a left turn reads right";
    const bool assumed = how.starts_with("assumed");
    if (const auto by_stances = assumed && recording.force.empty() && answers.world_up
                                    ? world_to_sensor_by_stances(recording, answers.world_up->vector())
                                    : std::nullopt) {
      inverse = *by_stances;
      how = "found: only so do all still stances stand upright";
    }
    if (!stills.empty() && !recording.force.empty()) {
      const auto plain = rest_direction(recording, stills, false);
      const auto other = rest_direction(recording, stills, true);
      const bool plain_fits = plain && glm::length(*plain) > close_cosine && nearest_axis(*plain);
      const bool other_fits = other && glm::length(*other) > close_cosine && nearest_axis(*other);
      if (!plain_fits && !other_fits) {
        return Problem{
            "", "--orientation",
            "the accelerometer at rest points along no axis of the orientations' world, whichever way "
            "they map: the two do not belong together"};
      }
      if (plain_fits != other_fits) {
        inverse = other_fits;
        how = "found: only so does the accelerometer at rest point up";
      } else if (const auto by_fall = world_to_sensor_by_fall(recording)) {
        inverse = *by_fall;
        how = "found: only so does the flight read as free fall";
      }
    }
  }
  if (inverse) {
    for (Quat& q : recording.orientation) q = glm::conjugate(q);
  }
  recording.conventions.push_back({"orientation", inverse ? "world to sensor" : "sensor to world", how});
  return std::nullopt;
}

}  // namespace halfturn
