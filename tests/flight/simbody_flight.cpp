#include "simbody_flight.hpp"

#include <Simbody.h>

#include <memory>

namespace simbody {
namespace {

/// Value, rate and acceleration of a track at a time: minimum-jerk blends (Flash and Hogan 1985), written
/// here once more so that nothing is shared with the code under test.
std::array<double, 3> track_at(const Track& track, double time) {
  std::array<double, 3> at{track.start, 0, 0};
  for (const Blend& blend : track.blends) {
    const double length = blend.end - blend.start;
    const double s = (time - blend.start) / length;
    if (s >= 1) at[0] += blend.by;
    if (s <= 0 || s >= 1) continue;
    at[0] += blend.by * s * s * s * (10 - 15 * s + 6 * s * s);
    at[1] += blend.by * 30 * s * s * (1 - 2 * s + s * s) / length;
    at[2] += blend.by * (60 * s - 180 * s * s + 120 * s * s * s) / (length * length);
  }
  return at;
}

class TrackMotion final : public SimTK::Motion::Custom::Implementation {
 public:
  explicit TrackMotion(const Track& track) : track_(track) {}
  Implementation* clone() const override { return new TrackMotion(*this); }
  SimTK::Motion::Level getLevel(const SimTK::State&) const override { return SimTK::Motion::Position; }
  void calcPrescribedPosition(const SimTK::State& s, int, SimTK::Real* q) const override {
    q[0] = track_at(track_, s.getTime())[0];
  }
  void calcPrescribedPositionDot(const SimTK::State& s, int, SimTK::Real* q) const override {
    q[0] = track_at(track_, s.getTime())[1];
  }
  void calcPrescribedPositionDotDot(const SimTK::State& s, int, SimTK::Real* q) const override {
    q[0] = track_at(track_, s.getTime())[2];
  }

 private:
  Track track_;
};

SimTK::Vec3 vector(const std::array<double, 3>& v) {
  return {v[0], v[1], v[2]};
}

SimTK::MassProperties mass_of(const Part& part) {
  const SimTK::Inertia about_com(part.inertia[0], part.inertia[1], part.inertia[2], part.inertia[3],
                                 part.inertia[4], part.inertia[5]);
  const SimTK::Vec3 com = vector(part.com);
  return {part.mass, com, about_com.shiftFromMassCenter(-com, part.mass)};
}

}  // namespace

std::vector<Sample> fly(const std::vector<Part>& parts, const std::vector<Track>& tracks,
                        const std::array<double, 4>& orientation, const std::array<double, 3>& rate,
                        const std::vector<double>& times, double accuracy) {
  using namespace SimTK;
  MultibodySystem system;
  SimbodyMatterSubsystem matter(system);
  std::vector<MobilizedBodyIndex> bodies;
  // A pin turns about the z axis of its frames: frames whose z is the body's x, y or z.
  const Rotation frames[3] = {Rotation(UnitVec3(1, 0, 0), ZAxis, Vec3(0, 1, 0), YAxis),
                              Rotation(UnitVec3(0, 1, 0), ZAxis, Vec3(0, 0, 1), XAxis), Rotation()};
  std::size_t coordinate = 0;
  for (const Part& part : parts) {
    if (part.parent < 0) {
      bodies.push_back(
          MobilizedBody::Free(matter.Ground(), Transform(), Body::Rigid(mass_of(part)), Transform())
              .getMobilizedBodyIndex());
      continue;
    }
    // One pin for each joint angle, with weightless bodies between them.
    MobilizedBodyIndex at = bodies[static_cast<std::size_t>(part.parent)];
    Vec3 place = vector(part.joint);
    for (std::size_t a = 0; a < part.axes.size(); ++a) {
      const Rotation& frame = frames[part.axes[a] - 'x'];
      const Body::Rigid body = a + 1 == part.axes.size()
                                   ? Body::Rigid(mass_of(part))
                                   : Body::Rigid(SimTK::MassProperties(0, Vec3(0), Inertia(0)));
      MobilizedBody::Pin pin(matter.updMobilizedBody(at), Transform(frame, place), body,
                             Transform(frame, Vec3(0)));
      Motion::Custom(pin, new TrackMotion(tracks[coordinate++]));
      at = pin.getMobilizedBodyIndex();
      place = Vec3(0);
    }
    bodies.push_back(at);
  }
  State state = system.realizeTopology();
  system.realizeModel(state);
  const MobilizedBody& root = matter.getMobilizedBody(bodies[0]);
  root.setQToFitRotation(
      state, Rotation(Quaternion(orientation[0], orientation[1], orientation[2], orientation[3])));
  root.setUToFitAngularVelocity(state, vector(rate));
  RungeKuttaMersonIntegrator integrator(system);
  integrator.setAccuracy(accuracy);
  TimeStepper stepper(system, integrator);
  stepper.initialize(state);
  std::vector<Sample> samples;
  for (const double time : times) {
    stepper.stepTo(time);
    const State& now = integrator.getState();
    system.realize(now, Stage::Acceleration);
    const Quaternion q = root.getBodyRotation(now).convertRotationToQuaternion();
    const Vec3 momentum = matter.calcSystemCentralMomentum(now)[0];
    samples.push_back({{q[0], q[1], q[2], q[3]},
                       {momentum[0], momentum[1], momentum[2]},
                       matter.calcKineticEnergy(now),
                       matter.calcMotionPower(now)});
  }
  return samples;
}

}  // namespace simbody
