#include "ladder/sight.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

// Measures of the body in the way of the eyes, m, for a height of 1.70 m: those of the figure that is drawn.
constexpr double mean_height = 1.70;
constexpr double head_over_neck = 0.145, eyes_before_head = 0.12;
constexpr double pelvis_radius = 0.135, pelvis_half_width = 0.045, belly_radius = 0.125;
constexpr double chest_low_radius = 0.137, chest_radius = 0.15, shoulder_radius = 0.095;
constexpr double shoulder_inset = 0.065, shoulder_drop = 0.025;
constexpr double upper_arm_radius = 0.065, elbow_radius = 0.052, wrist_radius = 0.042, hand_radius = 0.05;
constexpr double hip_radius = 0.10, knee_radius = 0.068, below_knee_radius = 0.066, ankle_radius = 0.048;
constexpr double heel_radius = 0.054, heel_x = -0.03, toe_x = 0.19;

// How far head and eyes together turn from where the head is held; this project's choice, well within what a
// neck and eyes can do.
constexpr double shoulder_turn_deg = 60, shoulder_down_deg = 20, chin_down_deg = 40;

constexpr double spot_radius = 0.40;  // m, of the landing spot
constexpr int spot_points = 8;        // around its middle
constexpr double seen_share = 0.5;    // of the spot that counts as seen
constexpr double scan_rate = 240;     // looks a second
constexpr double edge_accuracy_s = 0.0001;

double length_of(const HumanBody& body, Segment child) {
  return -body.segments[static_cast<std::size_t>(child)].joint_centre_in_parent.y;
}

/// A body at a moment: where any place on it is.
class Placed {
 public:
  Placed(const HumanBody& body, const FlightSample& now) : q_WB_(now.q_WB) {
    places_ = segment_places(body, now.pose);
    origin_W_ = now.com_W - q_WB_ * centre_of_mass(body, places_);
  }
  [[nodiscard]] Vec3 point(Segment segment, const Vec3& at) const {
    const auto s = static_cast<std::size_t>(segment);
    return origin_W_ + q_WB_ * (places_.origin[s] + places_.rotation[s] * at);
  }
  [[nodiscard]] Vec3 direction(Segment segment, const Vec3& way) const {
    return q_WB_ * (places_.rotation[static_cast<std::size_t>(segment)] * way);
  }

 private:
  SegmentPlaces places_;
  Quat q_WB_;
  Vec3 origin_W_{};
};

Eyes eyes_of(const HumanBody& body, const Placed& placed, Gaze gaze, Side side) {
  const double grow = body.height / mean_height;
  double turn_deg = 0, down_deg = 0;
  if (gaze == Gaze::over_shoulder) {
    turn_deg = sign_of(side) * shoulder_turn_deg;
    down_deg = shoulder_down_deg;
  } else if (gaze == Gaze::chin_down) {
    down_deg = chin_down_deg;
  }
  const Quat look = rotation_y(to_rad(turn_deg)) * rotation_z(-to_rad(down_deg));
  Eyes eyes;
  // The eyes go round with the head.
  eyes.point_W =
      placed.point(Segment::head, grow * (Vec3(0, head_over_neck, 0) + look * Vec3(eyes_before_head, 0, 0)));
  eyes.ahead_W = placed.direction(Segment::head, look * Vec3(1, 0, 0));
  eyes.up_W = placed.direction(Segment::head, look * Vec3(0, 1, 0));
  return eyes;
}

std::vector<BodyPart> parts_of(const HumanBody& body, const Placed& placed) {
  const double g = body.height / mean_height;
  std::vector<BodyPart> parts;
  const auto part = [&](Segment s, const Vec3& a, const Vec3& b, double ra, double rb) {
    parts.push_back({placed.point(s, a), placed.point(s, b), g * ra, g * rb});
  };
  const double shoulder_y =
      body.segments[static_cast<std::size_t>(Segment::upper_arm_left)].joint_centre_in_parent.y;
  const double reach = body.shoulder_half_width - shoulder_inset * g;
  part(Segment::pelvis, {0, 0.025 * g, -pelvis_half_width * g}, {0, 0.025 * g, pelvis_half_width * g},
       pelvis_radius, pelvis_radius);
  part(Segment::abdomen, {0, -0.02 * g, 0}, {0, 0.12 * g, 0}, belly_radius, belly_radius);
  part(Segment::thorax, {0, -0.05 * g, 0}, {0, 0.075 * g, 0}, chest_low_radius, chest_radius);
  part(Segment::thorax, {0, shoulder_y - shoulder_drop * g, -reach},
       {0, shoulder_y - shoulder_drop * g, reach}, shoulder_radius, shoulder_radius);
  const double upper = length_of(body, Segment::forearm_left), fore = length_of(body, Segment::hand_left);
  const double thigh = length_of(body, Segment::shank_left), shank = length_of(body, Segment::foot_left);
  const double sole = body.leg_length - thigh - shank;
  for (const bool left : {true, false}) {
    const auto side = [&](Segment s) { return left ? s : other_side(s); };
    part(side(Segment::upper_arm_left), Vec3(0), {0, -upper, 0}, upper_arm_radius, elbow_radius);
    part(side(Segment::forearm_left), Vec3(0), {0, -fore, 0}, elbow_radius, wrist_radius);
    part(side(Segment::hand_left), {0, -0.06 * g, 0}, {0, -0.06 * g, 0}, hand_radius, hand_radius);
    part(side(Segment::thigh_left), Vec3(0), {0, -thigh, 0}, hip_radius, knee_radius);
    part(side(Segment::shank_left), Vec3(0), {0, -shank, 0}, below_knee_radius, ankle_radius);
    const double foot_y = heel_radius * g - sole;
    part(side(Segment::foot_left), {heel_x * g, foot_y, 0}, {toe_x * g, foot_y, 0}, heel_radius,
         ankle_radius);
  }
  return parts;
}

/// Distance from a point to a segment.
double distance_to(const Vec3& p, const Vec3& from, const Vec3& way, double length_squared) {
  const double u = length_squared > 0 ? std::clamp(glm::dot(p - from, way) / length_squared, 0.0, 1.0) : 0;
  return glm::length(p - from - u * way);
}

/// Whether the line meets the part: the gap between the line and the ball is convex along the part, so its
/// least value is found by narrowing down.
bool meets(const Vec3& from, const Vec3& way, double length_squared, const BodyPart& part) {
  const double largest = std::max(part.radius_a, part.radius_b);
  const Vec3 axis = part.b_W - part.a_W;
  const Vec3 middle = part.a_W + 0.5 * axis;
  if (distance_to(middle, from, way, length_squared) > largest + 0.5 * glm::length(axis)) return false;
  const auto gap = [&](double s) {
    return distance_to(part.a_W + s * axis, from, way, length_squared) -
           (part.radius_a + s * (part.radius_b - part.radius_a));
  };
  constexpr double golden = 0.6180339887498949;
  double low = 0, high = 1, left = 1 - golden, right = golden;
  double at_left = gap(left), at_right = gap(right);
  if (std::min({gap(0), gap(1), at_left, at_right}) <= 0) return true;
  for (int i = 0; i < 40; ++i) {
    if (at_left < at_right) {
      high = right;
      right = left;
      at_right = at_left;
      left = high - golden * (high - low);
      at_left = gap(left);
      if (at_left <= 0) return true;
    } else {
      low = left;
      left = right;
      at_left = at_right;
      right = low + golden * (high - low);
      at_right = gap(right);
      if (at_right <= 0) return true;
    }
  }
  return false;
}

double share_seen(const HumanBody& body, const FlightSample& now, const Vec3& spot_W, Gaze gaze, Side side,
                  const FieldOfView& field) {
  const Placed placed(body, now);
  const Eyes eyes = eyes_of(body, placed, gaze, side);
  std::vector<Vec3> points;
  for (int i = 0; i <= spot_points; ++i) {
    Vec3 point = spot_W;
    if (i < spot_points) {
      const double angle = 2 * pi * i / spot_points;
      point += spot_radius * Vec3(std::cos(angle), 0, std::sin(angle));
    }
    if (in_field(eyes, point, field)) points.push_back(point);
  }
  if (points.empty()) return 0;
  const std::vector<BodyPart> parts = parts_of(body, placed);
  const auto free = std::count_if(points.begin(), points.end(), [&](const Vec3& point) {
    return !is_obstructed(eyes.point_W, point, parts);
  });
  return static_cast<double>(free) / (spot_points + 1);
}

}  // namespace

Gaze next_gaze(Gaze gaze) {
  return static_cast<Gaze>((static_cast<int>(gaze) + 1) % gaze_count);
}

std::string_view gaze_word(Gaze gaze) {
  switch (gaze) {
    case Gaze::neutral:
      return "neutral";
    case Gaze::over_shoulder:
      return "over the shoulder";
    case Gaze::chin_down:
      return "chin down";
  }
  return "";
}

Eyes eyes_at(const HumanBody& body, const FlightSample& now, Gaze gaze, Side side) {
  return eyes_of(body, Placed(body, now), gaze, side);
}

bool in_field(const Eyes& eyes, const Vec3& point_W, const FieldOfView& field) {
  const Vec3 way = point_W - eyes.point_W;
  const double ahead = glm::dot(way, eyes.ahead_W), up = glm::dot(way, eyes.up_W);
  const double right = glm::dot(way, glm::cross(eyes.ahead_W, eyes.up_W));
  const double across = std::hypot(up, right);
  const double off = std::atan2(across, ahead);  // from the line of sight
  if (across == 0) return ahead > 0;
  const double limit_up = to_rad(up >= 0 ? field.up_deg : field.down_deg);
  const double limit_right = to_rad(field.sideways_deg);
  const double u = off * up / across / limit_up, r = off * right / across / limit_right;
  return u * u + r * r <= 1;
}

std::vector<BodyPart> body_parts(const HumanBody& body, const FlightSample& now) {
  return parts_of(body, Placed(body, now));
}

bool is_obstructed(const Vec3& from_W, const Vec3& to_W, const std::vector<BodyPart>& parts) {
  const Vec3 way = to_W - from_W;
  const double length_squared = glm::dot(way, way);
  return std::any_of(parts.begin(), parts.end(),
                     [&](const BodyPart& part) { return meets(from_W, way, length_squared, part); });
}

Vec3 landing_spot_W(const HumanBody& body, const Flight& flight) {
  const Placed placed(body, flight.at(flight.duration()));
  const Vec3 middle =
      0.5 * (placed.point(Segment::foot_left, Vec3(0)) + placed.point(Segment::foot_right, Vec3(0)));
  return {middle.x, 0, middle.z};
}

std::vector<SightSpan> landing_sight(const HumanBody& body, const Flight& flight, Gaze gaze, Side side,
                                     const FieldOfView& field) {
  const Vec3 spot = landing_spot_W(body, flight);
  const auto seen = [&](double time) {
    return share_seen(body, flight.at(time), spot, gaze, side, field) >= seen_share;
  };
  const double end = flight.duration();
  const int steps = std::max(1, static_cast<int>(std::ceil(end * scan_rate)));
  std::vector<SightSpan> spans;
  bool was_seen = seen(0);
  if (was_seen) spans.push_back({0, end});
  for (int k = 1; k <= steps; ++k) {
    double before = end * (k - 1) / steps, after = end * k / steps;
    const bool now_seen = seen(after);
    if (now_seen == was_seen) continue;
    while (after - before > edge_accuracy_s) {
      const double middle = 0.5 * (before + after);
      (seen(middle) == was_seen ? before : after) = middle;
    }
    if (now_seen) {
      spans.push_back({after, end});
    } else {
      spans.back().to_s = before;
    }
    was_seen = now_seen;
  }
  return spans;
}

std::optional<double> landing_seen_from(const std::vector<SightSpan>& spans, double duration) {
  for (auto span = spans.rbegin(); span != spans.rend(); ++span) {
    if (span->to_s > 0.5 * duration) return span->from_s;
  }
  return std::nullopt;
}

}  // namespace halfturn
