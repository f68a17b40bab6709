#include "measure/measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "angle_track.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

const double flip_angle = to_rad(75.0);   // long axis this far from vertical: it is a flip
const double front_angle = to_rad(60.0);  // a flip toward this or less from the chest is a front one
const double stood_angle = to_rad(20.0);  // design section 6: stood up
constexpr double scale_doubt = 0.005;     // of what a gyroscope turned: common practice for calibrated ones
const double most_floor_angle = to_rad(80.0);  // further over is no stepping or pivoting
const double lost_turn = to_rad(150.0);        // in one step: the short way may no longer be the true one

std::optional<double> heading_deg(const Quat& q_WB) {
  const auto angle = heading(q_WB);
  if (!angle) return std::nullopt;
  return wrap_deg(to_deg(*angle));
}

/// The value nearest to `before` that differs from `angle` by whole turns.
double unwrapped(double angle, double before) {
  return before + wrap_rad(angle - before);
}

}  // namespace

AngleTrack::AngleTrack(const std::function<Quat(double)>& orientation, double duration)
    : duration_(duration) {
  std::vector<Quat> q(looks + 1);
  for (std::size_t k = 0; k <= looks; ++k) {
    q[k] = orientation(duration * static_cast<double>(k) / static_cast<double>(looks));
  }
  // The long axis sweeps an area; what of its vector is level is the axis the body flips about.
  const Vec3 up(0, 1, 0);
  Vec3 swept(0);
  double highest = 0;
  for (std::size_t k = 0; k <= looks; ++k) {
    highest = std::max(highest, angle_from_vertical(q[k]));
    if (k > 0) swept += glm::cross(q[k - 1] * up, q[k] * up);
  }
  const Vec3 level(swept.x, 0, swept.z);
  flips_ = highest > flip_angle && glm::length(level) > 0.1;
  const double chest = heading(q[0]).value_or(0);
  double turned_by = 0;  // heading of the split from the chest, and the twist back by the same
  if (flips_) {
    flip_axis_W_ = level / glm::length(level);
    const Vec3 toward = glm::cross(flip_axis_W_, up);
    flip_toward_ = wrap_rad(std::atan2(-toward.z, toward.x) - chest);
    const bool front = std::abs(flip_toward_) <= front_angle;
    flip_sign_ = front ? -1 : 1;
    turned_by = front ? flip_toward_ : wrap_rad(flip_toward_ - pi);
  }
  splits_.resize(looks + 1);
  for (std::size_t k = 0; k <= looks; ++k) {
    AngleSplit split = split_angles(q[k] * rotation_y(turned_by), chest + turned_by);
    if (k > 0) {
      const AngleSplit& before = splits_[k - 1];
      split.somersault = unwrapped(split.somersault, before.somersault);
      split.twist = unwrapped(split.twist, before.twist);
      if (std::abs(split.twist - before.twist) > 0.5 * pi) lost_ = true;
    }
    if (split.ill_conditioned) lost_ = true;
    splits_[k] = split;
  }
}

MakerAngles AngleTrack::at(double time) const {
  const double place = std::clamp(time / duration_, 0.0, 1.0) * static_cast<double>(looks);
  const auto k = std::min(static_cast<std::size_t>(place), looks - 1);
  const double u = place - static_cast<double>(k);
  const auto between = [u](double a, double b) { return a + u * (b - a); };
  const AngleSplit &a = splits_[k], &b = splits_[k + 1];
  MakerAngles angles;
  angles.flip = flips_ ? flip_sign_ * between(a.somersault, b.somersault) : 0;
  angles.lean = std::abs(between(a.tilt, b.tilt));
  angles.twist = between(a.twist, b.twist);
  return angles;
}

FlightMeasures measure_flight(const Flight& flight) {
  FlightMeasures m;
  m.air_time_s = flight.duration();
  const AngleTrack track([&](double t) { return flight.orientation(t); }, flight.duration());
  const AngleSplit &first = track.look(0), &last = track.look(AngleTrack::looks);
  m.flips = track.flips();
  if (m.flips) m.flip_toward_deg = wrap_deg(to_deg(track.flip_toward()));
  if (!track.lost()) {
    m.somersault_deg = to_deg(last.somersault - first.somersault);
    const double twist = last.twist - first.twist;
    m.twist_deg = to_deg(twist);
    if (std::abs(*m.twist_deg) >= 20) {
      // From the end backwards: the last time it was under a twentieth.
      std::size_t k = AngleTrack::looks;
      while (k > 0 && (track.look(k).twist - first.twist) / twist >= 0.05) --k;
      m.twist_onset_s = flight.duration() * static_cast<double>(k) / static_cast<double>(AngleTrack::looks);
    }
  }
  for (std::size_t k = 0; k <= AngleTrack::looks; ++k) {
    const FlightSample now =
        flight.at(flight.duration() * static_cast<double>(k) / static_cast<double>(AngleTrack::looks));
    const double twist_rate = to_deg(now.omega_B.y);
    const double flip_rate = to_deg(std::hypot(now.omega_B.x, now.omega_B.z));
    m.peak_somersault_rate_deg_s = std::max(m.peak_somersault_rate_deg_s, flip_rate);
    if (std::abs(twist_rate) > std::abs(m.peak_twist_rate_deg_s)) m.peak_twist_rate_deg_s = twist_rate;
    const double tilt = to_deg(track.look(k).tilt);
    if (std::abs(tilt) > std::abs(m.greatest_tilt_deg)) m.greatest_tilt_deg = tilt;
    m.landing_twist_rate_deg_s = twist_rate;
    m.landing_somersault_rate_deg_s = flip_rate;
    m.landing_tilt_deg = tilt;
  }
  const Quat takeoff = flight.orientation(0), landing = flight.orientation(flight.duration());
  m.takeoff_heading_deg = heading_deg(takeoff);
  m.landing_heading_deg = heading_deg(landing);
  m.takeoff_angle_deg = to_deg(angle_from_vertical(takeoff));
  m.landing_angle_deg = to_deg(angle_from_vertical(landing));
  return m;
}

namespace {

/// Refuses a flight with a step so long that whole turns may be lost in it; returns the greatest error of
/// interpolating over its steps, rad.
Result<double> step_error(const Recording& recording, const FoundFlight& found) {
  double error = 0;
  const std::size_t first = sample_before(recording, found.takeoff);
  const std::size_t last = std::min(recording.size() - 1, sample_before(recording, found.landing) + 1);
  for (std::size_t i = first; i < last; ++i) {
    const double step = recording.time[i + 1] - recording.time[i];
    const double seen = angle_between(recording.orientation[i], recording.orientation[i + 1]);
    // How fast it turned beside the gap tells more than the gap itself, which shows the short way only.
    double rate = seen / step;
    if (i > 0) {
      rate = std::max(rate, angle_between(recording.orientation[i - 1], recording.orientation[i]) /
                                (recording.time[i] - recording.time[i - 1]));
    }
    if (i + 2 < recording.size()) {
      rate = std::max(rate, angle_between(recording.orientation[i + 1], recording.orientation[i + 2]) /
                                (recording.time[i + 2] - recording.time[i + 1]));
    }
    if (rate * step > lost_turn) {
      return Problem{
          "", fmt::format("{:.3f} s", recording.time[i]),
          fmt::format("in the flight the next row comes only {:.3f} s later, time for {:.0f} degrees at "
                      "the rate beside it: how far it turned there cannot be known",
                      step, to_deg(rate * step))};
    }
    // Between two samples the rate may change by what it changes from step to step; the gap bends by an
    // eighth of that acceleration times its square.
    if (i > 0 && step > 1.5 * recording.step) error = std::max(error, 50.0 * step * step / 8);
  }
  return error;
}

/// What a gyroscope leaves open by landing, deg, and the cautions that go with it.
double note_gyroscope(const Recording& recording, const FoundFlight& found, const Alignment& alignment,
                      AttemptMeasures& m) {
  if (!recording.gyroscope) return 0;
  const Gyroscope& gyroscope = *recording.gyroscope;
  const double since = found.landing - (alignment.stance ? alignment.stance->to : found.takeoff);
  const double drift = to_deg(gyroscope.bias_doubt) * std::max(0.0, since);
  const double scale = scale_doubt * std::abs(m.flight.twist_deg.value_or(0));
  double bridged = 0, clipped_s = 0;
  for (const ClippedSpan& clip : gyroscope.clips) {
    if (clip.span.to < found.takeoff || clip.span.from > found.landing) continue;
    bridged += to_deg(clip.added);
    clipped_s += clip.span.to - clip.span.from;
  }
  if (clipped_s > 0) {
    m.cautions.push_back(
        fmt::format("The gyroscope was at its limit of {:.0f} degrees a second for {:.3f} s of this flight; "
                    "{:.0f} degrees were "
                    "bridged there from the slopes on both sides and are an estimate.",
                    to_deg(gyroscope.limit), clipped_s, bridged));
  }
  if (to_deg(gyroscope.tilt_drift) > 10) {
    m.cautions.push_back(
        fmt::format("Integrated and felt up differ by {:.0f} degrees at a still stretch: the gyroscope "
                    "drifts or was clipped, and turns are off by about as much.",
                    to_deg(gyroscope.tilt_drift)));
  }
  return std::hypot(std::hypot(drift, scale), 0.5 * bridged);
}

}  // namespace

Result<AttemptMeasures> measure_attempt(const Recording& recording, const Alignment& alignment,
                                        const FoundFlight& found) {
  const Result<double> gap_error = step_error(recording, found);
  if (!gap_error) return gap_error.problem();
  AttemptMeasures m;
  m.takeoff_s = found.takeoff;
  m.landing_s = found.landing;
  m.flight = measure_flight(recorded_flight(recording, alignment, found));
  const auto q_WB = [&](double time) {
    return rotation_y(alignment.heading_shift) * orientation_at(recording, time) * alignment.q_SB;
  };
  if (alignment.stance) {
    const Span& stance = *alignment.stance;
    const Quat middle = q_WB(0.5 * (stance.from + stance.to));
    const auto start = heading(middle);
    m.start_heading_deg = heading_deg(middle);
    if (start) {
      double now = *start, lowest = 0;
      for (std::size_t i = sample_before(recording, stance.to); i < recording.size(); ++i) {
        const Quat q = q_WB(std::min(recording.time[i], found.takeoff));
        if (const auto chest = heading(q)) now = unwrapped(*chest, now);
        lowest = std::max(lowest, angle_from_vertical(q));
        if (recording.time[i] >= found.takeoff) break;
      }
      if (lowest < most_floor_angle) {
        m.floor_turn_deg = to_deg(now - *start);
      } else {
        // After a roundoff or a handspring the way it turned on the floor means nothing.
        m.start_heading_deg = m.flight.takeoff_heading_deg;
        m.cautions.emplace_back(
            "Between the still stance and takeoff the athlete went over, as in a roundoff: the start heading "
            "is that at "
            "takeoff, and no turn on the floor is counted.");
      }
      if (m.floor_turn_deg && found.takeoff - stance.to > 2) {
        m.cautions.push_back(
            fmt::format("The still stance ends {:.1f} s before takeoff: what the athlete turned while "
                        "walking or running up counts as turned on the floor.",
                        found.takeoff - stance.to));
      }
    }
  } else {
    if (m.flight.takeoff_angle_deg < to_deg(stood_angle)) m.start_heading_deg = m.flight.takeoff_heading_deg;
    m.cautions.emplace_back(m.start_heading_deg
                                ? "No still stance before takeoff: the start heading is that at takeoff."
                                : "No still stance before takeoff, so the start heading is not known.");
  }
  for (std::size_t i = sample_before(recording, found.landing); i < recording.size(); ++i) {
    const double time = std::max(recording.time[i], found.landing);
    const Quat q = q_WB(time);
    if (angle_from_vertical(q) >= stood_angle) continue;
    m.stood_heading_deg = heading_deg(q);
    m.stood_after_s = time - found.landing;
    break;
  }
  if (!m.stood_heading_deg) m.cautions.emplace_back("The record ends before the athlete stands up.");
  if (m.start_heading_deg && m.stood_heading_deg && m.flight.twist_deg) {
    const double about = m.floor_turn_deg.value_or(0) + *m.flight.twist_deg;
    const double wrapped = *m.stood_heading_deg - *m.start_heading_deg;
    m.turn_deg = wrapped + 360.0 * std::round((about - wrapped) / 360.0);
  }
  if (!m.flight.twist_deg) {
    m.cautions.emplace_back(
        "In this flight the head came to point along the axis of the flip: there somersault and twist cannot "
        "be told "
        "apart, so neither is given; headings and angles from vertical still hold.");
  }
  // What is open: when it left and landed, how the sensor sits, what the gaps hide.
  const double takeoff = found.takeoff_uncertainty, landing = found.landing_uncertainty;
  m.doubt.air_time_s = std::hypot(takeoff, landing);
  const double rate = note_gyroscope(recording, found, alignment, m);
  const double still = std::hypot(to_deg(alignment.doubt), to_deg(*gap_error), rate);
  m.doubt.twist_deg = std::hypot(m.flight.landing_twist_rate_deg_s * landing, still);
  m.doubt.somersault_deg = std::hypot(m.flight.landing_somersault_rate_deg_s * m.doubt.air_time_s, still);
  m.doubt.heading_deg = m.doubt.twist_deg;
  return m;
}

std::optional<AgainstPlan> against_plan(const AttemptMeasures& measured, const FlightMeasures& planned,
                                        double side, double planned_floor_turn_deg,
                                        double planned_start_heading_deg) {
  if (!measured.flight.twist_deg || !planned.twist_deg) return std::nullopt;
  AgainstPlan against;
  const double made = measured.floor_turn_deg.value_or(0) + *measured.flight.twist_deg;
  const double wanted = (measured.floor_turn_deg ? planned_floor_turn_deg : 0) + *planned.twist_deg;
  against.turn_error_deg = side * (made - wanted);
  if (measured.flight.somersault_deg && planned.somersault_deg) {
    against.somersault_error_deg =
        std::abs(*measured.flight.somersault_deg) - std::abs(*planned.somersault_deg);
  }
  if (measured.flight.landing_heading_deg && planned.landing_heading_deg && measured.start_heading_deg) {
    const double from_start = *measured.flight.landing_heading_deg - *measured.start_heading_deg;
    against.heading_error_deg =
        wrap_deg(side * (from_start - (*planned.landing_heading_deg - planned_start_heading_deg))) + 0.0;
  }
  against.uprightness_error_deg = measured.flight.landing_angle_deg - planned.landing_angle_deg;
  against.air_time_error_s = measured.flight.air_time_s - planned.air_time_s;
  return against;
}

}  // namespace halfturn
