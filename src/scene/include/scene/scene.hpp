#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <variant>
#include <vector>

#include "rotation/quaternion.hpp"
#include "scene/palette.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// How metres become pixels: a pinhole at camera.eye. x right and y down from the picture's top left.
struct Projection {
  Camera camera;
  double focal_px = 1;  ///< pixels of 1 m seen from 1 m
  double centre_x_px = 0, centre_y_px = 0;
  int width_px = 0, height_px = 0;
  friend bool operator==(const Projection&, const Projection&) = default;
};

/// Where the points of an item are: metres in the world, or pixels of the picture (x, y; z unused).
enum class Space : std::uint8_t { world, screen };

/// A line's look; widths are pixels of the picture. Dashes when `dash_px` > 0.
struct Stroke {
  Color color;
  double width_px = 0;
  double dash_px = 0, gap_px = 0;
  friend bool operator==(const Stroke&, const Stroke&) = default;
};

/// A flat shape, filled when its fill is not transparent, outlined when the width is not 0. Not
/// self-crossing.
struct Polygon {
  Space space = Space::world;
  std::vector<Vec3> points;
  Color fill{0, 0, 0, 0};
  Stroke outline;
  friend bool operator==(const Polygon&, const Polygon&) = default;
};

/// The area between two lines of as many points, for instance a part of a ring; the outline runs around it
/// (for a closed band: along both edges).
struct Band {
  std::vector<Vec3> inner, outer;
  bool closed = false;
  Color fill{0, 0, 0, 0};
  Stroke outline;
  friend bool operator==(const Band&, const Band&) = default;
};

struct Line {
  Space space = Space::world;
  std::vector<Vec3> points;
  Stroke stroke;
  friend bool operator==(const Line&, const Line&) = default;
};

/// A screen-aligned mark.
struct Marker {
  enum class Shape : std::uint8_t { disc, square, diamond };
  Shape shape = Shape::disc;
  double x_px = 0, y_px = 0, radius_px = 0;
  Color fill;
  Stroke outline;
  friend bool operator==(const Marker&, const Marker&) = default;
};

enum class Weight : std::uint8_t { medium, bold, heavy };
enum class Align : std::uint8_t { left, centre, right };

/// Screen-aligned words; (x, y) is the start, middle or end of the line at half the height of a capital.
/// With a halo the letters stand in a rim of that colour.
struct Label {
  std::string text;
  double x_px = 0, y_px = 0, size_px = 16;
  Weight weight = Weight::medium;
  Align align = Align::centre;
  Color color;
  Color halo{0, 0, 0, 0};
  friend bool operator==(const Label&, const Label&) = default;
};

/// Words painted on a surface, in perspective; `size_m` is the font size.
struct SurfaceText {
  std::string text;
  Vec3 centre_W{}, right_W{}, up_W{};
  double size_m = 1;
  Weight weight = Weight::bold;
  Color color;
  friend bool operator==(const SurfaceText&, const SurfaceText&) = default;
};

/// A colour that goes linearly from one opacity to the other across a box of pixels, to the right or down.
struct Gradient {
  double x0_px = 0, y0_px = 0, x1_px = 0, y1_px = 0;
  Color color;
  double opacity0 = 0, opacity1 = 1;
  bool downwards = false;
  friend bool operator==(const Gradient&, const Gradient&) = default;
};

/// A ball swept from a to b while its radius changes.
struct Capsule {
  Vec3 a_W{}, b_W{};
  double radius_a = 0, radius_b = 0;
  Color color;
  double nearer = 0;              ///< m by which it is drawn in front of what is equally far
  std::array<double, 2> bands{};  ///< shares of the way from a to b with a stripe; 0: none
  double band_width = 0;          ///< m
  friend bool operator==(const Capsule&, const Capsule&) = default;
};

/// A flat face of a solid, seen from both sides, outlined.
struct Facet {
  std::vector<Vec3> points;
  Color color;
  Vec3 normal_W{};
  double nearer = 0;
  friend bool operator==(const Facet&, const Facet&) = default;
};

/// A body: parts hide each other by distance, all of it covers what was drawn before.
struct Figure {
  bool ghost = false;
  std::vector<Capsule> capsules;
  std::vector<Facet> facets;
  Color line, halo, band;
  double outline_px = 1.8, halo_px = 5;
  double opacity = 1;
  friend bool operator==(const Figure&, const Figure&) = default;
};

/// Soft shadow on the floor: the footprint grown step by step; each layer darkens what it covers once.
struct Shadow {
  struct Layer {
    double grow_m = 0;
    double opacity = 0;
    friend bool operator==(const Layer&, const Layer&) = default;
  };
  std::vector<Capsule> footprint;  ///< on y = 0
  std::vector<Layer> layers;       ///< widest first
  Color color;
  bool of_flyer = false;  ///< of whoever flies, not of a thing that stands there
  friend bool operator==(const Shadow&, const Shadow&) = default;
};

using SceneItem = std::variant<Polygon, Band, Line, Marker, Label, SurfaceText, Gradient, Figure, Shadow>;

/// The picture as plain data, in drawing order: later items cover earlier ones.
struct Scene {
  Projection projection;
  Color ground;
  std::vector<SceneItem> items;
  /// The first items do not change while time runs, for whoever wants to keep them drawn.
  std::size_t still_items = 0;
};

/// The scene as lines of text, one per item, rounded so that it is the same wherever it was computed.
[[nodiscard]] std::string scene_text(const Scene& scene);

}  // namespace halfturn
