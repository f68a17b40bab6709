#include <algorithm>

#include "body/human.hpp"
#include "flight/simulated.hpp"
#include "measure/measures.hpp"

namespace halfturn {
namespace {

/// The recorded turn; everything a sensor on the trunk does not know is the other flight's.
class LimbsMaker final : public Flight::Maker {
 public:
  LimbsMaker(Flight recorded, Flight limbs) : recorded_(std::move(recorded)), limbs_(std::move(limbs)) {
    const HumanBody body = human_body(Athlete{});
    const auto standing = [&](double share) {
      return com_above_lowest_point(body, pose_at(share).pose,
                                    recorded_.orientation(share * recorded_.duration()));
    };
    takeoff_com_m_ = standing(0);
    landing_com_m_ = standing(1);
  }
  [[nodiscard]] Quat orientation(double time) const override { return recorded_.orientation(time); }
  [[nodiscard]] FlightSample sample(double time) const override {
    const double duration = recorded_.duration(), share = time / duration;
    FlightSample sample = recorded_.at(time);
    const FlightSample limbs = pose_at(share);
    sample.pose = limbs.pose;
    sample.com_W = limbs.com_W;
    sample.com_W.y = takeoff_com_m_ + share * (landing_com_m_ - takeoff_com_m_) +
                     0.5 * standard_gravity * time * (duration - time);
    return sample;
  }

 private:
  [[nodiscard]] FlightSample pose_at(double share) const { return limbs_.at(share * limbs_.duration()); }

  Flight recorded_, limbs_;
  double takeoff_com_m_ = 0, landing_com_m_ = 0;
};

}  // namespace

Flight with_limbs_of(const Flight& limbs, const Flight& recorded) {
  return Flight(std::make_shared<LimbsMaker>(recorded, limbs), recorded.provenance(), recorded.duration(),
                recorded.events(), recorded.flip_axis_W(), std::nullopt);
}

}  // namespace halfturn
