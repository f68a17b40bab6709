#include "figure.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <glm/geometric.hpp>
#include <limits>

namespace halfturn {
namespace {

// Measures of the drawn figure, m; joint centres come from the body.
constexpr double head_radius = 0.11, head_over_neck = 0.145;
constexpr double chest_radius = 0.15, belly_radius = 0.125, pelvis_radius = 0.135, shoulder_radius = 0.095;
constexpr double hand_radius = 0.078, cube = 0.13, band_width = 0.032;
constexpr double limb_nearer = 0.035, end_nearer = 0.045;
constexpr double mean_height = 1.70;

double length_of(const HumanBody& body, Segment child) {
  return -body.segments[static_cast<std::size_t>(child)].joint_centre_in_parent.y;
}

double sole_below_ankle(const HumanBody& body) {
  return body.leg_length - length_of(body, Segment::shank_left) - length_of(body, Segment::foot_left);
}

/// The parts of the drawn body, told one by one in segment axes to `Parts`:
///   capsule(segment, a, b, radius_a, radius_b, Look)   a swept ball
///   facet(segment, points, count, inside, Look)        a face whose outer side looks away from `inside`
/// What each is for is a `Paint`; `stripes` are shares of a capsule's way with a band.
enum class Paint : std::uint8_t { body, head, left, right, front, spine };
struct Look {
  Paint paint = Paint::body;
  double nearer = 0;  ///< m
  std::array<double, 2> stripes{};
};

template <class Parts>
class FigureShape {
 public:
  FigureShape(const HumanBody& body, Parts& parts)
      : body_(body), parts_(parts), g_(body.height / mean_height) {}

  void tell(bool with_head) {
    trunk();
    if (with_head) head();
    for (const bool left : {true, false}) {
      arm(left);
      leg(left);
    }
  }

 private:
  static Segment side(Segment left_one, bool left) { return left ? left_one : other_side(left_one); }
  [[nodiscard]] Vec3 joint(Segment s) const {
    return body_.segments[static_cast<std::size_t>(s)].joint_centre_in_parent;
  }

  void box(Segment s, const Vec3& low, const Vec3& high, const Look& look) {
    const Vec3 middle = 0.5 * (low + high);
    for (int axis = 0; axis < 3; ++axis) {
      const int u = (axis + 1) % 3, v = (axis + 2) % 3;
      for (const bool upper : {false, true}) {
        Vec3 corners[4];
        for (int i = 0; i < 4; ++i) {
          corners[i][axis] = upper ? high[axis] : low[axis];
          corners[i][u] = i == 1 || i == 2 ? high[u] : low[u];
          corners[i][v] = i >= 2 ? high[v] : low[v];
        }
        parts_.facet(s, corners, 4, middle, look);
      }
    }
  }

  void trunk() {
    const double g = g_;
    const auto body = [](double nearer) { return Look{Paint::body, nearer, {}}; };
    parts_.capsule(Segment::pelvis, {0, 0.025 * g, -0.045 * g}, {0, 0.025 * g, 0.045 * g}, pelvis_radius * g,
                   pelvis_radius * g, body(0));
    parts_.capsule(Segment::abdomen, {0, -0.02 * g, 0}, {0, 0.12 * g, 0}, belly_radius * g, belly_radius * g,
                   body(0.012));
    parts_.capsule(Segment::thorax, {0, -0.05 * g, 0}, {0, 0.075 * g, 0}, 0.137 * g, chest_radius * g,
                   body(0.024));
    const double shoulder_y = joint(Segment::upper_arm_left).y, neck_y = joint(Segment::head).y;
    const double reach = body_.shoulder_half_width - 0.065 * g;
    parts_.capsule(Segment::thorax, {0, neck_y - 0.05 * g, 0}, {0, neck_y + 0.06 * g, 0}, 0.06 * g, 0.056 * g,
                   body(-0.01));
    parts_.capsule(Segment::thorax, {0, shoulder_y - 0.025 * g, -reach}, {0, shoulder_y - 0.025 * g, reach},
                   shoulder_radius * g, shoulder_radius * g, body(0.03));
    // The front: a five-sided pyramid that stands out even in pure profile.
    const Vec3 apex(0.31 * g, 0.03 * g, 0);
    const Vec3 base[5] = {{0.085 * g, 0.20 * g, -0.095 * g},
                          {0.085 * g, 0.20 * g, 0.095 * g},
                          {0.085 * g, 0.03 * g, 0.145 * g},
                          {0.085 * g, -0.20 * g, 0},
                          {0.085 * g, 0.03 * g, -0.145 * g}};
    for (int i = 0; i < 5; ++i) {
      const Vec3 face[3] = {base[i], base[(i + 1) % 5], apex};
      parts_.facet(Segment::thorax, face, 3, Vec3(0), {Paint::front, 0.03, {}});
    }
    // The back: one pale bar along the spine.
    const double x = -(chest_radius + 0.004) * g;
    const Vec3 bar[4] = {{x, -0.24 * g, -0.022 * g},
                         {x, -0.24 * g, 0.022 * g},
                         {x, 0.17 * g, 0.022 * g},
                         {x, 0.17 * g, -0.022 * g}};
    parts_.facet(Segment::thorax, bar, 4, Vec3(0), {Paint::spine, 0.02, {}});
  }

  void head() {
    const double g = g_;
    const Vec3 centre(0, head_over_neck * g, 0);
    parts_.capsule(Segment::head, centre, centre, head_radius * g, head_radius * g, {Paint::head, 0.01, {}});
    const Vec3 apex = centre + g * Vec3(0.26, 0.0, 0);
    const Vec3 base[3] = {centre + g * Vec3(0.075, 0.07, 0), centre + g * Vec3(0.085, -0.05, 0.06),
                          centre + g * Vec3(0.085, -0.05, -0.06)};
    for (int i = 0; i < 3; ++i) {
      const Vec3 face[3] = {base[i], base[(i + 1) % 3], apex};
      parts_.facet(Segment::head, face, 3, centre, {Paint::front, 0.03, {}});
    }
  }

  void arm(bool left) {
    const double g = g_;
    const Paint own = left ? Paint::left : Paint::right;
    const double upper = length_of(body_, Segment::forearm_left);
    const double fore = length_of(body_, Segment::hand_left);
    parts_.capsule(side(Segment::upper_arm_left, left), Vec3(0), {0, -upper, 0}, 0.065 * g, 0.052 * g,
                   {Paint::body, limb_nearer, {}});
    parts_.capsule(side(Segment::forearm_left, left), Vec3(0), {0, -fore, 0}, 0.052 * g, 0.042 * g,
                   {own, end_nearer, stripes(left, 0.36, 0.62)});
    const Segment hand = side(Segment::hand_left, left);
    const Vec3 centre(0, -0.06 * g, 0);
    const Look look{own, end_nearer + 0.02, {}};
    if (left) {
      parts_.capsule(hand, centre, centre, hand_radius * g, hand_radius * g, look);
    } else {
      box(hand, centre - Vec3(0.5 * cube * g), centre + Vec3(0.5 * cube * g), look);
    }
  }

  void leg(bool left) {
    const double g = g_;
    const Paint own = left ? Paint::left : Paint::right;
    const double thigh = length_of(body_, Segment::shank_left);
    const double shank = length_of(body_, Segment::foot_left);
    const double sole = sole_below_ankle(body_);
    parts_.capsule(side(Segment::thigh_left, left), Vec3(0), {0, -thigh, 0}, 0.10 * g, 0.068 * g,
                   {Paint::body, limb_nearer, {}});
    parts_.capsule(side(Segment::shank_left, left), Vec3(0), {0, -shank, 0}, 0.066 * g, 0.048 * g,
                   {own, end_nearer, stripes(left, 0.38, 0.58)});
    const Segment foot = side(Segment::foot_left, left);
    const Look look{own, end_nearer + 0.01, {}};
    if (left) {
      parts_.capsule(foot, {-0.03 * g, 0.054 * g - sole, 0}, {0.19 * g, 0.048 * g - sole, 0}, 0.054 * g,
                     0.048 * g, look);
    } else {
      box(foot, {-0.09 * g, -sole, -0.055 * g}, {0.24 * g, 0.10 * g - sole, 0.055 * g}, look);
    }
  }

  /// The right side is told from the left by its stripes.
  static std::array<double, 2> stripes(bool left, double first, double second) {
    return left ? std::array<double, 2>{} : std::array<double, 2>{first, second};
  }

  const HumanBody& body_;
  Parts& parts_;
  const double g_;  ///< size of the body against the one that the measures are for
};

/// Puts the parts into the world, in colours.
class FigureBuilder {
 public:
  FigureBuilder(const HumanBody& body, const PlacedBody& placed, const Palette& palette,
                const FigureStyle& style)
      : placed_(placed), grow_(body.height / mean_height) {
    figure_.ghost = style.ghost;
    figure_.line = palette.line;
    // The pale rim is the flyer's: on a dark ground it would make every ghost shine.
    figure_.halo = style.ghost ? palette.air : palette.halo;
    figure_.band = rgb(0xFFFFFF);
    figure_.outline_px = (style.ghost ? 1.4 : 1.8) * palette.line_factor * style.scale_px;
    figure_.halo_px = (style.ghost ? 0.6 : 1.0) * palette.halo_px * style.scale_px;
    figure_.opacity = style.opacity;
    colors_ = {style.body.value_or(style.ghost ? palette.ghost : palette.body),
               style.body.value_or(style.ghost ? palette.ghost : palette.head),
               palette.left,
               palette.right,
               palette.front,
               palette.halo};
    figure_.capsules.reserve(17);
    figure_.facets.reserve(21);
  }
  [[nodiscard]] Figure take() { return std::move(figure_); }

  void capsule(Segment s, const Vec3& a, const Vec3& b, double ra, double rb, const Look& look) {
    Capsule c;
    c.a_W = placed_.point_W(s, a);
    c.b_W = placed_.point_W(s, b);
    c.radius_a = ra * placed_.scale;
    c.radius_b = rb * placed_.scale;
    c.color = color(look);
    c.nearer = look.nearer * placed_.scale;
    if (look.stripes != std::array<double, 2>{}) {
      c.bands = look.stripes;
      c.band_width = band_width * grow_ * placed_.scale;
    }
    figure_.capsules.push_back(c);
  }

  void facet(Segment s, const Vec3* points, std::size_t count, const Vec3& inside, const Look& look) {
    Facet f;
    Vec3 normal = glm::cross(points[1] - points[0], points[2] - points[0]);
    if (glm::dot(normal, points[0] - inside) < 0) normal = -normal;
    f.normal_W = placed_.direction_W(s, glm::normalize(normal));
    f.points.reserve(count);
    for (std::size_t i = 0; i < count; ++i) f.points.push_back(placed_.point_W(s, points[i]));
    f.color = color(look);
    f.nearer = look.nearer * placed_.scale;
    figure_.facets.push_back(std::move(f));
  }

 private:
  [[nodiscard]] Color color(const Look& look) const { return colors_[static_cast<std::size_t>(look.paint)]; }

  const PlacedBody& placed_;
  const double grow_;
  std::array<Color, 6> colors_;
  Figure figure_;
};

/// Finds how low the parts reach, world.
class LowestPart {
 public:
  explicit LowestPart(const PlacedBody& placed) : placed_(placed) {}
  [[nodiscard]] double lowest() const { return lowest_; }

  void capsule(Segment s, const Vec3& a, const Vec3& b, double ra, double rb, const Look&) {
    lowest_ = std::min({lowest_, placed_.point_W(s, a).y - ra * placed_.scale,
                        placed_.point_W(s, b).y - rb * placed_.scale});
  }
  void facet(Segment s, const Vec3* points, std::size_t count, const Vec3&, const Look&) {
    for (std::size_t i = 0; i < count; ++i) lowest_ = std::min(lowest_, placed_.point_W(s, points[i]).y);
  }

 private:
  const PlacedBody& placed_;
  double lowest_ = std::numeric_limits<double>::infinity();
};

double lowest_drawn_point(const HumanBody& body, const PlacedBody& placed) {
  LowestPart parts(placed);
  FigureShape(body, parts).tell(true);
  return parts.lowest();
}

PlacedBody mirrored(const PlacedBody& placed) {
  PlacedBody image = placed;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto other = static_cast<std::size_t>(other_side(static_cast<Segment>(s)));
    const Vec3& origin = placed.places.origin[other];
    image.places.origin[s] = {origin.x, origin.y, -origin.z};
    for (int column = 0; column < 3; ++column) {
      for (int row = 0; row < 3; ++row) {
        const double sign = (column == 2) == (row == 2) ? 1 : -1;
        image.places.rotation[s][column][row] = sign * placed.places.rotation[other][column][row];
      }
    }
  }
  image.q_WB = halfturn::mirrored(placed.q_WB);
  image.origin_W.z = -placed.origin_W.z;
  return image;
}

/// Of the figure and its mirror image: the left foot is drawn round and the right one as a box, yet both
/// sides must stand equally high.
double lowest_point(const HumanBody& body, const PlacedBody& placed) {
  return std::min(lowest_drawn_point(body, placed), lowest_drawn_point(body, mirrored(placed)));
}

}  // namespace

Vec3 PlacedBody::point_W(Segment segment, const Vec3& point) const {
  const auto s = static_cast<std::size_t>(segment);
  return origin_W + scale * (q_WB * (places.origin[s] + places.rotation[s] * point));
}

Vec3 PlacedBody::direction_W(Segment segment, const Vec3& direction) const {
  return q_WB * (places.rotation[static_cast<std::size_t>(segment)] * direction);
}

PlacedBody place_by_com(const HumanBody& body, const Pose& pose, const Quat& q_WB, const Vec3& com_W) {
  PlacedBody placed{segment_places(body, pose), q_WB, Vec3(0), 1};
  placed.origin_W = com_W - q_WB * centre_of_mass(body, placed.places);
  return placed;
}

PlacedBody place_on_floor(const HumanBody& body, const Pose& pose, const Quat& q_WB, double x, double z,
                          double scale) {
  PlacedBody placed{segment_places(body, pose), q_WB, Vec3(x, 0, z), scale};
  placed.origin_W.y = -lowest_point(body, placed);
  return placed;
}

PlacedBody lifted_to_floor(const HumanBody& body, PlacedBody placed) {
  // Nobody reaches this far from the hips: most of a flight needs no look at every part.
  constexpr double reach_of_height = 0.85;
  if (placed.origin_W.y < reach_of_height * body.height)
    placed.origin_W.y += std::max(0.0, -lowest_point(body, placed));
  return placed;
}

Vec3 head_centre_W(const PlacedBody& placed) {
  return placed.point_W(Segment::head, {0, head_over_neck, 0});
}

Vec3 hand_centre_W(const PlacedBody& placed, bool left) {
  return placed.point_W(left ? Segment::hand_left : Segment::hand_right, {0, -0.06, 0});
}

Vec3 foot_centre_W(const PlacedBody& placed, bool left) {
  return placed.point_W(left ? Segment::foot_left : Segment::foot_right, {0.08, -0.04, 0});
}

Figure make_figure(const HumanBody& body, const PlacedBody& placed, const Palette& palette,
                   const FigureStyle& style) {
  FigureBuilder builder(body, placed, palette, style);
  FigureShape(body, builder).tell(style.head);
  return builder.take();
}

std::vector<Capsule> footprint(const Figure& figure) {
  std::vector<Capsule> flat = figure.capsules;
  for (Capsule& c : flat) c.a_W.y = c.b_W.y = 0;
  return flat;
}

Pose standing_pose() {
  Pose pose;
  for (const bool left : {true, false}) {
    const double sign = left ? 1 : -1;
    const auto side = [&](Segment s) { return left ? s : other_side(s); };
    pose[side(Segment::upper_arm_left)] = {sign * to_rad(12), 0, to_rad(2)};
    pose[side(Segment::forearm_left)] = {0, 0, to_rad(12)};
    pose[side(Segment::thigh_left)] = {sign * to_rad(3), 0, 0};
    pose[side(Segment::foot_left)] = {-sign * to_rad(3), 0, 0};
  }
  return pose;
}

}  // namespace halfturn
