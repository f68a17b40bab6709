#include "flight/solve.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <future>
#include <glm/geometric.hpp>
#include <string>
#include <vector>

#include "rotation/heading.hpp"
#include "shapes.hpp"

using namespace halfturn;

namespace {

Athlete average() {
  Athlete athlete;
  athlete.height_m = 1.74;
  athlete.mass_kg = 73;
  return athlete;
}

SolveRequest request_for(double twist_deg, double air_time) {
  SolveRequest request;
  request.body = std::make_shared<const HumanBody>(human_body(average()));
  request.shapes = test::shapes();
  request.effort = TakeoffEffort::running;
  request.air_time = air_time;
  request.plan.takeoff_phase_deg = 10;
  request.plan.landing_phase_deg = 15;
  request.plan.air_turn_deg = twist_deg;
  request.plan.twist_onset = 0.1;
  request.plan.twist_end = 0.85;
  return request;
}

SolveRequest corkscrew(double twist_deg, double incline_deg, double lean_deg, double landing_lean_deg) {
  SolveRequest request = request_for(twist_deg, 0.8);
  request.effort = TakeoffEffort::one_leg;
  request.swings_leg = true;
  request.plan.incline_deg = incline_deg;
  request.plan.lean_deg = lean_deg;
  request.plan.landing_lean_deg = landing_lean_deg;
  return request;
}

SolveRequest right_sided(SolveRequest request) {
  request.plan.side = -1;
  for (double* angle : {&request.plan.start_heading_deg, &request.plan.floor_turn_deg,
                        &request.plan.air_turn_deg, &request.plan.flip_toward_deg}) {
    *angle = -*angle;
  }
  request.travel_W.z = -request.travel_W.z;
  return request;
}

Vec3 momentum_of(const HumanBody& body, const FlightSample& now, const Pose& rate) {
  const WholeBody whole = whole_body(body, now.pose, rate);
  return now.q_WB * (whole.inertia * now.omega_B + whole.relative_angular_momentum);
}

}  // namespace

// Peak twist rates of multiple twists in one somersault are 2 to 3 rev/s, of fewer twists less (common
// practice); a single somersault takes 30 to 130 kg m2/s with adults (common practice, both ends).
TEST_CASE(
    "back flip to double full: physical flights land at the planned heading, on their feet, controlled") {
  for (const double twist : {0.0, 45.0, 90.0, 180.0, 360.0, 540.0, 720.0}) {
    CAPTURE(twist);
    const SolvedFlight solved = solve_flight(request_for(twist, twist > 540   ? 1.12
                                                                : twist > 360 ? 1.0
                                                                              : 0.9));
    REQUIRE(solved.flight);
    CHECK(solved.feasibility.feasible);
    CHECK(solved.feasibility.shortfalls.empty());
    CHECK(solved.flight->provenance() == Provenance::simulated);
    CHECK(std::abs(solved.numbers.heading_error_deg) < 1);
    CHECK(std::abs(solved.numbers.landing_angle_deg - 15) < 3);
    CHECK(solved.numbers.momentum > 30);
    CHECK(solved.numbers.momentum < 130);
    CHECK(solved.numbers.peak_twist_rate < 3.5);
    if (twist == 720) CHECK(solved.numbers.peak_twist_rate > 2);
    const FlightSample end = solved.flight->at(solved.flight->duration());
    CHECK(std::abs(to_deg(end.angles.twist) - twist) < 1);
  }
}

TEST_CASE("corkscrews: an inclined momentum with a lean lands upright enough to stand") {
  for (const SolveRequest& request : {corkscrew(180, 20, 14, 6), corkscrew(360, 32, 24, 8)}) {
    CAPTURE(request.plan.air_turn_deg);
    const SolvedFlight solved = solve_flight(request);
    REQUIRE(solved.flight);
    CHECK(solved.feasibility.feasible);
    CHECK(std::abs(solved.numbers.heading_error_deg) < 3);
    CHECK(solved.numbers.incline_deg > 5);
  }
}

// Conservation laws, with momentum put together from the body's segments and not by the integrator.
TEST_CASE("angular momentum is constant in the world and the centre of mass falls with g") {
  const SolveRequest request = request_for(540, 1.0);
  const SolvedFlight solved = solve_flight(request);
  REQUIRE(solved.flight);
  const double T = solved.flight->duration();
  const double dt = 1e-5;
  for (int i = 1; i < 40; ++i) {
    const double t = T * i / 40;
    const FlightSample before = solved.flight->at(t - dt), now = solved.flight->at(t),
                       after = solved.flight->at(t + dt);
    Pose rate;
    for (std::size_t s = 0; s < segment_count; ++s) {
      rate.angles[s] = (after.pose.angles[s] - before.pose.angles[s]) / (2 * dt);
    }
    const Vec3 momentum = momentum_of(*request.body, now, rate);
    CHECK(glm::length(momentum - *solved.flight->angular_momentum_W()) < 1e-3 * solved.numbers.momentum);
    // omega belongs to the orientation.
    const Vec3 turned = log_rotation(glm::conjugate(before.q_WB) * after.q_WB) / (2 * dt);
    CHECK(glm::length(turned - now.omega_B) < 1e-3 * glm::length(now.omega_B));
  }
  const double h = 0.1;
  const double curvature = (solved.flight->at(0.5 + h).com_W.y - 2 * solved.flight->at(0.5).com_W.y +
                            solved.flight->at(0.5 - h).com_W.y) /
                           (h * h);
  CHECK(curvature == doctest::Approx(-9.80665).epsilon(1e-9));
}

// H T = (mean moment) x (angle): with the legs straight it lies between that of the narrow and that of the
// long shape.
TEST_CASE("momentum of a layout lies between the closed forms of its two extreme shapes") {
  const SolveRequest request = request_for(0, 0.9);
  const SolvedFlight solved = solve_flight(request);
  REQUIRE(solved.flight);
  const double angle = to_rad(360 - 10 - 15);
  const double low = whole_body(*request.body, request.shapes->at("layout")).inertia[2][2] * angle / 0.9;
  const double high = whole_body(*request.body, request.shapes->at("set")).inertia[2][2] * angle / 0.9;
  CHECK(solved.numbers.momentum > low);
  CHECK(solved.numbers.momentum < high);
}

// Standing tucked back somersaults: about 0.55 to 0.70 s in the air, 30 to 70 kg m2/s (common practice).
TEST_CASE("a standing tucked back somersault") {
  SolveRequest request = request_for(0, 0.65);
  request.shape = FlightShape::tuck;
  request.effort = TakeoffEffort::standing;
  const SolvedFlight solved = solve_flight(request);
  REQUIRE(solved.flight);
  CHECK(solved.feasibility.feasible);
  CHECK(solved.numbers.momentum > 30);
  CHECK(solved.numbers.momentum < 70);
  const std::optional<double> needed = least_air_time(request);
  REQUIRE(needed);
  CHECK(*needed > 0.5);
  CHECK(*needed < 0.7);
}

TEST_CASE("a jump that is too low is refused and what is short is said") {
  SolveRequest request = request_for(360, 0.6);
  request.effort = TakeoffEffort::standing;
  const SolvedFlight solved = solve_flight(request);
  CHECK_FALSE(solved.feasibility.feasible);
  REQUIRE_FALSE(solved.feasibility.shortfalls.empty());
  CHECK(solved.feasibility.shortfalls.front().find("angular momentum") != std::string::npos);
}

TEST_CASE("the least air time is one that solves, and a tenth less is not") {
  SolveRequest request = request_for(360, 0.9);
  const std::optional<double> needed = least_air_time(request);
  REQUIRE(needed);
  request.air_time = *needed;
  CHECK(solve_flight(request).feasibility.feasible);
  request.air_time = 0.9 * *needed;
  CHECK_FALSE(solve_flight(request).feasibility.feasible);
}

TEST_CASE("the least air time of odd quarters and of twists off the axis solves, too") {
  for (SolveRequest request : {request_for(90, 0.8), request_for(270, 0.88), request_for(450, 0.95),
                               corkscrew(270, 29, 21.5, 7.5), corkscrew(540, 34, 22, 8)}) {
    CAPTURE(request.plan.air_turn_deg);
    CAPTURE(request.plan.incline_deg);
    FlightSolver solver(request);
    const std::optional<double> needed = solver.least_air_time();
    REQUIRE(needed);
    const SolvedFlight solved = solver.solve(*needed);
    REQUIRE(solved.flight);
    CHECK(solved.feasibility.feasible);
    CHECK(std::abs(solved.numbers.heading_error_deg) < 3);
    CHECK(std::abs(solved.numbers.twist_error_deg) < 3);
    CHECK(solved.numbers.momentum <= solved.numbers.momentum_limit);
  }
}

// The gate's 30 degrees (design, section 4) in the 0.1 s that joint torques take to reverse at touchdown (Wu
// et al. 2019) are 300 deg/s; what turns on over the 12 degrees of 120 deg/s is told with its rate.
TEST_CASE("twist left: held at half twists, turned out on the feet and told so a quarter away") {
  for (const SolveRequest& request :
       {request_for(180, 0.85), request_for(270, 0.9), request_for(360, 0.9), request_for(450, 0.93),
        request_for(540, 0.963), corkscrew(270, 29, 21.5, 7.5), corkscrew(360, 32, 24, 8)}) {
    CAPTURE(request.plan.air_turn_deg);
    CAPTURE(request.plan.incline_deg);
    const SolvedFlight solved = solve_flight(request);
    REQUIRE(solved.feasibility.feasible);
    const double rate = std::abs(solved.numbers.landing_twist_rate_deg);
    const bool half = std::fmod(request.plan.air_turn_deg, 180) == 0;
    CHECK(rate <= (half ? 121 : 301));
    bool told = false;
    for (const std::string& caution : solved.feasibility.cautions) {
      const std::size_t found =
          caution.find("degrees a second at first contact: it is not stopped in the air");
      if (found == std::string::npos) continue;
      told = true;
      CHECK(std::abs(std::stod(caution.substr(caution.find(" at ") + 4)) - rate) < 2);
    }
    CHECK(told == (rate > 120));
  }
  // In less air a gainer three-quarter leaves more than can be held: that is what is told, not hidden.
  const SolvedFlight short_of_air = solve_flight(corkscrew(270, 29, 21.5, 7.5));
  CHECK(std::abs(short_of_air.numbers.landing_twist_rate_deg) > 120);
}

// Yeadon and Kerwin (1999): in 18 backward somersaults with one twist 30 % of the tilt at mid-twist came from
// the contact with the floor, the rest was made in the air.
TEST_CASE("a full twist is made in the air for the most part") {
  for (const double air_time : {0.82, 0.9, 1.0}) {
    const SolvedFlight solved = solve_flight(request_for(360, air_time));
    REQUIRE(solved.flight);
    CHECK(std::abs(solved.numbers.contact_twist_deg) < 0.3 * solved.numbers.greatest_tilt_deg);
  }
}

TEST_CASE("an answer depends on the request alone: not on what was solved before, not on threads") {
  const SolveRequest request = request_for(270, 0.9);
  const SolvedFlight alone = solve_flight(request);
  REQUIRE(alone.flight);
  const auto same = [&](const SolvedFlight& other) {
    REQUIRE(other.flight);
    CHECK(other.numbers.momentum == alone.numbers.momentum);
    CHECK(other.numbers.landing_twist_rate_deg == alone.numbers.landing_twist_rate_deg);
    CHECK(other.finish == alone.finish);
    const std::vector<ArmMove>& arms = alone.flight->arm_moves();
    REQUIRE(arms.size() == 4);
    REQUIRE(other.flight->arm_moves().size() == arms.size());
    for (std::size_t i = 0; i < arms.size(); ++i) CHECK(other.flight->arm_moves()[i].time == arms[i].time);
    for (int i = 0; i <= 10; ++i) CHECK(other.flight->at(0.09 * i).q_WB == alone.flight->at(0.09 * i).q_WB);
  };
  FlightSolver solver(request);
  (void)solver.solve(1.05);
  const std::optional<double> needed = solver.least_air_time();
  same(solver.solve(0.9));
  CHECK(solver.least_air_time() == needed);
  CHECK(least_air_time(request) == needed);
  std::vector<std::future<SolvedFlight>> running;
  for (const double twist : {360.0, 270.0, 270.0}) {
    running.push_back(
        std::async(std::launch::async, [twist] { return solve_flight(request_for(twist, 0.9)); }));
  }
  (void)running[0].get();
  same(running[1].get());
  same(running[2].get());
}

// More air is never short of air: where the search finds a controlled landing it finds one in a little more.
TEST_CASE("a controlled landing stays one in up to a fifth more air") {
  for (const SolveRequest& request :
       {request_for(270, 0.9), request_for(360, 0.82), request_for(540, 0.93), corkscrew(360, 32, 24, 8)}) {
    CAPTURE(request.plan.air_turn_deg);
    FlightSolver solver(request);
    for (const double more : {1.0, 1.03, 1.07, 1.13, 1.2}) {
      CAPTURE(more);
      CHECK(solver.solve(more * request.air_time).feasibility.feasible);
    }
  }
}

TEST_CASE("mirror law: the right side flies the mirrored flight to the last bit") {
  for (SolveRequest request : {request_for(360, 0.9), corkscrew(360, 32, 24, 8)}) {
    request.travel_W = Vec3(-1, 0, 0.2);
    request.plan.start_heading_deg = 30;
    const SolvedFlight left = solve_flight(request);
    const SolvedFlight right = solve_flight(right_sided(request));
    REQUIRE(left.flight);
    REQUIRE(right.flight);
    CHECK(right.numbers.momentum == left.numbers.momentum);
    CHECK(right.numbers.heading_error_deg == -left.numbers.heading_error_deg);
    const std::vector<ArmMove>& of_left = left.flight->arm_moves();
    const std::vector<ArmMove>& of_right = right.flight->arm_moves();
    REQUIRE(of_left.size() == 4);
    REQUIRE(of_right.size() == of_left.size());
    for (std::size_t i = 0; i < of_left.size(); ++i) {
      CHECK(of_right[i].left != of_left[i].left);
      CHECK(of_right[i].time == of_left[i].time);
    }
    for (int i = 0; i <= 30; ++i) {
      const double t = left.flight->duration() * i / 30;
      const FlightSample l = left.flight->at(t), r = right.flight->at(t);
      CHECK(r.q_WB == mirrored(l.q_WB));
      CHECK(r.pose == mirrored(l.pose));
      CHECK(r.com_W == Vec3(l.com_W.x, l.com_W.y, -l.com_W.z));
      CHECK(r.omega_B == Vec3(-l.omega_B.x, -l.omega_B.y, l.omega_B.z));
      CHECK(r.angles.twist == -l.angles.twist);
    }
  }
}

// An upright spin: without tilt, momentum is the long-axis moment times the turn over the time, between that
// of arms on the chest and that of arms out.
TEST_CASE("jump with a full turn") {
  SolveRequest request = request_for(360, 0.5);
  request.shape = FlightShape::upright;
  request.plan.flips = false;
  const SolvedFlight solved = solve_flight(request);
  REQUIRE(solved.flight);
  CHECK(solved.feasibility.feasible);
  CHECK(std::abs(solved.numbers.heading_error_deg) < 1);
  CHECK(solved.numbers.landing_angle_deg < 1);
  const double turn_rate = to_rad(360) / 0.5;
  CHECK(solved.numbers.momentum >
        whole_body(*request.body, request.shapes->at("wrap")).inertia[1][1] * turn_rate);
  CHECK(solved.numbers.momentum <
        whole_body(*request.body, request.shapes->at("open")).inertia[1][1] * turn_rate);
}

// h = g t^2 / 8: 0.50 s is 0.306 m, 0.80 s is 0.785 m (by hand).
TEST_CASE("air time from rise and from frames") {
  CHECK(rise_of_air_time(0.5) == doctest::Approx(0.306458).epsilon(1e-5));
  CHECK(air_time_of_rise(0.784532) == doctest::Approx(0.8).epsilon(1e-6));
  CHECK(air_time_of_frames(48, 60) == doctest::Approx(0.8));
}
