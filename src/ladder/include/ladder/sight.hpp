#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "body/human.hpp"
#include "flight/flight.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// Where the athlete looks: as the head is held, over the shoulder into the twist, or with the chin down.
enum class Gaze : unsigned char { neutral, over_shoulder, chin_down };
inline constexpr int gaze_count = 3;
/// The next of them, the first after the last.
[[nodiscard]] Gaze next_gaze(Gaze gaze);
/// "neutral", "over the shoulder", "chin down".
[[nodiscard]] std::string_view gaze_word(Gaze gaze);

/// Limits of what both eyes take in around the line of sight, degrees; between the four directions the limit
/// is an ellipse. Defaults: rounded down from the normal field (Spector 1990, Clinical Methods, chapter 116).
struct FieldOfView {
  double sideways_deg = 90, up_deg = 60, down_deg = 70;
};

/// Where the eyes are and which way they look: m and unit vectors, world.
struct Eyes {
  Vec3 point_W{};
  Vec3 ahead_W{1, 0, 0}, up_W{0, 1, 0};
};
/// Eyes of the athlete at a moment; `side` is the way the twist goes.
[[nodiscard]] Eyes eyes_at(const HumanBody& body, const FlightSample& now, Gaze gaze, Side side);
[[nodiscard]] bool in_field(const Eyes& eyes, const Vec3& point_W, const FieldOfView& field);

/// A ball swept from a to b while its radius changes evenly, m, world.
struct BodyPart {
  Vec3 a_W{}, b_W{};
  double radius_a = 0, radius_b = 0;
};
/// What of the own body can stand in the way: everything but the head.
[[nodiscard]] std::vector<BodyPart> body_parts(const HumanBody& body, const FlightSample& now);
/// Whether any part meets the straight line between two points.
[[nodiscard]] bool is_obstructed(const Vec3& from_W, const Vec3& to_W, const std::vector<BodyPart>& parts);

/// The middle between the feet on landing, on the floor, in the flight's coordinates, m.
[[nodiscard]] Vec3 landing_spot_W(const HumanBody& body, const Flight& flight);

struct SightSpan {
  double from_s = 0, to_s = 0;
  friend bool operator==(const SightSpan&, const SightSpan&) = default;
};
/// When at least half of the landing spot is seen, over the whole flight, ascending; ends found to 0.1 ms.
/// Spans or gaps shorter than a frame at 240 a second may be missed.
[[nodiscard]] std::vector<SightSpan> landing_sight(const HumanBody& body, const Flight& flight, Gaze gaze,
                                                   Side side, const FieldOfView& field = {});

/// When the landing comes into sight for good: the start of the last span that begins before contact; empty
/// when the spot is not seen in the second half of the flight.
[[nodiscard]] std::optional<double> landing_seen_from(const std::vector<SightSpan>& spans, double duration);

}  // namespace halfturn
