#include "solve_residuals.hpp"

#include <algorithm>
#include <cmath>

#include "base/expect.hpp"
#include "rotation/heading.hpp"
#include "solve_answer.hpp"

namespace halfturn::solve {
namespace {

constexpr double tilt_sigma = to_rad(1);  // a landing a degree off upright is as good
/// Off-axis landings may stay leaned; a butterfly, which comes down leaned as planned, no further.
double lean_sigma(const Setting& setting) {
  return setting.request().plan.incline_deg > 45 ? to_rad(1.5) : to_rad(3);
}
constexpr double slope_sigma = 0.01;  // upright: slope of the long axis
/// Twist left at landing that costs one, rad/s. Off-axis the lean is weighed against it; a butterfly spins
/// on.
double twist_rate_sigma(const Setting& setting) {
  if (!setting.off_axis()) return to_rad(15);
  return setting.request().plan.incline_deg > 45 ? to_rad(360) : to_rad(30);
}
// Most tilt a takeoff gives without cost; 30 % of the tilt at mid-twist is usual (Yeadon and Kerwin 1999).
constexpr double contact_tilt = to_rad(6);
constexpr double edge = 0.01;  // s or rad
// Beyond the limits of a controlled landing: what costs one.
constexpr double momentum_edge = 0.005;  // of the limit
constexpr double near = 0.95;            // share of a limit from which on it counts
constexpr double lean_edge = to_rad(1.5), rate_edge = to_rad(8);

std::vector<Knob> knobs_of(const Setting& setting, const Controls& guess, bool limited) {
  const double T = setting.request().air_time;
  const double most = momentum_limit(setting.request());
  const double scale = std::max(guess.momentum, 1e-3 * most);
  std::vector<Knob> knobs{{&Controls::momentum, scale, guess.momentum, 0, 0.2 * guess.momentum,
                           limited ? (1 - momentum_edge) * most : 6 * scale,
                           limited ? momentum_edge * most : scale}};
  if (!setting.request().plan.flips) {
    knobs.push_back({&Controls::slope_x, 0.1, 0, 0.5, -1, 1, 0.1});
    knobs.push_back({&Controls::slope_z, 0.1, 0, 0.5, -1, 1, 0.1});
    return knobs;
  }
  if (setting.off_axis()) {
    const double plan = to_rad(setting.request().plan.incline_deg);
    knobs.push_back({&Controls::tilt, 0.05, guess.tilt, to_rad(4), -0.6, 0.6, edge});
    knobs.push_back({&Controls::incline, 0.05, 0, to_rad(8), -plan, to_rad(80) - plan, edge});
  } else if (setting.twists()) {
    knobs.push_back({&Controls::incline, 0.05, 0, to_rad(1.5), -contact_tilt, contact_tilt, 0.5 * edge});
  }
  if (!setting.twists()) {
    // A shape that is not alike on both sides, or whose principal axis is not the flip's, needs a takeoff
    // that allows for it.
    if (!setting.off_axis()) {
      knobs.push_back({&Controls::tilt, 0.05, 0, to_rad(4), -0.2, 0.2, edge});
      knobs.push_back({&Controls::incline, 0.05, 0, to_rad(4), -contact_tilt, contact_tilt, edge});
    }
    knobs.push_back({&Controls::turn, 0.05, 0, to_rad(4), -0.2, 0.2, edge});
    return knobs;
  }
  const double last = T - Setting::arm_time;
  const double earliest = setting.earliest_arm();
  knobs.push_back({&Controls::drop, 0.05, guess.drop, 0.15, earliest, std::max(earliest, last - 0.1), edge});
  knobs.push_back(
      {&Controls::second_drop, 0.05, guess.second_drop, 0.15, -0.05, std::max(0.1, last - 0.1), edge});
  knobs.push_back({&Controls::open, 0.05, last - 0.06, 0.25, 0.1, last, edge});
  knobs.push_back({&Controls::stagger, 0.05, 0, 0.25, -0.35, 0.35, edge});
  return knobs;
}

}  // namespace

Residuals::Residuals(const Setting& setting, const Controls& guess, double sharpness, const ArmFlights* arms,
                     bool limited)
    : setting_(setting),
      base_(guess),
      knobs_(knobs_of(setting, guess, limited)),
      sharpness_(sharpness),
      planned_angle_(angle_from_vertical(setting.target())),
      limited_(limited),
      arms_(arms) {
  if (arms_ != nullptr) {
    HT_EXPECT(knobs_.size() < ArmFlights::at_once);
    return;
  }
  // Steps fine enough for more momentum than the guess, which a spin or a folded flip may need.
  constexpr double accuracy = 1e-3, room = 2;
  Spin typical = setting.spin(guess);
  typical.angular_momentum_W *= room;
  const MovingBody body(setting.tree(), joint_tracks(setting.track(guess)), setting.request().air_time);
  table_.emplace(body, typical, accuracy);
}

Eigen::VectorXd Residuals::variables(const Controls& controls) const {
  Eigen::VectorXd x(inputs());
  for (int k = 0; k < inputs(); ++k) x(k) = controls.*knob(k).member / knob(k).scale;
  return x;
}

Controls Residuals::controls(const Eigen::VectorXd& x) const {
  Controls c = base_;
  for (int k = 0; k < inputs(); ++k) c.*knob(k).member = x(k) * knob(k).scale;
  return c;
}

PathEnd Residuals::end(const Controls& c) const {
  if (arms_ == nullptr) return fly_to_end(*table_, setting_.spin(c), setting_.frame());
  PathEnd end;
  arms_->fly({&c, 1}, {&end, 1});
  return end;
}

Eigen::VectorXd Residuals::residuals(const Controls& c, const PathEnd& end) const {
  Eigen::VectorXd r(values());
  const PathAngles& target = setting_.target_angles();
  const bool flips = setting_.request().plan.flips;
  const bool arms = flips && setting_.twists();
  r(0) = (end.angles.flip - target.flip) / (flips ? sharpness_ : slope_sigma);
  r(1) = (end.angles.tilt - target.tilt) / (!flips                ? slope_sigma
                                            : setting_.off_axis() ? lean_sigma(setting_)
                                                                  : tilt_sigma);
  r(2) = (end.angles.twist - target.twist) / sharpness_;
  r(3) = flips ? end.twist_rate / twist_rate_sigma(setting_) : 0.0;
  // An arm comes in before it opens.
  const double first_stay = c.open - 0.5 * c.stagger - c.drop;
  const double second_stay = c.open + 0.5 * c.stagger - c.drop - c.second_drop;
  r(4) = arms ? std::max(0.0, order_gap - first_stay) / edge : 0.0;
  r(5) = arms ? std::max(0.0, order_gap - second_stay) / edge : 0.0;
  r(6) = r(7) = 0;
  if (limited_ && flips) {
    const double lean = angle_from_vertical(end.q_WB) - planned_angle_;
    r(6) = std::max(0.0, lean - near * limits.landing_angle) / lean_edge;
    if (!setting_.spins_on())
      r(7) = std::max(0.0, std::abs(end.twist_rate) - near * setting_.twist_rate_limit()) / rate_edge;
  }
  for (int k = 0; k < inputs(); ++k) {
    const Knob& n = knob(k);
    const double value = c.*n.member;
    r(8 + 2 * k) = n.softness > 0 ? (value - n.preferred) / n.softness : 0.0;
    r(9 + 2 * k) = (std::max(0.0, value - n.high) - std::max(0.0, n.low - value)) / n.edge;
  }
  return r;
}

PathEnd Residuals::end(const Eigen::VectorXd& x) const {
  return last_x_.size() == x.size() && last_x_ == x ? last_end_ : end(controls(x));
}

int Residuals::operator()(const Eigen::VectorXd& x, Eigen::VectorXd& r) {
  // The flight and one beside it for each knob: a flight of arms costs as much as eight.
  constexpr double step = 1e-3;
  std::array<Controls, ArmFlights::at_once> around;
  std::array<PathEnd, ArmFlights::at_once> ends;
  const auto many = static_cast<std::size_t>(inputs()) + 1;
  around[0] = controls(x);
  for (std::size_t k = 1; k < many; ++k) {
    const Knob& turned = knobs_[k - 1];
    around[k] = around[0];
    around[k].*turned.member = (x(static_cast<Eigen::Index>(k) - 1) + step) * turned.scale;
  }
  if (arms_ != nullptr) {
    arms_->fly({around.data(), many}, {ends.data(), many});
  } else {
    for (std::size_t k = 0; k < many; ++k) ends[k] = end(around[k]);
  }
  r = residuals(around[0], ends[0]);
  last_x_ = x;
  last_end_ = ends[0];
  last_jacobian_.resize(values(), inputs());
  for (std::size_t k = 1; k < many; ++k)
    last_jacobian_.col(static_cast<Eigen::Index>(k) - 1) = (residuals(around[k], ends[k]) - r) / step;
  return 0;
}

int Residuals::df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) {
  Eigen::VectorXd r;
  if (last_x_.size() != x.size() || last_x_ != x) (*this)(x, r);
  jacobian = last_jacobian_;
  return 0;
}

}  // namespace halfturn::solve
