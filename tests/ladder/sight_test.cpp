#include "ladder/sight.hpp"

#include <btBulletCollisionCommon.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <memory>
#include <random>

#include "format/shape_file.hpp"
#include "plans.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;

namespace {

btVector3 bt(const Vec3& v) {
  return {v.x, v.y, v.z};
}

/// Ray casts in Bullet (double precision): a part is the convex hull of its two balls, grown by `grow` m.
class BulletBody {
 public:
  BulletBody(const std::vector<BodyPart>& parts, double grow) {
    for (const BodyPart& part : parts) {
      const btVector3 centres[2] = {bt(part.a_W), bt(part.b_W)};
      const btScalar radii[2] = {part.radius_a + grow, part.radius_b + grow};
      shapes_.push_back(std::make_unique<btMultiSphereShape>(centres, radii, 2));
      objects_.push_back(std::make_unique<btCollisionObject>());
      objects_.back()->setCollisionShape(shapes_.back().get());
      world_.addCollisionObject(objects_.back().get());
    }
  }
  ~BulletBody() {
    for (const auto& object : objects_) world_.removeCollisionObject(object.get());
  }
  BulletBody(const BulletBody&) = delete;
  BulletBody& operator=(const BulletBody&) = delete;

  [[nodiscard]] bool hit(const Vec3& from, const Vec3& to) const {
    btCollisionWorld::ClosestRayResultCallback result(bt(from), bt(to));
    world_.rayTest(bt(from), bt(to), result);
    return result.hasHit();
  }

 private:
  btDefaultCollisionConfiguration configuration_;
  btCollisionDispatcher dispatcher_{&configuration_};
  btDbvtBroadphase broadphase_;
  btCollisionWorld world_{&dispatcher_, &broadphase_, &configuration_};
  std::vector<std::unique_ptr<btMultiSphereShape>> shapes_;
  std::vector<std::unique_ptr<btCollisionObject>> objects_;
};

constexpr double doubt = 0.003;  // m: rays that pass this near a surface are not judged

/// -1 missed, 1 hit, 0 too near the surface to tell.
int bullet_verdict(const std::vector<BodyPart>& parts, const Vec3& from, const Vec3& to) {
  if (BulletBody(parts, -doubt).hit(from, to)) return 1;
  return BulletBody(parts, doubt).hit(from, to) ? 0 : -1;
}

double uniform(std::mt19937_64& engine, double low, double high) {
  return low + (high - low) * (static_cast<double>(engine() >> 11) * 0x1.0p-53);
}

Flight flight_of(const Ladder& ladder, std::size_t rung) {
  return drawn_flight(ladder.rungs[rung], embedded_shapes());
}

}  // namespace

TEST_CASE("a ball hides what lies behind it, up to its edge") {
  const std::vector<BodyPart> ball{{{1, 0.5, 0}, {1, 0.5, 0}, 0.2, 0.2}};
  // The line runs along X at a distance of 0.5 - y from the ball's centre.
  for (const double y : {0.301, 0.5, 0.699}) CHECK(is_obstructed({0, y, 0}, {2, y, 0}, ball));
  for (const double y : {0.299, 0.701}) CHECK_FALSE(is_obstructed({0, y, 0}, {2, y, 0}, ball));
  // Beyond the end of the line nothing hides.
  CHECK_FALSE(is_obstructed({0, 0.5, 0}, {0.79, 0.5, 0}, ball));
  CHECK(is_obstructed({0, 0.5, 0}, {0.81, 0.5, 0}, ball));
}

TEST_CASE("a cone of two balls hides up to its common tangent") {
  // Balls of 0.3 and 0.1 m whose centres are 1 m apart: the tangent leans by asin(0.2), so that half way the
  // surface stands 0.2 / cos(asin(0.2)) off the axis.
  const std::vector<BodyPart> cone{{{0, 0, 0}, {1, 0, 0}, 0.3, 0.1}};
  const double edge = 0.2 / std::sqrt(1 - 0.04);
  CHECK(is_obstructed({0.5, edge - 1e-6, -2}, {0.5, edge - 1e-6, 2}, cone));
  CHECK_FALSE(is_obstructed({0.5, edge + 1e-6, -2}, {0.5, edge + 1e-6, 2}, cone));
}

TEST_CASE("lines meet parts as Bullet's rays do") {
  std::mt19937_64 engine(20251125);
  const auto point = [&](double reach) {
    return Vec3(uniform(engine, -reach, reach), uniform(engine, -reach, reach),
                uniform(engine, -reach, reach));
  };
  int hits = 0, misses = 0;
  for (int i = 0; i < 3000; ++i) {
    BodyPart part{point(0.5), point(0.5), uniform(engine, 0.03, 0.2), uniform(engine, 0.03, 0.2)};
    // A ball that holds the other has no cone.
    if (glm::length(part.b_W - part.a_W) < std::abs(part.radius_a - part.radius_b) + 0.02) continue;
    const Vec3 from = point(2), to = point(0.5) - from;  // many pass near the middle
    const auto outside = [&](const Vec3& p) { return !is_obstructed(p, p + Vec3(1e-9, 0, 0), {part}); };
    if (!outside(from)) continue;
    const int verdict = bullet_verdict({part}, from, to);
    if (verdict == 0) continue;
    CAPTURE(i);
    CHECK(is_obstructed(from, to, {part}) == (verdict > 0));
    ++(verdict > 0 ? hits : misses);
  }
  CHECK(hits > 150);
  CHECK(misses > 1000);
}

TEST_CASE("the field of view ends where it says, with an ellipse between its four directions") {
  const Eyes eyes;  // at the origin, looking along X
  const FieldOfView field{90, 60, 70};
  const auto seen = [&](double off_deg, double round_deg) {
    const double off = to_rad(off_deg), round = to_rad(round_deg);  // round 0: right, 90: up
    return in_field(eyes, {std::cos(off), std::sin(off) * std::sin(round), std::sin(off) * std::cos(round)},
                    field);
  };
  CHECK(seen(59.9, 90));
  CHECK_FALSE(seen(60.1, 90));
  CHECK(seen(69.9, -90));
  CHECK_FALSE(seen(70.1, -90));
  for (const double side : {0.0, 180.0}) {
    CHECK(seen(89.9, side));
    CHECK_FALSE(seen(90.1, side));
  }
  // At 45 degrees up: 1 / sqrt((cos 45 / 90)^2 + (sin 45 / 60)^2) = 70.602 degrees.
  CHECK(seen(70.5, 45));
  CHECK_FALSE(seen(70.7, 45));
}

TEST_CASE("gazes turn head and eyes the way they say") {
  const HumanBody body = human_body(Athlete{});
  FlightSample still;
  still.com_W = {0, 1, 0};
  const Eyes neutral = eyes_at(body, still, Gaze::neutral, Side::left);
  CHECK(glm::distance(neutral.ahead_W, Vec3(1, 0, 0)) < 1e-12);
  const Eyes down = eyes_at(body, still, Gaze::chin_down, Side::left);
  CHECK(to_deg(std::asin(-down.ahead_W.y)) == doctest::Approx(40));
  for (const Side side : {Side::left, Side::right}) {
    const Eyes over = eyes_at(body, still, Gaze::over_shoulder, side);
    // 60 degrees to the side and 20 down.
    CHECK(to_deg(std::atan2(-over.ahead_W.z, over.ahead_W.x)) == doctest::Approx(sign_of(side) * 60));
    CHECK(to_deg(std::asin(-over.ahead_W.y)) == doctest::Approx(20));
  }
}

TEST_CASE("the spans are those that Bullet's rays find") {
  const HumanBody body = human_body(Athlete{});
  for (const auto& [base, to, rung] : {std::tuple{"back flip", 360.0, 2},
                                       {"back flip", 360.0, 1},
                                       {"front flip", 540.0, 3},
                                       {"gainer", 360.0, 2}}) {
    CAPTURE(base);
    CAPTURE(rung);
    const Ladder ladder = test::ladder(base, to, 180);
    const Flight flight = flight_of(ladder, static_cast<std::size_t>(rung));
    const Vec3 spot = landing_spot_W(body, flight);
    const std::vector<SightSpan> spans = landing_sight(body, flight, Gaze::neutral, Side::left);
    int judged = 0;
    for (int k = 0; k <= 120; ++k) {
      const double time = flight.duration() * k / 120;
      const FlightSample now = flight.at(time);
      const Eyes eyes = eyes_at(body, now, Gaze::neutral, Side::left);
      const std::vector<BodyPart> parts = body_parts(body, now);
      int free = 0, doubtful = 0;
      for (int i = 0; i < 9; ++i) {
        const double angle = to_rad(45.0 * i);
        const Vec3 point = i == 8 ? spot : spot + Vec3(0.4 * std::cos(angle), 0, 0.4 * std::sin(angle));
        if (!in_field(eyes, point, {})) continue;
        const int verdict = bullet_verdict(parts, eyes.point_W, point);
        free += verdict < 0 ? 1 : 0;
        doubtful += verdict == 0 ? 1 : 0;
      }
      // Half of nine points: at least five.
      if (free < 5 && free + doubtful >= 5) continue;
      const bool in_span = std::any_of(spans.begin(), spans.end(), [&](const SightSpan& span) {
        return span.from_s <= time && time <= span.to_s;
      });
      CAPTURE(time);
      CHECK(in_span == (free >= 5));
      ++judged;
    }
    CHECK(judged > 90);
  }
}

TEST_CASE("a right twister sees the mirror image") {
  const HumanBody body = human_body(Athlete{});
  for (const char* base : {"back flip", "gainer", "butterfly"}) {
    for (const Gaze gaze : {Gaze::neutral, Gaze::over_shoulder, Gaze::chin_down}) {
      const auto left = landing_sight(body, flight_of(test::ladder(base, 360, 180), 2), gaze, Side::left);
      const auto right =
          landing_sight(body, flight_of(test::ladder(base, 360, 180, Side::right), 2), gaze, Side::right);
      REQUIRE(left.size() == right.size());
      for (std::size_t i = 0; i < left.size(); ++i) {
        CHECK(left[i].from_s == doctest::Approx(right[i].from_s).epsilon(1e-3));
        CHECK(left[i].to_s == doctest::Approx(right[i].to_s).epsilon(1e-3));
      }
    }
  }
}

TEST_CASE("who sees the floor before landing (common practice)") {
  const HumanBody body = human_body(Athlete{});
  const auto seen_from = [&](const char* base, double to, double step) {
    const Ladder ladder = test::ladder(base, to, step);
    const Flight flight = flight_of(ladder, ladder.rungs.size() - 1);
    const auto spans = landing_sight(body, flight, Gaze::neutral, Side::left);
    const std::optional<double> from = landing_seen_from(spans, flight.duration());
    // In time to do something about it: more than a reaction of 0.2 s before contact, and still then.
    return from && flight.duration() - *from > 0.2 && flight.duration() - spans.back().to_s < 0.1;
  };
  CHECK(seen_from("back flip", 0, 180));
  CHECK(seen_from("back flip", 360, 180));
  CHECK(seen_from("front flip", 180, 180));  // a Barani sees the floor, a front flip does not
  CHECK_FALSE(seen_from("front flip", 0, 180));
  CHECK_FALSE(seen_from("back flip", 180, 180));
  CHECK_FALSE(seen_from("straight jump", 0, 180));
}
