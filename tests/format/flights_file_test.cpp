#include "format/flights_file.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/rung_simulation.hpp"
#include "rotation/quaternion.hpp"

using namespace halfturn;

namespace {

/// The demo plan's last two rungs as an average adult flies them, and one that stays drawn.
FlownPlan flown() {
  const Result<Ladder> ladder = make_ladder(demo_plan().plan, built_in_vocabulary(), built_in_difficulty());
  REQUIRE(static_cast<bool>(ladder));
  const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  FlownPlan plan{"an average adult", {}};
  for (std::size_t k = 1; k <= 2; ++k) {
    const RungSimulation simulation = simulate_rung(*ladder, k, flyer);
    REQUIRE(flies_simulated(simulation));
    plan.rungs.push_back({*simulation.solved.flight, "", simulation.air_time_needed_s});
  }
  plan.rungs.push_back({std::nullopt, "drawn: <air> time", std::nullopt});
  return plan;
}

std::string changed(const std::string& text, const std::string& pointer, const nlohmann::json& value) {
  nlohmann::json json = nlohmann::json::parse(text);
  json[nlohmann::json::json_pointer(pointer)] = value;
  return json.dump();
}
std::string without(const std::string& text, const std::string& parent, const std::string& key) {
  nlohmann::json json = nlohmann::json::parse(text);
  json[nlohmann::json::json_pointer(parent)].erase(key);
  return json.dump();
}

}  // namespace

TEST_CASE("flights come back within the rounding of their text") {
  const FlownPlan plan = flown();
  const std::string text = write_flights(plan);
  const Result<FlownPlan> read = read_flights(text, "flights");
  REQUIRE(static_cast<bool>(read));
  CHECK(read->whose == plan.whose);
  REQUIRE(read->rungs.size() == 3);
  CHECK_FALSE(read->rungs[2].flight.has_value());
  CHECK(read->rungs[2].why_drawn == "drawn: <air> time");
  for (std::size_t k = 0; k < 2; ++k) {
    const Flight &was = *plan.rungs[k].flight, &is = *read->rungs[k].flight;
    CHECK(is.provenance() == Provenance::simulated);
    CHECK(std::abs(is.duration() - was.duration()) <= 0.5e-6);
    CHECK_FALSE(is.angular_momentum_W().has_value());
    CHECK(*read->rungs[k].air_time_needed_s ==
          doctest::Approx(*plan.rungs[k].air_time_needed_s).epsilon(1e-3));
    const int last = static_cast<int>(std::ceil(60 * was.duration() - 1e-9));
    for (int i = 0; i <= last; ++i) {
      const FlightSample a = was.at(was.duration() * i / last), b = is.at(is.duration() * i / last);
      CHECK(angle_between(a.q_WB, b.q_WB) < 5e-6);
      CHECK(glm::length(a.com_W - b.com_W) < 1e-5);
      for (std::size_t s = 0; s < segment_count; ++s)
        CHECK(glm::length(a.pose.angles[s] - b.pose.angles[s]) < 1e-5);
    }
    for (int i = 0; i <= 500; ++i)
      CHECK(angle_between(was.orientation(was.duration() * i / 500),
                          is.orientation(was.duration() * i / 500)) < 1e-3);
    REQUIRE(is.events().size() == was.events().size());
    for (std::size_t i = 0; i < was.events().size(); ++i) {
      CHECK(is.events()[i].kind == was.events()[i].kind);
      CHECK(std::abs(is.events()[i].time - was.events()[i].time) <= 0.5e-6);
    }
    REQUIRE(!was.arm_moves().empty());
    REQUIRE(is.arm_moves().size() == was.arm_moves().size());
    for (std::size_t i = 0; i < was.arm_moves().size(); ++i) {
      CHECK(is.arm_moves()[i].left == was.arm_moves()[i].left);
      CHECK(is.arm_moves()[i].in == was.arm_moves()[i].in);
    }
  }
}

TEST_CASE("malformed flights are refused with the place") {
  const std::string good = write_flights(flown());
  const std::string flight = "/rungs/0/flight";
  struct Case {
    std::string text, place;
  };
  const Case cases[] = {
      {changed(good, "/version", 2), "version"},
      {changed(good, "/format", "halfturn-plan"), "format"},
      {changed(good, "/extra", 1), "flights"},
      {changed(good, "/rungs/2/flight", 5), "rungs[2]"},
      {changed(good, flight + "/duration_s", 0), "rungs[0].flight.duration_s"},
      {changed(good, flight + "/samples", 1), "rungs[0].flight.samples"},
      {changed(good, flight + "/samples", 7), "rungs[0].flight.orientation"},
      {changed(good, flight + "/orientation/4", 0.9999), "rungs[0].flight.orientation[4]"},
      {changed(good, flight + "/orientation/5", "x"), "rungs[0].flight.orientation[5]"},
      {changed(good, flight + "/angular_velocity/2", 1e9), "rungs[0].flight.angular_velocity[2]"},
      {changed(good, flight + "/centre_of_mass", nlohmann::json::array()), "rungs[0].flight.centre_of_mass"},
      {changed(good, flight + "/events/0/kind", "lunch"), "rungs[0].flight.events[0].kind"},
      {changed(good, flight + "/events/0/time_s", -1), "rungs[0].flight.events[0].time_s"},
      {changed(good, flight + "/joints/wing", nlohmann::json::object()), "rungs[0].flight.joints.wing"},
      {changed(good, flight + "/joints/head", {{"w", 1}}), "rungs[0].flight.joints.head"},
      {changed(good, flight + "/joints/head", {{"z", {1, 2}}}), "rungs[0].flight.joints.head.z"},
      {without(good, flight, "flip_lean_twist"), "rungs[0].flight.flip_lean_twist"},
      {without(good, "/rungs/2", "why_drawn"), "rungs[2].why_drawn"},
      {good.substr(0, good.size() / 2), "line"},
      {"", "empty"},
      {"[]", "object"},
  };
  for (const Case& one : cases) {
    CAPTURE(one.place);
    const Result<FlownPlan> read = read_flights(one.text, "flights");
    REQUIRE_FALSE(static_cast<bool>(read));
    CHECK(read.problem().message().find(one.place) != std::string::npos);
  }
}

TEST_CASE("an orientation that turns too far between two samples is refused where it stands") {
  nlohmann::json json = nlohmann::json::parse(write_flights(flown()));
  nlohmann::json& q = json["rungs"][0]["flight"]["orientation"];
  // Half a turn about X on top: (w, x, y, z) -> (-x, w, z, -y).
  const double w = q[8], x = q[9], y = q[10], z = q[11];
  q[8] = -x, q[9] = w, q[10] = z, q[11] = -y;
  const Result<FlownPlan> read = read_flights(json.dump(), "flights");
  REQUIRE_FALSE(static_cast<bool>(read));
  CHECK(read.problem().place == "rungs[0].flight.orientation[8]");
}
