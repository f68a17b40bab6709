// The table of drawn flights: highest angle from vertical, angle and heading at first contact. The expected
// numbers are the published last column of the project's table (0.01) and closed forms worked by hand.
#include <Eigen/Geometry>
#include <cmath>
#include <random>

#include "plans.hpp"
#include "rotation/heading.hpp"
#include "rotation/integrate.hpp"

using namespace halfturn;
using namespace halfturn::test;

namespace {

DrawnParameters parameters(const std::string& base, double twist_deg, bool phases = true,
                           const char* timing = "late") {
  Plan one = plan(base, twist_deg, 360);
  one.timing = timing;
  DrawnParameters p = drawn_parameters(ladder(one).rungs.back());
  if (!phases) p.takeoff_phase_deg = p.landing_phase_deg = 0;
  return p;
}

/// Elevation of the chest direction above level, degrees.
double chest_deg(const DrawnParameters& p, double share) {
  const Vec3 chest_W = DrawnOrientation(p).at(share) * Vec3(1, 0, 0);
  return to_deg(std::asin(chest_W.y));
}

}  // namespace

TEST_CASE("drawn table: highest angle, angle at contact, contact heading") {
  const struct {
    const char* base;
    double twist, highest, angle, heading;
  } rows[] = {
      {"back flip", 0, 180, 20, 0},
      {"back flip", 180, 180, 20, 180},
      {"back flip", 360, 180, 15, 0},
      {"back flip", 720, 180, 15, 0},
      {"front flip", 0, 180, 20, 0},
      {"front flip", 180, 180, 20, 180},
      {"front flip", 540, 180, 20, 180},
      {"side flip", 0, 180, 20, 0},
      {"gainer", 0, 168, 15.68, -1.97},
      {"gainer", 180, 154, 15.54, 175.59},
      {"gainer", 360, 140, 15.45, -7.09},
      {"gainer", 720, 128, 15.00, -8.00},
      {"webster", 0, 180, 15, 0},
      {"webster", 360, 162, 15.61, -2.49},
      {"butterfly", 0, 100, 49.17, -34.62},
      {"butterfly", 180, 104, 44.61, 144.49},
      {"butterfly", 360, 106, 40.13, -36.37},
      {"butterfly", 540, 106, 40.13, 143.63},
      {"trampoline back", 0, 180, 5, 0},
  };
  for (const auto& row : rows) {
    CAPTURE(row.base);
    CAPTURE(row.twist);
    const Rung rung = ladder(plan(row.base, row.twist, 360)).rungs.back();
    const DrawnOrientation orientation(drawn_parameters(rung));
    CHECK(std::abs(to_deg(orientation.highest_angle()) - row.highest) < 0.01);
    CHECK(std::abs(rung.landing.contact_angle_deg - row.angle) < 0.01);
    REQUIRE(rung.landing.contact_heading_deg.has_value());
    CHECK(std::abs(wrap_deg(*rung.landing.contact_heading_deg - row.heading)) < 0.01);
    // The same from the orientation itself, so that the exact degrees of level axes are checked too.
    CHECK(std::abs(to_deg(angle_from_vertical(orientation.at(1))) - row.angle) < 0.01);
    CHECK(std::abs(wrap_deg(to_deg(heading(orientation.at(1)).value()) - row.heading)) < 0.01);
  }
}

TEST_CASE("drawn: without phases the highest angle is 180 - 2 i + lean") {
  CHECK(std::abs(to_deg(DrawnOrientation(parameters("gainer", 0, false)).highest_angle()) - 168) < 1e-9);
  CHECK(std::abs(to_deg(DrawnOrientation(parameters("gainer", 360, false)).highest_angle()) - 140) < 1e-9);
  CHECK(std::abs(to_deg(DrawnOrientation(parameters("gainer", 720, false)).highest_angle()) - 128) < 1e-9);
}

TEST_CASE("drawn: Arabian flies like a front, back half like a back") {
  CHECK(chest_deg(parameters("back flip", 180, false, "early"), 0.25) ==
        doctest::Approx(-81.5).epsilon(0.001));
  CHECK(chest_deg(parameters("back flip", 180, false, "late"), 0.25) == doctest::Approx(90));
}

TEST_CASE(
    "drawn: the chest of a butterfly is 80 below level in mid-flight, of its twist 74 above, of a side flip "
    "level") {
  CHECK(chest_deg(parameters("butterfly", 0), 0.5) == doctest::Approx(-80));
  CHECK(chest_deg(parameters("butterfly", 360), 0.5) == doctest::Approx(74).epsilon(0.001));
  const DrawnParameters side = parameters("side flip", 0);
  for (double u = 0; u <= 1; u += 0.05) CHECK(std::abs(chest_deg(side, u)) < 1e-9);
}

TEST_CASE("drawn equals the product of Eigen's axis-angle rotations") {
  std::mt19937_64 random(7);
  for (const char* base : {"back flip", "gainer", "butterfly", "aerial", "webster", "cheat kick"}) {
    const DrawnParameters p = parameters(base, base[0] == 'c' ? 720 : 360);
    const DrawnOrientation drawn(p);
    for (int i = 0; i < 20; ++i) {
      const double u = static_cast<double>(random() >> 11) * 0x1p-53;
      const double deg = double(EIGEN_PI) / 180;
      const auto blend = [](double s) {
        s = std::min(1.0, std::max(0.0, s));
        return 10 * std::pow(s, 3) - 15 * std::pow(s, 4) + 6 * std::pow(s, 5);
      };
      const Eigen::Vector3d up(0, 1, 0);
      const auto level = [&](double heading) {
        return Eigen::Vector3d(std::cos(heading * deg), 0, -std::sin(heading * deg));
      };
      const Eigen::Vector3d flip_axis = std::cos(p.incline_deg * deg) * up.cross(level(p.flip_toward_deg)) +
                                        p.side * std::sin(p.incline_deg * deg) * up;
      const double h0 = p.start_heading_deg + p.floor_turn_deg;
      const Eigen::Vector3d lean_axis = p.flips
                                            ? up.cross(level(p.flip_toward_deg - 90 * p.side))
                                            : Eigen::Vector3d(up.cross(level(p.mark_heading_deg + 180 - h0)));
      const double flip =
          p.flips ? p.takeoff_phase_deg + u * (360 - p.landing_phase_deg - p.takeoff_phase_deg) : 0;
      const double lean = p.lean_deg + (p.landing_lean_deg - p.lean_deg) * blend((u - 0.6) / 0.4);
      const double twist = p.air_turn_deg * blend((u - p.twist_onset) / (p.twist_end - p.twist_onset));
      using Turn = Eigen::AngleAxisd;
      const Eigen::Quaterniond expected = Turn(h0 * deg, up) * Turn(flip * deg, flip_axis) *
                                          Turn(lean * deg, lean_axis) * Turn(twist * deg, up);
      const Quat q = drawn.at(u);
      CHECK(angle_between(q, Quat(expected.w(), expected.x(), expected.y(), expected.z())) < 1e-12);
    }
  }
}

TEST_CASE("drawn agrees with the integrator fed with its angular velocity") {
  for (const char* base : {"back flip", "gainer", "butterfly", "aerial", "cheat kick"}) {
    const DrawnParameters p = parameters(base, base[0] == 'c' ? 900 : 720);
    const DrawnOrientation drawn(p);
    for (const double u : {0.3, 0.77, 1.0}) {
      const Quat q = integrate(drawn.at(0), [&](double t) { return drawn.rate_B(t); }, 0, u, 1e-11,
                               {p.twist_onset, p.twist_end, 0.6});
      CHECK(angle_between(q, drawn.at(u)) < 1e-10);
    }
  }
}

TEST_CASE("a flight gives the same bits in any order of seeks") {
  const Rung rung = ladder("gainer", 360, 360).rungs.back();
  const Flight flight = drawn_flight(rung, {});
  std::vector<double> times;
  for (int k = 0; k <= 240; ++k) times.push_back(flight.duration() * k / 240.0);
  std::vector<Quat> forward;
  for (const double t : times) forward.push_back(flight.at(t).q_WB);
  std::mt19937_64 random(11);
  for (int i = 0; i < 1000; ++i) {
    const std::size_t k = random() % times.size();
    const Quat q = flight.at(times[k]).q_WB;
    CHECK((q.w == forward[k].w && q.x == forward[k].x && q.y == forward[k].y && q.z == forward[k].z));
  }
}
