#include "handout/pictures.hpp"

#include <fmt/format.h>
#include <png.h>

#include <algorithm>
#include <array>
#include <functional>
#include <map>
#include <memory>
#include <variant>

#include "rotation/heading.hpp"
#include "scene/compose.hpp"
#include "scene/projection.hpp"

namespace halfturn {
namespace {

constexpr double widest_m = 5.4, pitch_m = 0.95;  // of a row of exposures

Capsule moved(Capsule c, const Vec3& by) {
  c.a_W += by;
  c.b_W += by;
  return c;
}

/// Upright on the floor, the chest turning with minimum jerk.
class FloorWalk final : public Flight::Maker {
 public:
  FloorWalk(const Rung& rung, const Pose& standing, double duration)
      : stand_(to_rad(rung.walk_stand_deg)),
        turn_(to_rad(rung.walk_turn_deg)),
        takeoff_(to_rad(rung.start.heading_deg + rung.floor_turn_deg)),
        standing_(standing),
        duration_(duration) {}

  FlightSample sample(double time) const override {
    FlightSample s;
    s.time = time;
    const double heading = stand_ + turn_ * minimum_jerk(time / duration_);
    s.q_WB = rotation_y(heading);
    s.com_W = Vec3(0, 0.4, 0);  // the picture lifts whoever is below the floor onto it
    s.pose = standing_;
    s.angles.twist = wrap_deg(to_deg(heading - takeoff_)) * to_rad(1);
    return s;
  }

 private:
  double stand_, turn_, takeoff_;
  Pose standing_;
  double duration_;
};

}  // namespace

Scene compose_exposures(const Ladder& ladder, std::size_t rung, const Flight& flight, int count,
                        const View& view) {
  HT_EXPECT(count >= 2 && count <= 24);
  View quiet = view;
  quiet.toggles.traces = quiet.toggles.ghosts = false;
  Scene scene = compose(ladder, rung, flight, flight.duration(), quiet);
  const Projector projector(scene.projection);
  const Vec3 right = projector.right();
  const double pitch = std::min(pitch_m, widest_m / (count - 1));
  std::vector<SceneItem> shadows, figures, labels;
  for (int i = 0; i < count; ++i) {
    const double time = flight.duration() * i / (count - 1);
    const Vec3 by = (i - 0.5 * (count - 1)) * pitch * right;
    for (SceneItem& item : compose(ladder, rung, flight, time, quiet).items) {
      if (auto* figure = std::get_if<Figure>(&item); figure != nullptr && !figure->ghost) {
        for (Capsule& c : figure->capsules) c = moved(c, by);
        for (Facet& f : figure->facets) {
          for (Vec3& p : f.points) p += by;
        }
        figures.emplace_back(std::move(*figure));
      } else if (auto* shadow = std::get_if<Shadow>(&item); shadow != nullptr && shadow->of_flyer) {
        for (Capsule& c : shadow->footprint) c = moved(c, by);
        shadows.emplace_back(std::move(*shadow));
      }
    }
  }
  // Shadows lie where the one shadow lay, figures stand before all else.
  const auto is_shadow = [](const SceneItem& item) {
    const auto* shadow = std::get_if<Shadow>(&item);
    return shadow != nullptr && shadow->of_flyer;
  };
  const auto is_flyer = [](const SceneItem& item) {
    const auto* figure = std::get_if<Figure>(&item);
    return figure != nullptr && !figure->ghost;
  };
  const auto place = std::find_if(scene.items.begin(), scene.items.end(), is_shadow);
  scene.items.insert(place, shadows.begin(), shadows.end());
  std::size_t seen = 0;
  std::erase_if(scene.items,
                [&](const SceneItem& item) { return is_shadow(item) && ++seen > shadows.size(); });
  std::erase_if(scene.items, is_flyer);
  scene.items.insert(scene.items.end(), figures.begin(), figures.end());
  return scene;
}

Flight floor_walk_flight(const Rung& rung, const Pose& standing, double duration) {
  return Flight(std::make_shared<FloorWalk>(rung, standing, duration), Provenance::drawn, duration,
                {{EventKind::takeoff, 0}, {EventKind::landing, duration}}, Vec3(0), std::nullopt);
}

std::string png_bytes(int width, int height, const std::vector<std::uint8_t>& rgba) {
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  png.width = static_cast<png_uint_32>(width);
  png.height = static_cast<png_uint_32>(height);
  png.format = PNG_FORMAT_RGBA;
  png.flags = PNG_IMAGE_FLAG_FAST;
  // Room for the worst case: to ask for the size would compress it all twice.
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(png);
  std::string bytes(size, '\0');
  if (png_image_write_to_memory(&png, bytes.data(), &size, 0, rgba.data(), 0, nullptr) == 0) return {};
  bytes.resize(size);
  return bytes;
}

std::string small_png_bytes(int width, int height, const std::vector<std::uint8_t>& rgba) {
  using Rgb = std::array<int, 3>;
  // Flat areas keep their very colour; what is left of the 256 goes to the commonest mixtures along edges,
  // counted in cells of 8 levels.
  constexpr std::size_t exact_colours = 96, all_colours = 256;
  const auto at = [&](std::size_t i) { return Rgb{rgba[i], rgba[i + 1], rgba[i + 2]}; };
  std::map<Rgb, std::size_t> count;
  for (std::size_t i = 0; i < rgba.size(); i += 4) ++count[at(i)];
  std::vector<std::pair<std::size_t, Rgb>> common;
  for (const auto& [color, n] : count) common.emplace_back(n, color);
  std::sort(common.begin(), common.end(), std::greater<>());
  std::vector<Rgb> palette;
  for (std::size_t i = 0; i < std::min(exact_colours, common.size()); ++i)
    palette.push_back(common[i].second);
  std::map<Rgb, std::pair<std::size_t, Rgb>> cells;  // number of pixels, commonest colour
  for (std::size_t i = palette.size(); i < common.size(); ++i) {
    const auto& [n, color] = common[i];
    auto& cell = cells[{color[0] / 8, color[1] / 8, color[2] / 8}];
    if (cell.first == 0) cell.second = color;
    cell.first += n;
  }
  std::vector<std::pair<std::size_t, Rgb>> mixtures;
  for (const auto& [key, cell] : cells) mixtures.push_back(cell);
  std::sort(mixtures.begin(), mixtures.end(), std::greater<>());
  for (std::size_t i = 0; i < mixtures.size() && palette.size() < all_colours; ++i)
    palette.push_back(mixtures[i].second);
  std::map<Rgb, std::uint8_t> nearest;
  for (const auto& [color, n] : count) {
    long least = 1L << 30;
    for (std::size_t k = 0; k < palette.size(); ++k) {
      long distance = 0;
      for (std::size_t c = 0; c < 3; ++c)
        distance += static_cast<long>(color[c] - palette[k][c]) * (color[c] - palette[k][c]);
      if (distance < least) {
        least = distance;
        nearest[color] = static_cast<std::uint8_t>(k);
      }
    }
  }
  std::vector<std::uint8_t> indices, colours;
  for (std::size_t i = 0; i < rgba.size(); i += 4) indices.push_back(nearest[at(i)]);
  for (const Rgb& color : palette) {
    for (const int channel : color) colours.push_back(static_cast<std::uint8_t>(channel));
  }
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  png.width = static_cast<png_uint_32>(width);
  png.height = static_cast<png_uint_32>(height);
  png.format = PNG_FORMAT_RGB_COLORMAP;
  png.colormap_entries = static_cast<png_uint_32>(palette.size());
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(png);
  std::string bytes(size, '\0');
  if (png_image_write_to_memory(&png, bytes.data(), &size, 0, indices.data(), 0, colours.data()) == 0)
    return {};
  bytes.resize(size);
  return bytes;
}

}  // namespace halfturn
