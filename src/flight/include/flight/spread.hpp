#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "flight/solve.hpp"

namespace halfturn {

/// What varies from takeoff to takeoff.
enum class TakeoffFactor : unsigned char { air_time, momentum, direction_up, direction_round, timing };
inline constexpr std::size_t takeoff_factor_count = 5;
inline constexpr std::array<TakeoffFactor, takeoff_factor_count> takeoff_factors{
    TakeoffFactor::air_time, TakeoffFactor::momentum, TakeoffFactor::direction_up,
    TakeoffFactor::direction_round, TakeoffFactor::timing};
[[nodiscard]] std::string_view takeoff_factor_word(TakeoffFactor factor);

/// How the takeoffs of an athlete vary: standard deviations of independent normal errors. The defaults are
/// this project's choice for a skill that is trained, until a logbook tells better.
struct TakeoffSpread {
  double air_time = 0.02;  ///< s
  double momentum = 0.03;  ///< share of |H|
  /// Of H, rad, towards the long axis and round the vertical each. A straight flip is unstable: a whole
  /// degree left alone turns it by tens of degrees.
  double direction = 0.0052359878;
  double timing = 0.015;  ///< s, of all that the arms and the body do
  /// Share of an error of air time, momentum or direction that is taken out in the air, by opening sooner or
  /// later as experts do who see the floor (Bardy and Laurent 1998), and with the arms; how much is this
  /// project's choice.
  double correction = 0.5;
};

/// What a landing must keep to count as controlled, rad.
struct LandingTolerance {
  double heading = 0.5235987756;  ///< error at first contact, either way
  double upright = 0.2617993878;  ///< long axis from vertical, beyond the planned angle
};

/// Landings counted; adding counts of chunks in their order gives the same bits whoever flew them.
struct LandingCounts {
  static constexpr int heading_bin_deg = 5, upright_bin_deg = 5;
  std::int64_t flights = 0, controlled = 0, heading_met = 0, upright_met = 0;
  std::int64_t without_heading = 0;                            ///< within a degree of upside down
  std::array<std::int64_t, 360 / heading_bin_deg> headings{};  ///< of the error, from -180 on, + to the left
  std::array<std::int64_t, 180 / upright_bin_deg> uprightness{};  ///< long axis from vertical, from 0 on
  double heading_sum = 0, heading_squares = 0;                    ///< rad
  double angle_sum = 0, angle_squares = 0;                        ///< rad
  std::array<double, takeoff_factor_count> heading_products{}, angle_products{};  ///< with the factors, rad
  LandingCounts& operator+=(const LandingCounts& other);

  [[nodiscard]] double heading_mean_deg() const;
  [[nodiscard]] double heading_sd_deg() const;
  [[nodiscard]] double angle_mean_deg() const;
  [[nodiscard]] double angle_sd_deg() const;
  /// Change of heading and of the angle from vertical by one standard deviation of a factor, by linear
  /// regression, degrees.
  [[nodiscard]] double heading_by_deg(TakeoffFactor factor) const;
  [[nodiscard]] double angle_by_deg(TakeoffFactor factor) const;
};

/// Many takeoffs of one solved flight, each with its own errors. Immutable; safe from any thread.
class LandingSpread {
 public:
  /// Empty when the request has no flight that lands as planned.
  [[nodiscard]] static std::optional<LandingSpread> make(const SolveRequest& request,
                                                         const TakeoffSpread& spread);
  /// The same flight, found once, with takeoffs that vary otherwise: bit by bit what make() gives for them.
  [[nodiscard]] LandingSpread with(const TakeoffSpread& spread) const;
  static constexpr std::size_t chunk_size = 8192;
  /// Flies takeoffs `chunk * chunk_size` and on, up to `flights` in all. A takeoff's errors depend on the
  /// seed and its number alone.
  [[nodiscard]] LandingCounts fly_chunk(std::uint64_t seed, std::size_t chunk, std::size_t flights,
                                        const LandingTolerance& tolerance) const;

  struct Inside;

 private:
  std::shared_ptr<const Inside> inside_;
};

}  // namespace halfturn
