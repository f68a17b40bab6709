// What must be in a picture, found by casting rays from the camera into a room with walls 4 m from its
// middle, and by the colours that the palette gives each thing.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <glm/geometric.hpp>
#include <set>

#include "pictures.hpp"

using namespace halfturn;
using namespace halfturn::pictures;

namespace {

using Pixel = std::array<int, 3>;

Pixel at(const Image& image, int x, int y) {
  const std::size_t i =
      4 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width) + static_cast<std::size_t>(x));
  return {image.rgba[i], image.rgba[i + 1], image.rgba[i + 2]};
}

bool near(const Pixel& pixel, std::uint32_t hex, int tolerance = 2) {
  const Color c = rgb(hex);
  return std::abs(pixel[0] - c.r) <= tolerance && std::abs(pixel[1] - c.g) <= tolerance &&
         std::abs(pixel[2] - c.b) <= tolerance;
}
/// Yellow in any light: red and green alike and far above blue.
bool yellowish(const Pixel& p) {
  return p[0] > 120 && p[1] > 110 && std::abs(p[0] - p[1]) < 40 && p[0] > p[2] + 70 && p[1] > p[2] + 70;
}

/// Direction of the ray through the middle of a pixel, world.
Vec3 ray_W(const Projection& projection, int x, int y) {
  const Vec3 ahead = glm::normalize(projection.camera.target - projection.camera.eye);
  const Vec3 right = glm::normalize(glm::cross(ahead, projection.camera.up));
  const Vec3 up = glm::cross(right, ahead);
  return ahead + (x + 0.5 - projection.centre_x_px) / projection.focal_px * right -
         (y + 0.5 - projection.centre_y_px) / projection.focal_px * up;
}

template <class Visit>
void each_pixel(const Image& image, Visit visit) {
  for (int y = 0; y < image.height; ++y) {
    for (int x = 0; x < image.width; ++x) visit(x, y, at(image, x, y));
  }
}

/// Only the figure in flight, on the plain ground of the window.
Scene flyer_alone(Scene scene) {
  std::erase_if(scene.items, [](const SceneItem& item) {
    const Figure* figure = std::get_if<Figure>(&item);
    return figure == nullptr || figure->ghost;
  });
  scene.still_items = 0;
  REQUIRE(scene.items.size() == 1);
  return scene;
}

double share(const Image& image, std::uint32_t hex) {
  std::size_t count = 0;
  each_pixel(image, [&](int, int, const Pixel& p) { count += near(p, hex) ? 1U : 0U; });
  return double(count) / (double(image.width) * image.height);
}

}  // namespace

TEST_CASE("the yellow sign is on the wall of the landing heading, with dark letters, and nowhere else") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  for (const std::size_t rung : {2U, 3U}) {
    const View view = view_at(CameraKind::side, 1280, 800, 1);
    const Scene scene = scene_of(ladder, rung, -1, view);
    const Image image = draw(renderer(), scene);
    const double heading = to_rad(ladder.rungs[rung].landing.heading_deg);
    const Vec3 outwards(std::cos(heading), 0, -std::sin(heading));  // positive headings turn left, z is right
    const Vec3 eye = scene.projection.camera.eye;
    std::size_t on_sign = 0, elsewhere = 0, dark = 0;
    each_pixel(image, [&](int x, int y, const Pixel& p) {
      const Vec3 ray = ray_W(scene.projection, x, y);
      const double towards = glm::dot(ray, outwards);
      const Vec3 hit =
          towards > 1e-9 ? eye + ray * ((4.0 - glm::dot(eye, outwards)) / towards) : Vec3(0, -1, 0);
      const double along = glm::dot(hit, Vec3(outwards.z, 0, -outwards.x));
      // look: the sign is from 1.0 to 2.1 m high
      const bool inside = hit.y > 0.99 && hit.y < 2.11 && std::abs(along) < 4.0;
      // F0E442 as it is; the chest and the arrows are shaded, under a beam or flat on the floor.
      if (near(p, 0xF0E442)) (inside ? on_sign : elsewhere) += 1;
      if (inside && near(p, 0x1B2430)) ++dark;
    });
    CAPTURE(rung);
    CHECK(on_sign > 8000);           // of about 1280 x 800
    CHECK(elsewhere < on_sign / 4);  // the arrow in play
    CHECK(dark > on_sign / 30);      // letters
  }
}

TEST_CASE("the figure is there: the left hand is blue, the right hand vermilion, the chest yellow") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  for (const double time : {-1.0, 0.1, 3.0}) {
    const Image image =
        draw(renderer(), flyer_alone(scene_of(ladder, 0, time, view_at(CameraKind::front, 1280, 800, 1))));
    std::size_t left = 0, right = 0, chest = 0, body = 0, rim = 0;
    each_pixel(image, [&](int, int, const Pixel& p) {
      // Hues of 0072B2 and D55E00 in any light, 49525E in its two tones, FBF9F4
      left += p[2] > p[0] + 90 && p[2] > p[1] + 30 ? 1U : 0U;
      right += p[0] > p[2] + 110 && p[0] > p[1] + 70 ? 1U : 0U;
      chest += yellowish(p) ? 1U : 0U;
      body += p[0] > 50 && p[0] < 90 && p[2] > p[0] + 8 && p[2] < 110 ? 1U : 0U;
      rim += near(p, 0xFBF9F4) ? 1U : 0U;
    });
    CAPTURE(time);
    CHECK(left > 900);
    CHECK(right > 900);
    CHECK(chest > 150);
    CHECK(body > 1500);
    CHECK(rim > 1500);
  }
}

TEST_CASE("law: the figure of a right twister is the mirror image, but for the shapes of hands and feet") {
  for (const char* base : {"back flip", "butterfly"}) {
    const Ladder left = ladder_of(base, Side::left, 360, 180), right = ladder_of(base, Side::right, 360, 180);
    for (const CameraKind camera : {CameraKind::side, CameraKind::front, CameraKind::above}) {
      for (const double time : {-1.0, 0.25, 0.45}) {
        const View view = view_at(camera, 960, 600, 0.75);
        const Image a = draw(renderer(), flyer_alone(scene_of(left, 1, time, view)));
        const Image b = draw(renderer(), flyer_alone(scene_of(right, 1, time, view)));
        std::size_t either = 0, both = 0, either_yellow = 0, both_yellow = 0;
        each_pixel(a, [&](int x, int y, const Pixel& p) {
          const Pixel q = at(b, b.width - 1 - x, y);
          const bool in_a = !near(p, 0xF6F3EC, 0), in_b = !near(q, 0xF6F3EC, 0);
          either += in_a || in_b ? 1U : 0U;
          both += in_a && in_b ? 1U : 0U;
          either_yellow += yellowish(p) || yellowish(q) ? 1U : 0U;
          both_yellow += yellowish(p) && yellowish(q) ? 1U : 0U;
        });
        CAPTURE(base);
        CAPTURE(time);
        CAPTURE(static_cast<int>(camera));
        REQUIRE(either > 1000);
        CHECK(double(both) / double(either) > 0.90);
        if (either_yellow > 120) CHECK(double(both_yellow) / double(either_yellow) > 0.80);
      }
    }
  }
}

TEST_CASE("the room is not empty: walls, floor, mat, seams and words") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  const Image image = draw(renderer(), scene_of(ladder, 2, 0.4, view_at(CameraKind::side, 1280, 800, 1)));
  // Colours of the room in the light theme.
  CHECK(share(image, 0xECE7DC) > 0.08);   // a wall
  CHECK(share(image, 0xE4DED1) > 0.08);   // another
  CHECK(share(image, 0xF3EFE6) > 0.08);   // floor
  CHECK(share(image, 0xFBF9F4) > 0.03);   // mat
  CHECK(share(image, 0x515B67) > 0.001);  // the name of a wall
  std::set<Pixel> colors;
  each_pixel(image, [&](int, int, const Pixel& p) { colors.insert(p); });
  CHECK(colors.size() > 500);
}

TEST_CASE("no side of the figure is jagged: along its edge most pixels are in between") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  for (const Quality quality : {Quality::full, Quality::draft}) {
    // A black limb on white, leaning.
    Scene scene = flyer_alone(scene_of(ladder, 1, 0.3, view_at(CameraKind::side, 320, 200, 1)));
    auto& figure = std::get<Figure>(scene.items.front());
    scene.ground = figure.line = figure.halo = rgb(0xFFFFFF);
    figure.outline_px = figure.halo_px = 0;
    figure.facets.clear();
    Capsule limb = figure.capsules.front();
    const Vec3 centre = scene.projection.camera.target;
    limb.a_W = centre + Vec3(-0.9, -0.25, 0);
    limb.b_W = centre + Vec3(0.9, 0.25, 0);
    limb.radius_a = limb.radius_b = 0.12;
    limb.band_width = 0;
    limb.color = rgb(0x000000);
    figure.capsules = {limb};
    const Image image = draw(renderer(), scene, quality);
    int columns = 0, smooth = 0;
    for (int x = 0; x < image.width; ++x) {
      int between = 0, black = 0;
      for (int y = 0; y < image.height; ++y) {
        const int value = at(image, x, y)[1];
        between += value > 10 && value < 245 ? 1 : 0;
        black += value <= 10 ? 1 : 0;
      }
      if (black < 4) continue;
      ++columns;
      smooth += between >= 2 ? 1 : 0;  // one at the upper edge, one at the lower
    }
    CAPTURE(static_cast<int>(quality));
    REQUIRE(columns > 40);
    // Four samples leave one column in four without any in-between value at a given edge; more is jagged.
    CHECK(double(smooth) / columns > 0.5);
  }
}
