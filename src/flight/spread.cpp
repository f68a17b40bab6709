#include "flight/spread.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>

#include "flight/simulated.hpp"
#include "rotation/heading.hpp"
#include "solve_answer.hpp"

namespace halfturn {
namespace {

constexpr double table_accuracy = 1e-4;  // rad
// Timings are rounded to a shape computed beforehand: 49 of them over three standard deviations each way.
constexpr int timing_shapes = 49;
constexpr double timing_reach = 3;

using Factors = std::array<double, takeoff_factor_count>;

/// SplitMix64 (Steele, Lea and Flood 2014): a stream of its own for every takeoff.
class Stream {
 public:
  Stream(std::uint64_t seed, std::uint64_t number)
      : state_(mix(seed) ^ mix(number * 0x9e3779b97f4a7c15U + 1)) {}
  /// Two independent standard normal numbers (Box and Muller 1958).
  void normals(double& one, double& two) {
    const double radius = std::sqrt(-2 * std::log(uniform()));
    const double angle = 2 * pi * uniform();
    one = radius * std::cos(angle);
    two = radius * std::sin(angle);
  }

 private:
  static std::uint64_t mix(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
  }
  /// In (0, 1].
  double uniform() {
    state_ += 0x9e3779b97f4a7c15U;
    return (static_cast<double>(mix(state_) >> 11) + 1) * 0x1p-53;
  }
  std::uint64_t state_;
};

Factors factors_of(std::uint64_t seed, std::uint64_t number) {
  Stream stream(seed, number);
  Factors f;
  double spare = 0;
  stream.normals(f[0], f[1]);
  stream.normals(f[2], f[3]);
  stream.normals(f[4], spare);
  return f;
}

int shape_of(double timing) {
  const double place = std::clamp(timing / timing_reach, -1.0, 1.0);
  return static_cast<int>(std::lround((0.5 + 0.5 * place) * (timing_shapes - 1)));
}

/// A shape and what is at its end.
struct EndingShape {
  ShapeTable table;
  ShapeEffect effect;            // of the last pose, as if held
  std::vector<Vec3> contacts_B;  // from the centre of mass

  [[nodiscard]] double clearance(const Quat& q_WB) const {
    const Vec3 down = glm::conjugate(q_WB) * Vec3(0, -1, 0);
    double lowest = 0;
    for (const Vec3& point : contacts_B) lowest = std::max(lowest, glm::dot(down, point));
    return lowest;
  }
};

EndingShape ending_shape(const solve::Setting& setting, const solve::Controls& controls) {
  const double T = setting.request().air_time;
  const ShapeTrack track = setting.track(controls);
  const MovingBody body(setting.tree(), joint_tracks(track), T);
  EndingShape shape{ShapeTable(body, setting.spin(controls), table_accuracy), {}, {}};
  const Pose end = track.at(T);
  ShapeTrack held({ShapeTrack::Key{0, end}});
  shape.effect = MovingBody(setting.tree(), joint_tracks(held), 1).effect(0, 0);
  const HumanBody& human = *setting.request().body;
  const SegmentPlaces places = segment_places(human, end);
  const Vec3 com = whole_body(human, end).com;
  for (const ContactPoint& contact : human.contacts) {
    const auto s = static_cast<std::size_t>(contact.segment);
    shape.contacts_B.push_back(places.origin[s] + places.rotation[s] * contact.point - com);
  }
  return shape;
}

/// A planned flight and what found it.
struct Planned {
  solve::Setting setting;
  solve::Found found;
};

}  // namespace

struct LandingSpread::Inside {
  std::shared_ptr<const Planned> flown;
  TakeoffSpread spread;
  double side = 1;
  std::vector<EndingShape> shapes;
  Spin spin;
  Vec3 up_turn_W, round_turn_W;  // unit axes about which H errs
  double air_time = 0, landing_height = 0, landing_speed = 0;
  double heading = 0, angle = 0;  // of the flight without errors

  /// Takes on a spread, with the shapes of its timings.
  void vary(const TakeoffSpread& other) {
    spread = other;
    shapes.clear();
    const int count = spread.timing > 0 ? timing_shapes : 1;
    for (int i = 0; i < count; ++i) {
      const double late = count == 1 ? 0 : timing_reach * spread.timing * (2.0 * i / (count - 1) - 1);
      solve::Controls c = flown->found.controls;
      c.drop += late;
      c.open += late;
      shapes.push_back(ending_shape(flown->setting, c));
    }
  }
  /// Turns a body that holds its last pose for a time, s.
  static Quat turned_on(const EndingShape& shape, const Quat& q_WB, const Vec3& momentum_W, double time) {
    const Vec3 first = angular_velocity(shape.effect, {q_WB, momentum_W});
    const Quat middle = q_WB * exp_rotation(0.5 * time * first);
    return glm::normalize(q_WB * exp_rotation(time * angular_velocity(shape.effect, {middle, momentum_W})));
  }
  [[nodiscard]] const EndingShape& shape(double timing) const {
    return shapes.size() == 1 ? shapes.front() : shapes[static_cast<std::size_t>(shape_of(timing))];
  }
  /// Orientation at first contact of a takeoff that was flown to the planned air time.
  [[nodiscard]] Quat landing(const EndingShape& shape, const Quat& q_WB, const Vec3& momentum_W,
                             double later) const {
    // Lower, the centre of mass takes longer to come down to its height over the feet.
    const Quat near = turned_on(shape, q_WB, momentum_W, later);
    const double more = (landing_height - shape.clearance(near)) / landing_speed;
    return turned_on(shape, q_WB, momentum_W, later + std::clamp(more, -0.1, 0.1));
  }
};

namespace {

/// Takeoffs and where they land, and room to fly them in.
struct Flown {
  std::vector<Factors> factors;
  std::vector<Quat> landings;
  std::vector<std::vector<std::size_t>> by_shape;
  std::vector<Spin> takeoffs;
  std::vector<Quat> ends;
};

void fly(const LandingSpread::Inside& in, std::uint64_t seed, std::size_t first, std::size_t count,
         Flown& flown) {
  auto& [factors, landings, by_shape, takeoffs, ends] = flown;
  factors.resize(count);
  landings.resize(count);
  by_shape.resize(in.shapes.size());
  for (std::vector<std::size_t>& of_shape : by_shape) of_shape.clear();
  for (std::size_t i = 0; i < count; ++i) {
    factors[i] = factors_of(seed, first + i);
    by_shape[in.shapes.size() == 1 ? 0 : static_cast<std::size_t>(shape_of(factors[i][4]))].push_back(i);
  }
  const double kept = 1 - in.spread.correction;
  for (std::size_t s = 0; s < by_shape.size(); ++s) {
    takeoffs.clear();
    for (const std::size_t i : by_shape[s]) {
      const Factors& f = factors[i];
      const Vec3 turn = kept * in.spread.direction * (f[2] * in.up_turn_W + f[3] * in.round_turn_W);
      takeoffs.push_back({in.spin.q_WB, (1 + kept * in.spread.momentum * f[1]) *
                                            (exp_rotation(turn) * in.spin.angular_momentum_W)});
    }
    ends.resize(takeoffs.size());
    in.shapes[s].table.fly(takeoffs, ends);
    for (std::size_t k = 0; k < ends.size(); ++k) {
      const std::size_t i = by_shape[s][k];
      landings[i] = in.landing(in.shapes[s], ends[k], takeoffs[k].angular_momentum_W,
                               kept * in.spread.air_time * factors[i][0]);
    }
  }
}

void count(const LandingSpread::Inside& in, const LandingTolerance& tolerance, const Flown& flown,
           LandingCounts& counts) {
  const std::vector<Factors>& factors = flown.factors;
  const std::vector<Quat>& landings = flown.landings;
  counts.flights += static_cast<std::int64_t>(landings.size());
  for (std::size_t i = 0; i < landings.size(); ++i) {
    const double angle = angle_from_vertical(landings[i]);
    const std::optional<double> faces = heading(landings[i]);
    const double error = faces ? in.side * wrap_rad(*faces - in.heading) : 0;
    const bool faces_right = faces && std::abs(error) <= tolerance.heading;
    const bool stands = angle <= in.angle + tolerance.upright;
    counts.heading_met += faces_right;
    counts.upright_met += stands;
    counts.controlled += faces_right && stands;
    counts.without_heading += !faces;
    const auto bin = [](double degrees, int width, std::size_t bins) {
      return std::min(bins - 1, static_cast<std::size_t>(std::max(0.0, std::floor(degrees / width))));
    };
    if (faces)
      ++counts.headings[bin(to_deg(error) + 180, LandingCounts::heading_bin_deg, counts.headings.size())];
    ++counts.uprightness[bin(to_deg(angle), LandingCounts::upright_bin_deg, counts.uprightness.size())];
    counts.heading_sum += error;
    counts.heading_squares += error * error;
    counts.angle_sum += angle;
    counts.angle_squares += angle * angle;
    for (std::size_t f = 0; f < takeoff_factor_count; ++f) {
      counts.heading_products[f] += error * factors[i][f];
      counts.angle_products[f] += angle * factors[i][f];
    }
  }
}

}  // namespace

std::string_view takeoff_factor_word(TakeoffFactor factor) {
  switch (factor) {
    case TakeoffFactor::air_time:
      return "air time";
    case TakeoffFactor::momentum:
      return "strength of the swing";
    case TakeoffFactor::direction_up:
      return "lean of the swing";
    case TakeoffFactor::direction_round:
      return "aim of the swing";
    case TakeoffFactor::timing:
      return "arms and opening";
  }
  return "";
}

std::optional<LandingSpread> LandingSpread::make(const SolveRequest& request, const TakeoffSpread& spread) {
  const solve::Setting setting(solve::left_sided(request));
  const solve::Found found = solve::search(setting);
  if (!solve::meets_target(setting, found)) return std::nullopt;
  auto inside = std::make_shared<Inside>();
  inside->flown = std::make_shared<const Planned>(Planned{setting, found});
  inside->side = request.plan.side;
  inside->vary(spread);
  const EndingShape& planned = inside->shape(0);
  inside->spin = setting.spin(found.controls);
  const Vec3 H = inside->spin.angular_momentum_W;
  // H errs towards the upright of the flip and round the vertical (a jump: to the two sides).
  const Vec3 along = glm::dot(H, H) > 0 ? glm::normalize(H) : Vec3(0, 1, 0);
  const Vec3 aside = std::abs(along.y) < 0.9 ? Vec3(0, 1, 0) : Vec3(1, 0, 0);
  inside->up_turn_W = glm::normalize(glm::cross(along, aside));
  inside->round_turn_W = glm::cross(inside->up_turn_W, along);
  const double T = request.air_time;
  const Quat end = planned.table.fly(inside->spin);
  const double leaves =
      com_above_lowest_point(*request.body, setting.track(found.controls).at(0), inside->spin.q_WB);
  inside->air_time = T;
  inside->landing_height = planned.clearance(end);
  inside->landing_speed = 0.5 * standard_gravity * T - (inside->landing_height - leaves) / T;
  if (!(inside->landing_speed > 0)) return std::nullopt;
  inside->heading = heading(setting.target()).value_or(0.0);
  inside->angle = angle_from_vertical(setting.target());
  LandingSpread made;
  made.inside_ = std::move(inside);
  return made;
}

LandingSpread LandingSpread::with(const TakeoffSpread& spread) const {
  auto inside = std::make_shared<Inside>(*inside_);
  inside->vary(spread);
  LandingSpread made;
  made.inside_ = std::move(inside);
  return made;
}

LandingCounts LandingSpread::fly_chunk(std::uint64_t seed, std::size_t chunk, std::size_t flights,
                                       const LandingTolerance& tolerance) const {
  const std::size_t first = chunk * chunk_size;
  const std::size_t end = std::min(first + chunk_size, flights);
  // One shape: few at a time, so that they stay in the processor's cache. Many: all at once, so that enough
  // of each fly side by side.
  const std::size_t at_once = inside_->shapes.size() == 1 ? 256 : chunk_size;
  LandingCounts counts;
  Flown flown;
  for (std::size_t at = first; at < end; at += at_once) {
    fly(*inside_, seed, at, std::min(at_once, end - at), flown);
    count(*inside_, tolerance, flown, counts);
  }
  return counts;
}

}  // namespace halfturn
