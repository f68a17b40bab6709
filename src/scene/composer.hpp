#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "figure.hpp"
#include "moment.hpp"
#include "scene/compose.hpp"
#include "scene/palette.hpp"
#include "scene/projection.hpp"

namespace halfturn {

/// A box of pixels.
struct Box {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  [[nodiscard]] bool overlaps(const Box& other) const {
    return x0 < other.x1 && other.x0 < x1 && y0 < other.y1 && other.y0 < y1;
  }
  [[nodiscard]] bool holds(const Box& other) const {
    return x0 <= other.x0 && y0 <= other.y0 && x1 >= other.x1 && y1 >= other.y1;
  }
  [[nodiscard]] double area() const { return x1 > x0 && y1 > y0 ? (x1 - x0) * (y1 - y0) : 0; }
  [[nodiscard]] Box common(const Box& other) const;
  void include(double x, double y);
};
inline constexpr Box empty_box{1e300, 1e300, -1e300, -1e300};

/// Width of a line of text in font sizes, from the advance widths of the font that the program carries.
[[nodiscard]] double text_width_em(std::string_view text, Weight weight);
/// Height of a capital in font sizes.
inline constexpr double capital_em = 0.727;

/// Outer radius of the dial's ring, m.
inline constexpr double dial_radius = 1.62;

/// The heading that stays for the whole ladder, degrees.
[[nodiscard]] double held_heading_deg(const Ladder& ladder);
/// The wall that a heading looks at, 0 front, 1 left, 2 back, 3 right.
[[nodiscard]] int wall_at(double heading_deg);

/// A camera turned and moved about its target.
[[nodiscard]] Camera moved_camera(Camera camera, const CameraOffset& offset);

/// Unit vector at a heading, world.
[[nodiscard]] Vec3 direction_W(double heading_deg);

/// Landings that face the same way, in the order of the ladder.
struct LandingGroup {
  double heading_deg = 0;
  bool now = false;  ///< the rung in play is one of them
  std::vector<std::size_t> rungs;
};

/// One picture in the making: what every part of it needs, and the items drawn so far.
class Composer {
 public:
  Composer(const Ladder& ladder, std::size_t rung, const Flight& flight, double time, const View& view,
           const std::vector<Companion>& companions);
  Scene compose();

 private:
  // room.cpp
  void floor();
  void walls();
  void wall(int index, bool with_sign);
  void fades();
  void sign(int index, double along, double width_m, double size);
  /// A place along a wall, m, and the share of what stands there that is cut, behind the flyer or under
  /// words.
  struct Slide {
    double along = 0, trouble = 0;
  };
  [[nodiscard]] Slide slide_along(int index, double width_m, double low, double high, double wish) const;
  [[nodiscard]] bool shows_wall(int index) const;
  [[nodiscard]] double visible_share(int index, double along, double width_m) const;
  // dial.cpp
  void dial();
  void turn_band();
  void rose();
  void start_arrow();
  void dial_labels();
  // arrows.cpp
  void group_landings();
  void landing_arrows();
  void peg(std::size_t rung, double x, double y, double radius, Color ink);
  [[nodiscard]] std::string peg_text(std::size_t rung) const;
  void wall_labels_above();
  void tag();
  void mark();
  [[nodiscard]] double digit_px() const;        ///< font size of the dial's numbers
  [[nodiscard]] double peg_px(bool now) const;  ///< radius of a peg
  [[nodiscard]] double arrow_scale() const;
  [[nodiscard]] double arrow_tip(bool now) const;  ///< m from the dial's centre
  // ghosts.cpp
  void ghosts();
  [[nodiscard]] double ghost_radius() const { return std::max(2.50, arrow_tip(false) + 0.38); }
  // twin.cpp
  void twin();
  [[nodiscard]] double mirror_deg() const;  ///< heading in whose upright plane left and right are exchanged
  [[nodiscard]] int twin_wall() const;
  // flyer.cpp
  void shadow();
  void travel();
  void traces();
  void flyer();
  void strike();
  // companions.cpp
  void companion_landings();
  void companions();
  // instructor.cpp
  void instructor();

  template <class Item>
  void add(Item item) {
    scene_.items.emplace_back(std::move(item));
  }
  [[nodiscard]] Stroke stroke(Color color, double width, double dash = 0, double gap = 0) const {
    return {color, width * line_, dash * line_, gap * line_};
  }
  /// A label, unless it would leave the free part of the picture or touch what is there already.
  bool place_label(Label label, bool force = false);
  [[nodiscard]] Box label_box(const Label& label) const;
  [[nodiscard]] std::optional<Vec3> px(const Vec3& p_W) const { return projector_.to_px(p_W); }
  [[nodiscard]] Vec3 on_dial(double radius, double heading_deg) const {
    return radius * direction_W(heading_deg);
  }
  /// Points given as metres along and across (to the left of) a heading.
  [[nodiscard]] static std::vector<Vec3> dial_shape(const std::vector<Vec3>& along_across,
                                                    double heading_deg);
  [[nodiscard]] std::vector<Vec3> arc(double radius, double from_deg, double to_deg) const;
  [[nodiscard]] bool above() const { return view_.camera == CameraKind::above; }
  [[nodiscard]] bool eyes() const { return view_.camera == CameraKind::eyes; }
  [[nodiscard]] bool hidden_by_line_to_camera(double heading_deg) const;
  [[nodiscard]] int landing_wall() const;
  [[nodiscard]] const std::string& wall_name(int index) const;
  void rounded_plate(const Box& box, double radius, Color fill, Stroke outline);

  const Ladder& ladder_;
  const std::size_t rung_index_;
  const Rung& rung_;
  const Flight& flight_;
  const double time_;
  const View& view_;
  const std::vector<Companion>& companions_;
  const Palette& palette_;
  const HumanBody body_;
  const Moment now_;
  const Projector projector_;
  const double px_;       ///< pixels per design pixel
  const double line_;     ///< the same for widths of lines
  const Box free_;        ///< not covered by controls
  const Box answer_box_;  ///< of the answer's words; no area when there are none
  std::vector<LandingGroup> landings_;
  Box mark_box_ = empty_box;
  Box arrow_box_ = empty_box;   ///< of the landing arrow in play, pixels
  Box flight_box_ = empty_box;  ///< where the flyer passes, pixels
  bool signed_ = false;         ///< the landing wall's sign is in the picture
  std::vector<Box> taken_;      ///< by labels, pegs and ghosts
  Scene scene_;
};

}  // namespace halfturn
