#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "angle_track.hpp"
#include "flight/simulated.hpp"
#include "measure/measures.hpp"

namespace halfturn {
namespace {

constexpr double rate_window = 0.010;  // s to either side; smooths a noisy record
constexpr double standing_com_m =
    1.0;  // height of the centre of mass that a record does not know: an estimate

class RecordedMaker final : public Flight::Maker {
 public:
  RecordedMaker(const Recording& recording, const Alignment& alignment, const FoundFlight& found)
      : duration_(found.landing - found.takeoff) {
    // The samples of the flight and a few on either side, so that both ends are interpolated too.
    const std::size_t last = recording.size() - 1;
    const std::size_t before = sample_before(recording, found.takeoff);
    const std::size_t from = before > 8 ? before - 8 : 0;
    const std::size_t to = std::min(last, sample_before(recording, found.landing) + 9);
    for (std::size_t i = from; i <= to; ++i) {
      knots_.time.push_back(recording.time[i] - found.takeoff);
      knots_.orientation.push_back(rotation_y(alignment.heading_shift) * recording.orientation[i] *
                                   alignment.q_SB);
    }
    track_ = AngleTrack([this](double t) { return orientation_at(knots_, t); }, duration_);
  }
  [[nodiscard]] Quat orientation(double time) const override { return orientation_at(knots_, time); }
  [[nodiscard]] FlightSample sample(double time) const override {
    FlightSample sample;
    sample.time = time;
    sample.q_WB = orientation(time);
    const double a = std::max(knots_.time.front(), time - rate_window);
    const double b = std::min(knots_.time.back(), time + rate_window);
    sample.omega_B = log_rotation(glm::conjugate(orientation(a)) * orientation(b)) / (b - a);
    sample.com_W = Vec3(0, standing_com_m + 0.5 * standard_gravity * time * (duration_ - time), 0);
    sample.angles = track_.at(time);
    return sample;
  }
  [[nodiscard]] const AngleTrack& track() const { return track_; }

 private:
  double duration_;
  Recording knots_;
  AngleTrack track_;
};

}  // namespace

Flight recorded_flight(const Recording& recording, const Alignment& alignment, const FoundFlight& found) {
  auto maker = std::make_shared<RecordedMaker>(recording, alignment, found);
  const double duration = found.landing - found.takeoff;
  const Vec3 axis = maker->track().flip_axis_W();
  return Flight(std::move(maker), Provenance::recorded, duration,
                {{EventKind::takeoff, 0}, {EventKind::landing, duration}}, axis, std::nullopt);
}

}  // namespace halfturn
