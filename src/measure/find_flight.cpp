#include "measure/find_flight.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/matrix.hpp>

#include "flight/simulated.hpp"

namespace halfturn {
namespace {

constexpr double window = 0.10;                         // s, looked at as one
constexpr double shortest_flight = 0.15;                // s; a running step is shorter
constexpr double longest_arm = 0.6;                     // m from the centre of mass to the sensor
constexpr double free_force = 0.30 * standard_gravity;  // m/s2 left over that still counts as free fall
constexpr double least_ground_force = 0.10 * standard_gravity;  // m/s2
constexpr double longest_ramp = 0.008;                          // s from no force to one that is felt
constexpr double ground_force = 0.45 * standard_gravity;        // m/s2 left over that counts as ground

/// What an accelerometer at r from the centre of mass reads in free flight is turning_matrix * r:
/// alpha x r + omega x (omega x r), all in sensor axes.
Mat3 turning_matrix(const Vec3& omega, const Vec3& alpha) {
  // Columns of [alpha]x + omega omega^T - |omega|^2 I.
  Mat3 m = glm::outerProduct(omega, omega);
  const double square = glm::dot(omega, omega);
  for (int i = 0; i < 3; ++i) m[i][i] -= square;
  m[0] += Vec3(0, alpha.z, -alpha.y);
  m[1] += Vec3(-alpha.z, 0, alpha.x);
  m[2] += Vec3(alpha.y, -alpha.x, 0);
  return m;
}

/// Normal equations of force = turning_matrix * r over some samples.
struct Normal {
  Mat3 square{0};
  Vec3 product{0};
  double total = 0, count = 0;

  void add(const Mat3& m, const Vec3& force, double sign) {
    square += sign * (glm::transpose(m) * m);
    product += sign * (glm::transpose(m) * force);
    total += sign * glm::dot(force, force);
    count += sign;
  }
  /// Where the sensor sits; drawn to the centre of mass where the turning tells little.
  [[nodiscard]] Vec3 arm() const {
    // A sensor is somewhere within 0.3 m; the reading is noisy by about 1 m/s2.
    constexpr double doubt = 1.0 / (0.3 * 0.3);
    Mat3 m = square;
    for (int i = 0; i < 3; ++i) m[i][i] += doubt;
    return glm::inverse(m) * product;
  }
  /// No sensor within reach leaves over less than this, m/s2.
  [[nodiscard]] double least_left_over() const {
    const double turning = square[0][0] + square[1][1] + square[2][2];
    const double n = std::max(count, 1.0);
    return std::sqrt(std::max(0.0, total) / n) - longest_arm * std::sqrt(std::max(0.0, turning) / n);
  }
  /// Root mean square of what is left over, m/s2.
  [[nodiscard]] double left_over(const Vec3& r) const {
    const double sum = total - 2 * glm::dot(r, product) + glm::dot(r, square * r);
    return std::sqrt(std::max(0.0, sum / std::max(count, 1.0)));
  }
};

/// The turning of a record near a sample, from polynomials through samples a few ms apart: long enough to
/// average noise away, and of fourth order, since a twisting body carries the axis of its somersault round
/// within a tenth of a second.
class Turning {
 public:
  enum class Side { both, later, earlier };

  Turning(const Recording& recording, double spacing)
      : recording_(recording),
        stride_(std::max(1, static_cast<int>(std::lround(spacing / std::max(recording.step, 1e-6))))) {}

  /// Whether the sensor feels its weight and hardly turns, as on somebody who stands or walks: no free fall,
  /// whatever arm it is on, and told at a fraction of the price of a matrix.
  [[nodiscard]] bool stands(std::size_t i) const {
    constexpr double slow = 1.0;  // rad/s
    const double felt = static_cast<double>(glm::length(recording_.force[i]));
    if (std::abs(felt - standard_gravity) > free_force) return false;
    if (!recording_.rate.empty()) return static_cast<double>(glm::length(recording_.rate[i])) < slow;
    const auto last = static_cast<std::ptrdiff_t>(recording_.size()) - 1;
    for (const int way : {-2, 2}) {
      const auto k = static_cast<std::size_t>(
          std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(i) + way * stride_, 0, last));
      const double half = 0.5 * slow * std::abs(recording_.time[k] - recording_.time[i]);
      const double cosine = std::abs(glm::dot(recording_.orientation[i], recording_.orientation[k]));
      if (1 - cosine > 0.5 * half * half) return false;
    }
    return true;
  }

  /// `later` and `earlier` look to one side only, as beside a moment at which the motion changes abruptly.
  [[nodiscard]] Mat3 matrix(std::size_t i, Side side) const {
    constexpr std::array<std::array<int, 4>, 3> steps{{{-2, -1, 1, 2}, {1, 2, 3, 0}, {-1, -2, -3, 0}}};
    const auto& wanted = steps[static_cast<std::size_t>(side)];
    std::array<double, 4> time{};
    std::array<std::size_t, 4> node{};
    std::size_t count = 0;
    const auto last = static_cast<std::ptrdiff_t>(recording_.size()) - 1;
    for (const int step : wanted) {
      const std::ptrdiff_t k = static_cast<std::ptrdiff_t>(i) + step * stride_;
      if (step == 0 || k < 0 || k > last) continue;
      node[count] = static_cast<std::size_t>(k);
      time[count++] = recording_.time[static_cast<std::size_t>(k)] - recording_.time[i];
    }
    const bool by_rate = !recording_.rate.empty();
    Vec3 omega(0), alpha(0);
    for (std::size_t j = 0; j < count; ++j) {
      // Derivatives at 0 of the Lagrange polynomial that is 1 at node j and 0 at 0 and the other nodes.
      double below = time[j], product = 1, sum = 0;
      for (std::size_t m = 0; m < count; ++m) {
        if (m == j) continue;
        below *= time[j] - time[m];
        sum = -time[m] * sum + product;
        product *= -time[m];
      }
      const double first = product / below, second = 2 * sum / below;
      if (by_rate) {
        alpha += first * Vec3(recording_.rate[node[j]] - recording_.rate[i]);
      } else {
        const Vec3 turn =
            log_rotation(glm::conjugate(recording_.orientation[i]) * recording_.orientation[node[j]]);
        omega += first * turn;
        alpha += second * turn;
      }
    }
    if (by_rate) omega = Vec3(recording_.rate[i]);
    return turning_matrix(omega, alpha);
  }

 private:
  const Recording& recording_;
  int stride_;
};

struct Core {
  std::size_t first, last;
};

/// Adds the samples from `first` to `last`, to the core before where they meet it.
void add_core(std::vector<Core>& cores, std::size_t first, std::size_t last) {
  if (!cores.empty() && first <= cores.back().last) {
    cores.back().last = last;
  } else {
    cores.push_back({first, last});
  }
}

/// Grows a core to both sides until the ground is felt, and finds the moments between two samples.
FoundFlight grow(const Recording& recording, const Turning& turning, Core core) {
  const std::vector<double>& time = recording.time;
  // The middle of the core is surely in the air.
  const std::size_t trim = (core.last - core.first) / 5;
  Normal normal;
  for (std::size_t i = core.first + trim; i + trim <= core.last; ++i) {
    normal.add(turning.matrix(i, Turning::Side::both), Vec3(recording.force[i]), 1);
  }
  const Vec3 arm = normal.arm();
  const double limit = std::clamp(4 * normal.left_over(arm), least_ground_force, ground_force);
  const auto ground = [&](std::size_t i, Turning::Side side) {
    return glm::length(Vec3(recording.force[i]) - turning.matrix(i, side) * arm);
  };
  const auto size = static_cast<std::ptrdiff_t>(time.size());
  // Walks from the middle outwards, looking back only at what is already known to be flight.
  const auto walk = [&](std::ptrdiff_t way, double& moment, double& doubt) {
    const auto side = way < 0 ? Turning::Side::later : Turning::Side::earlier;
    auto at = static_cast<std::ptrdiff_t>((core.first + core.last) / 2);
    const auto inside = [&](std::ptrdiff_t k) { return k >= 0 && k < size; };
    // Both sides together follow a fast twist, one side alone sees up to a corner of the motion.
    const auto felt = [&](std::ptrdiff_t k) {
      const auto i = static_cast<std::size_t>(k);
      return std::min(ground(i, Turning::Side::both), ground(i, side));
    };
    // One sample of noise is no ground: two in a row are, or one that is far out.
    while (inside(at + way)) {
      const double next = felt(at + way);
      if (next > limit && (next > 3 * limit || !inside(at + 2 * way) || felt(at + 2 * way) > limit)) break;
      at += way;
    }
    moment = time[static_cast<std::size_t>(at)];
    doubt = 0;
    if (!inside(at + way)) return;
    const auto out = static_cast<std::size_t>(at + way);
    const double low = felt(at), high = ground(out, side);
    const double step = time[out] - moment;
    const double crossing = moment + step * std::clamp((limit - low) / std::max(high - low, 1e-9), 0.0, 1.0);
    // The floor's force ends and begins about linearly: from where it is felt back to where it is nothing.
    double ramp = 0;
    if (inside(at + 2 * way)) {
      const auto beyond = static_cast<std::size_t>(at + 2 * way);
      const double slope = (ground(beyond, side) - limit) / std::abs(time[beyond] - crossing);
      if (slope > 0) ramp = std::min(limit / slope, longest_ramp);
    }
    moment = crossing - static_cast<double>(way) * ramp;
    doubt = std::hypot(std::abs(step) / std::sqrt(12.0), 0.5 * ramp);
  };
  FoundFlight flight;
  walk(-1, flight.takeoff, flight.takeoff_uncertainty);
  walk(1, flight.landing, flight.landing_uncertainty);
  return flight;
}

}  // namespace

namespace {

/// Whether a stretch that looks like ground is one in which the gyroscope was at its limit, so that its
/// turning is only guessed at.
bool clipped_between(const Recording& recording, double from, double to) {
  if (!recording.gyroscope) return false;
  double clipped = 0;
  for (const ClippedSpan& clip : recording.gyroscope->clips) {
    clipped += std::max(0.0, std::min(clip.span.to, to) - std::max(clip.span.from, from));
  }
  return clipped > 0.5 * (to - from);
}

std::vector<FoundFlight> flights_at_spacing(const Recording& recording, double spacing) {
  const std::vector<double>& time = recording.time;
  std::vector<Core> cores;
  const Turning turning(recording, spacing);
  Normal normal;
  std::vector<Mat3> ring;  // turning matrices of the window, reused in a circle
  std::size_t first = 0, stand_begin = 0, stand_end = 0;
  const std::size_t capacity = 4096;  // samples in a window, at most
  ring.resize(std::min(capacity, recording.size()));
  for (std::size_t i = 0; i < recording.size(); ++i) {
    if (i >= stand_end) {
      stand_begin = stand_end = i;
      while (stand_end < recording.size() && turning.stands(stand_end)) ++stand_end;
      stand_end = std::max(stand_end, i + 1);
    }
    // Windows that lie within a stance as a whole are not looked at.
    if (time[i] - time[stand_begin] > 1.2 * window && time[stand_end - 1] - time[i] > 1.2 * window) {
      normal = Normal{};
      first = i + 1;
      continue;
    }
    if (i - first >= ring.size()) {
      normal.add(ring[first % ring.size()], Vec3(recording.force[first]), -1);
      ++first;
    }
    ring[i % ring.size()] = turning.matrix(i, Turning::Side::both);
    normal.add(ring[i % ring.size()], Vec3(recording.force[i]), 1);
    while (first < i && time[i] - time[first] > window) {
      normal.add(ring[first % ring.size()], Vec3(recording.force[first]), -1);
      ++first;
    }
    if (time[i] - time[first] < 0.6 * window || normal.count < 4) continue;
    // Rounding of the running sums grows without bound: begin anew now and then.
    if (i % 65536 == 0) {
      normal = Normal{};
      for (std::size_t k = first; k <= i; ++k) {
        normal.add(ring[k % ring.size()], Vec3(recording.force[k]), 1);
      }
    }
    // Further from free fall than any arm explains: saves the solving.
    if (normal.least_left_over() > free_force) continue;
    const Vec3 arm = normal.arm();
    if (glm::length(arm) > longest_arm || normal.left_over(arm) > free_force) continue;
    add_core(cores, first, i);
  }
  std::vector<FoundFlight> flights;
  for (const Core& core : cores) {
    const FoundFlight flight = grow(recording, turning, core);
    if (!flights.empty() && flight.takeoff < flights.back().landing) {
      // Two cores of one flight grow into the same.
      if (flight.landing - flight.takeoff > flights.back().landing - flights.back().takeoff) {
        flights.back() = flight;
      }
    } else if (!flights.empty() && clipped_between(recording, flights.back().landing, flight.takeoff)) {
      flights.back().landing = flight.landing;
      flights.back().landing_uncertainty = flight.landing_uncertainty;
    } else {
      flights.push_back(flight);
    }
  }
  std::erase_if(flights, [](const FoundFlight& f) { return f.landing - f.takeoff < shortest_flight; });
  return flights;
}

}  // namespace

std::vector<FoundFlight> flights_by_force(const Recording& recording) {
  // A noisy orientation hides the flight at the first spacing.
  for (const double spacing : {0.009, 0.018, 0.036}) {
    std::vector<FoundFlight> flights = flights_at_spacing(recording, spacing);
    if (!flights.empty()) return flights;
  }
  return {};
}

namespace {

constexpr double height_window = 0.12;  // s
constexpr double fall_share = 0.25;     // of gravity by which a curvature may be off

/// Least-squares parabola over samples [first, last] about `origin`; returns height, speed, curvature / 2.
Vec3 parabola(const std::vector<double>& time, const std::vector<float>& height, std::size_t first,
              std::size_t last, double origin) {
  Mat3 square(0);
  Vec3 product(0);
  for (std::size_t i = first; i <= last; ++i) {
    const double t = time[i] - origin;
    const Vec3 row(1, t, t * t);
    square += glm::outerProduct(row, row);
    product += static_cast<double>(height[i]) * row;
  }
  return glm::inverse(square) * product;
}

/// The height of free fall through samples [first, last]: height and speed at `origin`.
struct Fall {
  double origin, height, speed;
  [[nodiscard]] double at(double time) const {
    const double t = time - origin;
    return height + speed * t - 0.5 * standard_gravity * t * t;
  }
};

Fall fit_fall(const std::vector<double>& time, const std::vector<float>& height, std::size_t first,
              std::size_t last) {
  const double origin = 0.5 * (time[first] + time[last]);
  double n = 0, st = 0, stt = 0, sy = 0, sty = 0;
  for (std::size_t i = first; i <= last; ++i) {
    const double t = time[i] - origin;
    const double y = static_cast<double>(height[i]) + 0.5 * standard_gravity * t * t;
    n += 1;
    st += t;
    stt += t * t;
    sy += y;
    sty += t * y;
  }
  const double speed = (n * sty - st * sy) / (n * stt - st * st);
  return {origin, (sy - speed * st) / n, speed};
}

/// Where the height leaves the fall: beyond it the deviation grows like the square of the time, so its root
/// is a line whose zero is the moment. Empty deviation: the last sample of the fall.
double leaving(const std::vector<double>& time, const std::vector<float>& height, const Fall& fall,
               std::size_t inside, std::ptrdiff_t way) {
  double best = time[inside];
  std::vector<std::pair<double, double>> roots;
  for (std::ptrdiff_t i = static_cast<std::ptrdiff_t>(inside) + way;
       i >= 0 && i < static_cast<std::ptrdiff_t>(time.size()) && roots.size() < 3; i += way) {
    const auto k = static_cast<std::size_t>(i);
    const double off = std::abs(static_cast<double>(height[k]) - fall.at(time[k]));
    if (off > 0.002) roots.emplace_back(time[k], std::sqrt(off));
    if (off > 0.06) break;
  }
  if (roots.size() >= 2) {
    const auto& [t0, r0] = roots.front();
    const auto& [t1, r1] = roots.back();
    if (r1 > r0) best = t0 - r0 * (t1 - t0) / (r1 - r0);
    // Never further in than a step before the first sample that is off, nor beyond it.
    const double lowest = std::min(time[inside], t0), highest = std::max(time[inside], t0);
    best = std::clamp(best, lowest - 0.5 * (highest - lowest), highest);
  }
  return best;
}

}  // namespace

std::vector<FoundFlight> flights_by_height(const std::vector<double>& time,
                                           const std::vector<float>& height) {
  std::vector<Core> cores;
  std::size_t first = 0;
  for (std::size_t i = 0; i < time.size(); ++i) {
    while (time[i] - time[first] > height_window) ++first;
    if (time[i] - time[first] < 0.6 * height_window || i - first < 4) continue;
    const double curvature = 2 * parabola(time, height, first, i, 0.5 * (time[first] + time[i])).z;
    if (std::abs(curvature + standard_gravity) > fall_share * standard_gravity) continue;
    add_core(cores, first, i);
  }
  std::vector<FoundFlight> flights;
  for (const Core& core : cores) {
    if (time[core.last] - time[core.first] < shortest_flight) continue;
    const std::size_t trim = (core.last - core.first) / 5;
    const Fall fall = fit_fall(time, height, core.first + trim, core.last - trim);
    std::size_t from = (core.first + core.last) / 2, to = from;
    const auto falls = [&](std::size_t i) {
      return std::abs(static_cast<double>(height[i]) - fall.at(time[i])) <= 0.002;
    };
    while (from > 0 && falls(from - 1)) --from;
    while (to + 1 < time.size() && falls(to + 1)) ++to;
    FoundFlight flight{leaving(time, height, fall, from, -1), leaving(time, height, fall, to, 1), 0.01, 0.01};
    const double step = to > from ? (time[to] - time[from]) / static_cast<double>(to - from) : 0.01;
    flight.takeoff_uncertainty = flight.landing_uncertainty = std::max(0.005, step / 2);
    if (flight.landing - flight.takeoff >= shortest_flight) flights.push_back(flight);
  }
  return flights;
}

}  // namespace halfturn
