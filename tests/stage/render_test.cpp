// Laws of drawing: the same scene gives the same bytes whatever was drawn before; what fails says so.
#include <doctest/doctest.h>

#include "gl_objects.hpp"
#include "pictures.hpp"

using namespace halfturn;
using namespace halfturn::pictures;

namespace {

std::size_t differing_bytes(const Image& a, const Image& b) {
  REQUIRE(a.rgba.size() == b.rgba.size());
  std::size_t count = 0;
  for (std::size_t i = 0; i < a.rgba.size(); ++i) count += a.rgba[i] != b.rgba[i] ? 1U : 0U;
  return count;
}

}  // namespace

TEST_CASE("law: a scene gives the same bytes, in any order, in any renderer") {
  const Ladder back = ladder_of("back flip", Side::left, 360, 90);
  const Ladder butterfly = ladder_of("butterfly", Side::right, 360, 180);
  const std::vector<Scene> scenes{
      scene_of(back, 2, 0.4, view_at(CameraKind::side, 480, 300, 0.5)),
      scene_of(back, 2, 0.41, view_at(CameraKind::side, 480, 300, 0.5)),
      scene_of(back, 4, -1, view_at(CameraKind::side, 480, 300, 0.5)),
      scene_of(back, 2, 0.4, view_at(CameraKind::side, 300, 400, 0.5)),
      scene_of(back, 2, 0.4, view_at(CameraKind::side, 480, 300, 0.5, Theme::dark)),
      scene_of(butterfly, 1, 0.3, view_at(CameraKind::above, 480, 300, 0.5)),
      scene_of(butterfly, 1, 0.3, view_at(CameraKind::eyes, 480, 300, 0.5, Theme::sunlight)),
  };
  for (const Quality quality : {Quality::full, Quality::draft}) {
    CAPTURE(static_cast<int>(quality));
    std::vector<Image> forward;
    for (const Scene& scene : scenes) {
      forward.push_back(draw(renderer(), scene, quality));
      CHECK(differing_bytes(forward.back(), draw(renderer(), scene, quality)) == 0);
    }
    // Backwards, each with a picture of the other quality in between.
    const Quality other = quality == Quality::full ? Quality::draft : Quality::full;
    for (std::size_t i = scenes.size(); i-- > 0;) {
      CAPTURE(i);
      static_cast<void>(draw(renderer(), scenes[(i + 3) % scenes.size()], other));
      CHECK(differing_bytes(forward[i], draw(renderer(), scenes[i], quality)) == 0);
    }
    // A renderer that has drawn nothing before.
    for (std::size_t i = 0; i < scenes.size(); i += 3) {
      CAPTURE(i);
      CHECK(differing_bytes(forward[i], draw(*new_renderer(), scenes[i], quality)) == 0);
    }
    // They are pictures of different things.
    for (std::size_t i = 0; i + 1 < scenes.size(); ++i) {
      if (forward[i].rgba.size() == forward[i + 1].rgba.size())
        CHECK(differing_bytes(forward[i], forward[i + 1]) > 100);
    }
  }
}

TEST_CASE("the two qualities are near each other") {
  const Ladder back = ladder_of("back flip", Side::left, 360, 90);
  const Scene scene = scene_of(back, 2, 0.4, view_at(CameraKind::side, 640, 400, 0.5));
  const Image full = draw(renderer(), scene, Quality::full), draft = draw(renderer(), scene, Quality::draft);
  double sum = 0;
  for (std::size_t i = 0; i < full.rgba.size(); ++i)
    sum += std::abs(double(full.rgba[i]) - double(draft.rgba[i]));
  CHECK(sum / double(full.rgba.size()) < 0.6);  // of 255
}

TEST_CASE("every pixel is opaque") {
  const Ladder back = ladder_of("back flip", Side::left, 360, 90);
  for (const Quality quality : {Quality::full, Quality::draft}) {
    const Image image =
        draw(renderer(), scene_of(back, 2, 0.1, view_at(CameraKind::side, 480, 300, 0.5)), quality);
    std::size_t translucent = 0;
    for (std::size_t i = 3; i < image.rgba.size(); i += 4) translucent += image.rgba[i] != 255 ? 1U : 0U;
    CHECK(translucent == 0);
  }
}

TEST_CASE("a shader that the driver refuses is a problem with its name and the driver's words") {
  static_cast<void>(renderer());  // makes the context current
  const char* const vertex = "#version 330 core\nvoid main() { gl_Position = vec4(0.0); }\n";
  const char* const fragment = "#version 330 core\nout vec4 color;\nvoid main() { color = vec4(1.0); }\n";
  REQUIRE(make_program("shaders/whole", vertex, fragment));
  const Result<GLuint> broken =
      make_program("shaders/broken", vertex, "#version 330 core\nvoid main() { no_such_thing(); }\n");
  REQUIRE_FALSE(broken);
  CHECK(broken.problem().place == "shaders/broken");
  CHECK(broken.problem().text.find("does not compile") != std::string::npos);
  CHECK(broken.problem().text.find("no_such_thing") != std::string::npos);
  const Result<GLuint> unlinked = make_program(
      "shaders/unlinked",
      "#version 330 core\nout vec3 tint;\nvoid main() { tint = vec3(1.0); gl_Position = vec4(0.0); }\n",
      "#version 330 core\nin vec2 tint;\nout vec4 color;\nvoid main() { color = tint.xyxy; }\n");
  REQUIRE_FALSE(unlinked);
  CHECK(unlinked.problem().place == "shaders/unlinked");
  CHECK(unlinked.problem().text.find("does not link") != std::string::npos);
}

TEST_CASE("a font that is none is a problem") {
  static_cast<void>(renderer());
  const auto made = Renderer::create(OffscreenContext::load_function(), {"not a font", "nor this"});
  REQUIRE_FALSE(made);
  CHECK(made.problem().text.find("font") != std::string::npos);
}
