#include "scene/chain_scene.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <glm/geometric.hpp>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double joint_rise_s = 0.3, settle_s = 0.4;  // as before and after any flight
constexpr double beyond_path_m = 2.4;                 // of the room's walls, past the ends of the path
constexpr double wall_height_m = 4.2, name_m = 1.5, name_size_m = 0.6, sign_half_m = 0.55;
constexpr double foot_half_m = 0.16, foot_width_m = 0.06, foot_apart_m = 0.13;
constexpr double flight_m = 2.7;  // height that a flight may need
constexpr double stride_m = 0.7, swing_deg = 24;

class ChainPicture {
 public:
  ChainPicture(const ChainRun& run, const std::vector<std::optional<Flight>>& flights, double time_s,
               const Walls& walls, const View& view)
      : run_(run),
        flights_(flights),
        time_(std::clamp(time_s, 0.0, run.duration() + settle_s)),
        walls_(walls),
        view_(view),
        palette_(palette_of(view.theme)),
        body_(human_body(Athlete{})) {
    low_ = high_ = Vec3(0);
    for (const ChainStop& stop : run.stops) {
      const Vec3 end(stop.end_x, 0, stop.end_z);
      low_ = glm::min(low_, end);
      high_ = glm::max(high_, end);
    }
    middle_ = 0.5 * (low_ + high_);
    half_ = {0.5 * (high_.x - low_.x) + beyond_path_m, 0, 0.5 * (high_.z - low_.z) + beyond_path_m};
    place_athlete();
    scene_.projection = projection();
    projector_.emplace(scene_.projection);
  }

  Scene compose() {
    scene_.ground = palette_.air;
    room();
    path();
    for (std::size_t i = 0; i <= run_.stops.size(); ++i) joint(i);
    scene_.still_items = eyes() ? 0 : scene_.items.size();
    beam();
    FigureStyle style;
    style.scale_px = view_.scale;
    style.head = !eyes();
    Figure figure = make_figure(body_, placed_, palette_, style);
    scene_.items.emplace_back(
        Shadow{footprint(figure), {{0.16, 0.05}, {0.09, 0.05}, {0.03, 0.06}}, palette_.shadow});
    scene_.items.emplace_back(std::move(figure));
    names();
    return std::move(scene_);
  }

 private:
  [[nodiscard]] bool eyes() const { return view_.camera == CameraKind::eyes; }
  [[nodiscard]] bool above() const { return view_.camera == CameraKind::above; }
  [[nodiscard]] Stroke stroke(Color color, double width, double dash = 0) const {
    const double k = view_.scale * palette_.line_factor;
    return {color, width * k, dash * k, dash * k};
  }

  /// Where the athlete is: in the air as the flight has it, else on the feet along the path.
  void place_athlete() {
    const ChainMoment now = chain_at(run_, time_);
    const ChainStop& stop = run_.stops[now.stop];
    const double since = time_ - stop.start_s, left = stop.duration_s - since;
    heading_deg_ = now.heading_deg;
    side_ = stop.rung ? stop.rung->side : Side::left;
    const std::size_t next = now.stop + 1;
    if (flights_[now.stop] && stop.rung) {
      take(moment_at(body_, *stop.rung, *flights_[now.stop], since), now);
    } else if (next < run_.stops.size() && flights_[next] &&
               left < std::min(joint_rise_s, 0.5 * stop.duration_s)) {
      take(moment_at(body_, *run_.stops[next].rung, *flights_[next], -left), now);
    } else if (now.stop > 0 && flights_[now.stop - 1] && since < std::min(settle_s, 0.5 * stop.duration_s)) {
      const Flight& before = *flights_[now.stop - 1];
      take(moment_at(body_, *run_.stops[now.stop - 1].rung, before, before.duration() + since), now);
    } else {
      walk(stop, since, now);
    }
  }

  void take(const Moment& moment, const ChainMoment& now) {
    placed_ = moment.body;
    sample_ = moment.sample;
    const Vec3 shift(now.x - sample_.com_W.x, 0, now.z - sample_.com_W.z);
    placed_.origin_W += shift;
    sample_.com_W += shift;
  }

  void walk(const ChainStop& stop, double since, const ChainMoment& now) {
    // The turn is made between getting up from the one flight and down into the next.
    const double from =
        now.stop > 0 && flights_[now.stop - 1] ? std::min(settle_s, 0.5 * stop.duration_s) : 0;
    const bool flies_next = now.stop + 1 < run_.stops.size() && flights_[now.stop + 1];
    const double to = stop.duration_s - (flies_next ? std::min(joint_rise_s, 0.5 * stop.duration_s) : 0);
    const double share = to > from ? std::clamp((since - from) / (to - from), 0.0, 1.0) : 1;
    heading_deg_ = stop.start_heading_deg + minimum_jerk(share) * stop.turn_deg;
    Pose pose = standing_pose();
    const double length = std::hypot(stop.end_x - stop.start_x, stop.end_z - stop.start_z);
    const double swing = to_rad(swing_deg) *
                         std::sin(pi * share * std::round(std::max(1.0, length / stride_m))) *
                         (length > 0.3 && time_ <= run_.duration() ? 1 : 0);
    pose[Segment::thigh_left].z += swing;
    pose[Segment::thigh_right].z -= swing;
    pose[Segment::upper_arm_left].z -= swing;
    pose[Segment::upper_arm_right].z += swing;
    const Quat q = rotation_y(to_rad(heading_deg_));
    placed_ = place_on_floor(body_, pose, q, now.x, now.z);
    sample_.q_WB = q;
    sample_.pose = pose;
    sample_.com_W = placed_.origin_W + q * centre_of_mass(body_, placed_.places);
  }

  [[nodiscard]] Projection projection() const {
    const double start = run_.stops.front().start_heading_deg;
    Camera camera;
    camera.target = middle_ + Vec3(0, 1.0, 0);
    const double free_w =
        std::max(0.2 * view_.width_px, view_.width_px - view_.inset_left_px - view_.inset_right_px);
    const double free_h =
        std::max(0.2 * view_.height_px, view_.height_px - view_.inset_top_px - view_.inset_bottom_px);
    const Vec3 ahead = direction_W(start), left = direction_W(start + 90);
    const double along = std::abs(glm::dot(half_, glm::abs(ahead))),
                 across = std::abs(glm::dot(half_, glm::abs(left)));
    double wide = along, high = flight_m;
    switch (view_.camera) {
      case CameraKind::side:
        camera.fov_deg = 30;
        camera.eye = camera.target - 7.0 * left + Vec3(0, 2.6, 0);
        break;
      case CameraKind::front:
        camera.fov_deg = 34;
        camera.eye = camera.target + 7.0 * ahead + Vec3(0, 2.6, 0);
        wide = across;
        high = 0.5 * (flight_m + along);
        break;
      case CameraKind::above:
        // Along the longer side of the picture.
        camera.fov_deg = 31;
        camera.target = middle_;
        camera.eye = middle_ + Vec3(0, 9.2, 0);
        camera.up = free_w > free_h ? left : ahead;
        wide = free_w > free_h ? along : across;
        high = free_w > free_h ? across : along;
        break;
      case CameraKind::eyes: {
        const Eyes eyes = eyes_at(body_, sample_, view_.gaze, side_);
        camera.eye = eyes.point_W;
        camera.target = camera.eye + eyes.ahead_W;
        camera.up = eyes.up_W;
        camera.fov_deg = 75;
        camera.own_head = false;
        break;
      }
    }
    Projection p;
    p.width_px = view_.width_px;
    p.height_px = view_.height_px;
    p.centre_x_px = 0.5 * (view_.width_px + view_.inset_left_px - view_.inset_right_px);
    p.centre_y_px = 0.5 * (view_.height_px + view_.inset_top_px - view_.inset_bottom_px);
    const double distance = glm::length(camera.target - camera.eye);
    p.focal_px = 0.5 * free_h / std::tan(0.5 * to_rad(camera.fov_deg));
    if (!eyes()) {
      p.focal_px =
          0.96 * std::min(0.5 * free_w * distance / wide,
                          (above() ? 0.5 : 0.45) * free_h * distance / (above() ? high : 0.5 * high + 0.6));
      p.focal_px *= view_.offset.zoom;
      camera = moved_camera(camera, view_.offset);
    }
    p.camera = camera;
    return p;
  }

  [[nodiscard]] Vec3 on_wall(int index, double along, double y) const {
    const Vec3 out = direction_W(90.0 * index), right = direction_W(90.0 * index - 90);
    return middle_ + std::abs(glm::dot(half_, out)) * out + along * right + Vec3(0, y, 0);
  }

  void room() {
    const Vec3 a = middle_ - half_, b = middle_ + half_;
    scene_.items.emplace_back(Polygon{
        Space::world, {{a.x, 0, a.z}, {b.x, 0, a.z}, {b.x, 0, b.z}, {a.x, 0, b.z}}, palette_.floor, {}});
    const Stroke seam = stroke(faded(palette_.hair, 0.5), 1);
    for (double x = std::ceil(a.x); x <= b.x; x += 1)
      scene_.items.emplace_back(Line{Space::world, {{x, 0, a.z}, {x, 0, b.z}}, seam});
    for (double z = std::ceil(a.z); z <= b.z; z += 1)
      scene_.items.emplace_back(Line{Space::world, {{a.x, 0, z}, {b.x, 0, z}}, seam});
    const std::string* names[] = {&walls_.front, &walls_.left, &walls_.back, &walls_.right};
    const ChainMoment now = chain_at(run_, time_);
    const int faced = wall_at(run_.stops[now.stop].end_heading_deg);
    const Vec3 eye = scene_.projection.camera.eye;
    for (int index = 0; index < 4; ++index) {
      const Vec3 out = direction_W(90.0 * index), right = direction_W(90.0 * index - 90);
      const double reach = std::abs(glm::dot(half_, right)), far = std::abs(glm::dot(half_, out));
      const bool sign = index == faced;
      const double width = text_width_em(*names[index], Weight::bold) * name_size_m;
      if (above()) {
        // The walls seen as edges: their names lie before them.
        scene_.items.emplace_back(Line{Space::world,
                                       {on_wall(index, -reach, 0), on_wall(index, reach, 0)},
                                       sign ? stroke(palette_.ink, 4) : stroke(palette_.hair, 2)});
        edge_names_.push_back({index, sign});
        continue;
      }
      if (glm::dot(eye - middle_, out) > far) continue;
      scene_.items.emplace_back(
          Polygon{Space::world,
                  {on_wall(index, -reach, 0), on_wall(index, reach, 0), on_wall(index, reach, wall_height_m),
                   on_wall(index, -reach, wall_height_m)},
                  index % 2 == 0 ? palette_.wall : palette_.wall2,
                  stroke(palette_.hair, 1)});
      if (sign)
        scene_.items.emplace_back(Polygon{Space::world,
                                          {on_wall(index, -0.5 * width - 0.3, name_m - sign_half_m),
                                           on_wall(index, 0.5 * width + 0.3, name_m - sign_half_m),
                                           on_wall(index, 0.5 * width + 0.3, name_m + sign_half_m),
                                           on_wall(index, -0.5 * width - 0.3, name_m + sign_half_m)},
                                          palette_.front,
                                          stroke(palette_.line, 2)});
      scene_.items.emplace_back(SurfaceText{*names[index],
                                            on_wall(index, 0, name_m),
                                            right,
                                            {0, 1, 0},
                                            name_size_m,
                                            Weight::bold,
                                            sign ? palette_.on_front : palette_.dim});
    }
  }

  /// Solid where a skill flies, dashed where a setup or transition is walked.
  void path() {
    for (const ChainStop& stop : run_.stops) {
      const Vec3 a(stop.start_x, 0, stop.start_z), b(stop.end_x, 0, stop.end_z);
      if (glm::length(b - a) < 0.05) continue;
      scene_.items.emplace_back(
          Line{Space::world, {a, b}, stop.is_skill ? stroke(palette_.ink, 4) : stroke(palette_.ink, 3, 7)});
      const Vec3 way = glm::normalize(b - a), across(-way.z, 0, way.x), tip = 0.5 * (a + b) + 0.12 * way;
      scene_.items.emplace_back(
          Polygon{Space::world,
                  {tip, tip - 0.24 * way + 0.11 * across, tip - 0.24 * way - 0.11 * across},
                  palette_.ink,
                  {}});
    }
  }

  struct Joint {
    Vec3 at{};
    double heading_deg = 0;
    std::string feet;
  };
  [[nodiscard]] Joint joint_at(std::size_t i) const {
    if (i < run_.stops.size()) {
      const ChainStop& stop = run_.stops[i];
      // What the one before ended on stands there; at the start, what the first begins on.
      return {{stop.start_x, 0, stop.start_z},
              stop.start_heading_deg,
              i > 0 ? run_.stops[i - 1].end_feet : stop.start_feet};
    }
    const ChainStop& last = run_.stops.back();
    return {{last.end_x, 0, last.end_z}, last.end_heading_deg, last.end_feet};
  }

  /// Both feet where a link begins: filled what stands, hollow what does not; the way the chest points ahead.
  void joint(std::size_t i) {
    const Joint joint = joint_at(i);
    const Vec3 ahead = direction_W(joint.heading_deg), left = direction_W(joint.heading_deg + 90);
    // Where several joints share a place they stand beside each other, not upon each other.
    double aside = 0;
    for (std::size_t k = 0; k < i; ++k) {
      if (glm::length(joint_at(k).at - joint.at) < 0.2) aside += 0.42;
    }
    const Vec3 away = direction_W(run_.stops.front().start_heading_deg + 90);
    const Vec3 centre = joint.at + aside * away;
    const auto at = [&](double forward, double sideways) {
      return centre + forward * ahead + sideways * left;
    };
    const bool only_left = joint.feet == "left" || joint.feet.rfind("left", 0) == 0;
    const bool only_right = joint.feet == "right" || joint.feet.rfind("right", 0) == 0;
    const bool both = joint.feet.find(", ") != std::string::npos || (!only_left && !only_right);
    const double h = foot_half_m, w = foot_width_m, g = foot_apart_m;
    std::vector<Vec3> sole;
    for (int k = 0; k < 16; ++k) {
      const double t = (k + 0.5) * pi / 8;
      sole.push_back(at((std::cos(t) > 0 ? h - w : w - h) + std::cos(t) * w, g + std::sin(t) * w));
    }
    scene_.items.emplace_back(Polygon{Space::world, std::move(sole),
                                      both || only_left ? palette_.left : palette_.mat,
                                      stroke(both || only_left ? palette_.line : palette_.left, 1.8)});
    scene_.items.emplace_back(Polygon{Space::world,
                                      {at(h, -g - w), at(h, -g + w), at(-h, -g + w), at(-h, -g - w)},
                                      both || only_right ? palette_.right : palette_.mat,
                                      stroke(both || only_right ? palette_.line : palette_.right, 1.8)});
    scene_.items.emplace_back(Polygon{Space::world,
                                      {at(0.22, 0.13), at(0.22, -0.13), at(0.44, 0)},
                                      palette_.front,
                                      stroke(palette_.line, 1.5)});
    joints_.push_back(centre);
  }

  void beam() {
    const Vec3 at(placed_.origin_W.x, 0, placed_.origin_W.z);
    std::vector<Vec3> wedge{at};
    for (int i = -4; i <= 4; ++i) wedge.push_back(at + 1.2 * direction_W(heading_deg_ + 4.0 * i));
    scene_.items.emplace_back(
        Polygon{Space::world, std::move(wedge), faded(palette_.front, palette_.beam_opacity), {}});
  }

  void label(std::string text, double x, double y, Weight weight, double size = 16) {
    Color halo = view_.theme == Theme::dark ? palette_.wall2 : palette_.halo;
    scene_.items.emplace_back(
        Label{std::move(text), x, y, size * view_.scale, weight, Align::centre, palette_.ink, halo});
  }

  /// Numbers at the joints, names over the ways between them, words where one does not fit.
  void names() {
    if (eyes()) return;
    const double px = view_.scale;
    const std::string* walls[] = {&walls_.front, &walls_.left, &walls_.back, &walls_.right};
    for (const auto& [index, sign] : edge_names_) {
      const auto p = projector_->to_px(on_wall(index, 0, 0) - 0.35 * direction_W(90.0 * index));
      if (!p) continue;
      if (sign) {
        const double w = 0.5 * text_width_em(*walls[index], Weight::bold) * 20 * px + 12 * px;
        scene_.items.emplace_back(Polygon{Space::screen,
                                          {{p->x - w, p->y - 17 * px, 0},
                                           {p->x + w, p->y - 17 * px, 0},
                                           {p->x + w, p->y + 17 * px, 0},
                                           {p->x - w, p->y + 17 * px, 0}},
                                          palette_.front,
                                          stroke(palette_.line, 2)});
        scene_.items.emplace_back(Label{*walls[index],
                                        p->x,
                                        p->y,
                                        20 * px,
                                        Weight::bold,
                                        Align::centre,
                                        palette_.on_front,
                                        {0, 0, 0, 0}});
      } else {
        label(*walls[index], p->x, p->y, Weight::medium, 20);
      }
    }
    for (std::size_t i = 0; i < joints_.size(); ++i) {
      const auto p = projector_->to_px(joints_[i]);
      if (!p) continue;
      const bool fits = i == 0 || i >= run_.stops.size() || run_.joints[i - 1].fits();
      const double y = p->y + 34 * px;
      scene_.items.emplace_back(Marker{fits ? Marker::Shape::disc : Marker::Shape::square, p->x, y, 12 * px,
                                       fits ? palette_.plate : palette_.selected, stroke(palette_.ink, 2)});
      Label number{fmt::format("{}", i + 1),
                   p->x,
                   y,
                   16 * px,
                   Weight::bold,
                   Align::centre,
                   fits ? palette_.ink : palette_.on_selected,
                   {0, 0, 0, 0}};
      scene_.items.emplace_back(std::move(number));
      if (!fits) label("does not fit", p->x, y + 24 * px, Weight::bold);
    }
    const std::size_t now = chain_at(run_, time_).stop;
    double last_x = -1e9, last_y = -1e9;
    for (std::size_t i = 0; i < run_.stops.size(); ++i) {
      const Vec3 half = 0.5 * (joint_at(i).at + joint_at(i + 1).at);
      const auto p = projector_->to_px(half);
      if (!p) continue;
      double y = p->y - (i % 2 == 0 ? 40 : 62) * px;
      const double w = text_width_em(run_.stops[i].title, Weight::bold) * 16 * px;
      if (std::abs(y - last_y) < 20 * px && p->x - last_x < w) y -= 22 * px;
      last_x = p->x;
      last_y = y;
      if (above() || i == now)
        label(run_.stops[i].title, p->x, above() ? y : 40 * px + view_.inset_top_px,
              i == now ? Weight::bold : Weight::medium, above() ? 16 : 28);
    }
  }

  const ChainRun& run_;
  const std::vector<std::optional<Flight>>& flights_;
  const double time_;
  const Walls& walls_;
  const View& view_;
  const Palette& palette_;
  const HumanBody body_;
  Vec3 low_{}, high_{}, middle_{}, half_{};
  PlacedBody placed_;
  FlightSample sample_;
  double heading_deg_ = 0;
  Side side_ = Side::left;
  struct EdgeName {
    int index = 0;
    bool sign = false;
  };
  std::vector<EdgeName> edge_names_;
  std::vector<Vec3> joints_;
  std::optional<Projector> projector_;
  Scene scene_;
};

}  // namespace

Scene compose_chain(const ChainRun& run, const std::vector<std::optional<Flight>>& flights, double time_s,
                    const Walls& walls, const View& view) {
  HT_EXPECT(!run.stops.empty());
  HT_EXPECT(flights.size() == run.stops.size());
  return ChainPicture(run, flights, time_s, walls, view).compose();
}

}  // namespace halfturn
