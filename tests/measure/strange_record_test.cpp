// Records that nobody has prepared for: mounted anyhow, with units, signs and axes changed on the way. Every
// one ends in the right turn, in a question or in an error; a wrong number is never given.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>
#include <string>

#include "measure/measure_record.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using namespace record_maker;

namespace {

/// What was done to a record on its way to the file.
struct Mangling {
  const char* name;
  std::function<void(Recording&)> mangle;
};

void scale_time(Recording& r, double factor) {
  for (double& time : r.time) time *= factor;
  note_steps(r);
}

/// What a device writes whose x axis is drawn the other way: vectors lose the sign of x, turns those of y and
/// z.
void draw_x_the_other_way(Recording& r) {
  for (Quat& q : r.orientation) q = Quat(q.w, q.x, -q.y, -q.z);
  for (Reading& rate : r.rate) rate = Reading(rate.x, -rate.y, -rate.z);
  for (Reading& force : r.force) force.x = -force.x;
}

const std::vector<Mangling>& manglings() {
  static const std::vector<Mangling> all{
      {"nothing", [](Recording&) {}},
      {"left-handed axes", draw_x_the_other_way},
      {"left-handed, rates not turned along",
       [](Recording& r) {
         draw_x_the_other_way(r);
         for (Reading& rate : r.rate) rate = -rate;
       }},
      {"accelerometer reads down at rest",
       [](Recording& r) {
         for (Reading& force : r.force) force = -force;
       }},
      {"all signs of the gyroscope mirrored",
       [](Recording& r) {
         for (Reading& rate : r.rate) rate = -rate;
       }},
      {"one sign of the gyroscope mirrored",
       [](Recording& r) {
         for (Reading& rate : r.rate) rate.x = -rate.x;
       }},
      {"another sign of the gyroscope mirrored",
       [](Recording& r) {
         for (Reading& rate : r.rate) rate.z = -rate.z;
       }},
      {"two axes of the gyroscope swapped",
       [](Recording& r) {
         for (Reading& rate : r.rate) std::swap(rate.x, rate.y);
       }},
      {"two axes of the accelerometer swapped",
       [](Recording& r) {
         for (Reading& force : r.force) std::swap(force.y, force.z);
       }},
      {"degrees a second said to be radians",
       [](Recording& r) {
         for (Reading& rate : r.rate) rate *= 180.0F / static_cast<float>(pi);
       }},
      {"radians a second said to be degrees",
       [](Recording& r) {
         for (Reading& rate : r.rate) rate *= static_cast<float>(pi) / 180.0F;
       }},
      {"milliseconds said to be seconds", [](Recording& r) { scale_time(r, 1000); }},
      {"seconds said to be milliseconds", [](Recording& r) { scale_time(r, 0.001); }},
      {"orientations the other way",
       [](Recording& r) {
         for (Quat& q : r.orientation) q = glm::conjugate(q);
       }},
  };
  return all;
}

enum class Kind { gyroscope, orientation, both, alone };
const char* name_of(Kind kind) {
  if (kind == Kind::alone) return "orientations alone";
  return kind == Kind::gyroscope     ? "gyroscope and accelerometer"
         : kind == Kind::orientation ? "orientations and accelerometer"
                                     : "all three";
}

struct Truth {
  double air_time = 0, twist = 0;
};

/// A flight of a random twist to a random side, on a sensor that sits anyhow in a world that is turned
/// anyhow.
Recording strange(Kind kind, unsigned seed, Truth& truth) {
  std::mt19937_64 random(seed);
  DrawnParameters p = back_twist(180 * (1 + std::floor(4 * uniform(random))), uniform(random) < 0.5 ? 1 : -1);
  if (uniform(random) < 0.4) p.flip_toward_deg = 0;
  truth = {0.75 + 0.3 * uniform(random), p.air_turn_deg};
  Story story = calibrated(drawn(p, truth.air_time));
  Sensor sensor;
  sensor.seed = seed;
  sensor.q_SB = exp_rotation(1.5 * normal_vector(random));
  sensor.q_RW = rotation_z(normal(random)) * rotation_x(0.5 * pi);
  sensor.has_orientation = kind != Kind::gyroscope;
  sensor.has_rate = kind == Kind::gyroscope || kind == Kind::both;
  sensor.has_force = kind != Kind::alone;
  sensor.force_noise = 0.1;
  sensor.rate_noise_deg_s = 0.2;
  return record(story, sensor);
}

struct Outcomes {
  int right = 0, asked = 0, wrong = 0, wrong_side = 0;
  std::string first_wrong;
  std::map<std::string, int> places;
};

/// `side_open`: nothing tells left from right, so a twist to the other side counts apart; it must come with
/// the caution that says so, and with a question against a plan.
void count(Outcomes& outcomes, Recording recording, const MeasureRequest& request, const Truth& truth,
           bool side_open) {
  const auto measured = measure_record(recording, request);
  if (!measured) {
    ++outcomes.asked;
    ++outcomes.places[measured.problem().place];
    return;
  }
  const FlightMeasures& m = measured->measures.flight;
  const bool air = std::abs(m.air_time_s - truth.air_time) < 0.015;
  const double twist = m.twist_deg.value_or(truth.twist);
  if (air && std::abs(twist - truth.twist) < 10) {
    ++outcomes.right;
    return;
  }
  if (side_open && air && std::abs(twist + truth.twist) < 10) {
    ++outcomes.wrong_side;
    CHECK(side_question(*measured, truth.twist < 0 ? -1 : 1));
    bool said = false;
    for (const std::string& caution : measured->measures.cautions)
      said = said || caution.find("right-handed axes") != std::string::npos;
    CHECK(said);
    return;
  }
  ++outcomes.wrong;
  if (outcomes.first_wrong.empty()) {
    outcomes.first_wrong = "twist " + std::to_string(twist) + " for " + std::to_string(truth.twist) +
                           ", air " + std::to_string(m.air_time_s) + " for " + std::to_string(truth.air_time);
  }
}

Outcomes outcomes_of(const Mangling& mangling, Kind kind, const MeasureRequest& request, bool side_open) {
  Outcomes outcomes;
  for (unsigned seed = 1; seed <= 12; ++seed) {
    Truth truth;
    Recording recording = strange(kind, seed, truth);
    mangling.mangle(recording);
    MeasureRequest answers = request;
    // Who gives the seconds of marks gives them in the record's own.
    const double factor = recording.time.back() > 1000 ? 1000 : recording.time.back() < 0.1 ? 0.001 : 1;
    for (auto* span : {&answers.frame.still, &answers.frame.bow}) {
      if (*span) **span = {(*span)->from * factor, (*span)->to * factor};
    }
    if (answers.frame.turn) {
      answers.frame.turn->span.from *= factor;
      answers.frame.turn->span.to *= factor;
    }
    count(outcomes, std::move(recording), answers, truth, side_open);
  }
  std::printf("  %-38s | %5d | %5d | %10d | %5d  %s\n", mangling.name, outcomes.right, outcomes.asked,
              outcomes.wrong_side, outcomes.wrong, outcomes.first_wrong.c_str());
  return outcomes;
}

}  // namespace

TEST_CASE("with a still stance, a turn and a bow marked, a strange record is measured right or refused") {
  for (const Kind kind : {Kind::gyroscope, Kind::orientation, Kind::both}) {
    std::printf("  %-38s | right | asked | other side | wrong\n", name_of(kind));
    for (const Mangling& mangling : manglings()) {
      CAPTURE(std::string(mangling.name));
      const Outcomes outcomes = outcomes_of(mangling, kind, marks(), false);
      CHECK(outcomes.wrong == 0);
      // What the marks can tell is found out, not refused.
      const std::string name = mangling.name;
      if (name == "nothing" || name == "left-handed axes" || name == "accelerometer reads down at rest")
        CHECK(outcomes.right == 12);
      if (kind == Kind::orientation && name == "orientations the other way") CHECK(outcomes.right == 12);
    }
  }
}

TEST_CASE("with as few answers as the questions ask for, no strange record gives a wrong turn") {
  for (const Kind kind : {Kind::gyroscope, Kind::orientation, Kind::both}) {
    std::printf("  few answers, %-25s | right | asked | other side | wrong\n", name_of(kind));
    MeasureRequest few;
    if (kind == Kind::gyroscope) {
      few.frame.rest_reads_down = false;
    } else {
      few.frame.world_up = SignedAxis{2, 1};
    }
    few.frame.bow = Span{2.4, 3.1};
    for (const Mangling& mangling : manglings()) {
      CAPTURE(std::string(mangling.name));
      const Outcomes outcomes = outcomes_of(mangling, kind, few, true);
      CHECK(outcomes.wrong == 0);
      if (std::string(mangling.name) == "nothing") CHECK(outcomes.right == 12);
    }
  }
}

TEST_CASE("gravity going round tells the unit and the signs of a gyroscope") {
  Story story = calibrated(drawn(back_twist(360), 0.9));
  Sensor sensor;
  sensor.q_SB = exp_rotation(Vec3(0.9, -0.4, 1.3));
  sensor.place_B = Vec3(0);  // in the middle of the body a bow does not push it
  sensor.has_orientation = false;
  sensor.has_rate = true;
  sensor.rate_bias_deg_s = Vec3(3, -2, 1);
  const Recording made = record(story, sensor);
  const auto measured = [&](float factor, MeasureRequest request) {
    Recording recording = made;
    for (Reading& rate : recording.rate) rate *= factor;
    return measure_record(recording, request);
  };
  for (const float factor : {1.0F, -1.0F}) {
    CAPTURE(factor);
    const auto right = measured(factor, marks());
    REQUIRE_MESSAGE(right.ok(), right.problem().message());
    CHECK(std::abs(*right->measures.flight.twist_deg - 360) < 3);
    const bool said = std::any_of(right->conventions.begin(), right->conventions.end(),
                                  [](const Convention& c) { return c.what == "signs of the gyroscope"; });
    CHECK(said == (factor < 0));
  }
  const auto degree = static_cast<float>(pi / 180);
  for (const float factor : {degree, 1 / degree, -degree}) {
    CAPTURE(factor);
    const auto asked = measured(factor, marks());
    REQUIRE_FALSE(asked.ok());
    CHECK(asked.problem().place == "--rate-unit");
  }
}

TEST_CASE("a gyroscope is held against the orientations beside it") {
  Sensor sensor;
  sensor.q_SB = exp_rotation(Vec3(0.9, -0.4, 1.3));
  sensor.has_rate = true;
  const Recording made = record(calibrated(drawn(back_twist(360), 0.9)), sensor);
  struct Case {
    const char* place;
    std::function<void(Reading&)> change;
  };
  const std::vector<Case> cases{
      {"", [](Reading&) {}},
      {"", [](Reading& r) { r = -r; }},
      {"--rate-unit", [](Reading& r) { r *= 57.3F; }},
      {"--rate-unit", [](Reading& r) { r /= 57.3F; }},
      {"record", [](Reading& r) { r.y = -r.y; }},
      {"record", [](Reading& r) { r = Reading(r.y, r.z, r.x); }},
  };
  for (std::size_t k = 0; k < cases.size(); ++k) {
    CAPTURE(k);
    Recording recording = made;
    for (Reading& rate : recording.rate) cases[k].change(rate);
    const auto measured = measure_record(recording, marks());
    const std::string place = cases[k].place;
    REQUIRE(measured.ok() == place.empty());
    if (measured) {
      CHECK(std::abs(*measured->measures.flight.twist_deg - 360) < 2);
    } else {
      CHECK(measured.problem().place == place);
    }
  }
}

TEST_CASE("marks that would be longer in the air than anybody is are questioned") {
  const Story story = calibrated(drawn(back_twist(360), 0.9));
  Recording recording = record(story, Sensor{});
  MeasureRequest request = marks();
  request.takeoff_s = 1.0;
  request.landing_s = 5.9;
  const auto measured = measure_record(recording, request);
  REQUIRE_FALSE(measured.ok());
  CHECK(measured.problem().place == "--time-unit");
}

TEST_CASE("orientations alone: a marked turn or two stances tell which way they map, else it is said aloud") {
  std::printf("  %-38s | right | asked | other side | wrong\n", "orientations alone, the other way");
  int found = 0;
  for (const bool turn_marked : {true, false}) {
    Outcomes outcomes;
    for (unsigned seed = 1; seed <= 12; ++seed) {
      Truth truth;
      Recording recording = strange(Kind::alone, seed, truth);
      for (Quat& q : recording.orientation) q = glm::conjugate(q);
      MeasureRequest request = marks();
      if (!turn_marked) request.frame.turn.reset();
      request.frame.world_up = SignedAxis{2, 1};
      request.takeoff_s = 5.5;
      request.landing_s = 5.5 + truth.air_time;
      Recording copy = recording;
      const auto measured = measure_record(copy, request);
      const bool is_found =
          measured &&
          std::any_of(measured->conventions.begin(), measured->conventions.end(), [](const Convention& c) {
            return c.what == "orientation" && c.how.starts_with("found");
          });
      found += is_found ? 1 : 0;
      const bool said = measured && std::any_of(measured->measures.cautions.begin(),
                                                measured->measures.cautions.end(), [](const std::string& c) {
                                                  return c.find("usual order") != std::string::npos;
                                                });
      // An odd half twist stands the other way round afterwards: that tells.
      if (std::fmod(std::abs(truth.twist), 360) > 90 && measured) CHECK(is_found);
      if (measured && !is_found) {
        CHECK(said);
        continue;
      }
      count(outcomes, std::move(recording), request, truth, !turn_marked);
    }
    std::printf("  %-38s | %5d | %5d | %10d | %5d  %s\n", turn_marked ? "turn marked" : "nothing marked",
                outcomes.right, outcomes.asked, outcomes.wrong_side, outcomes.wrong,
                outcomes.first_wrong.c_str());
    CHECK(outcomes.wrong == 0);
  }
  CHECK(found >= 6);
}
