#pragma once

#include <memory>
#include <string>
#include <vector>

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "scene/foot.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// A rung in flight, as one stage of a film shows it.
struct FilmStage {
  std::shared_ptr<const Ladder> ladder;
  std::size_t rung = 0;
  Flight flight;
  FootPart told;  ///< who made the flight, or what it is short of
};

/// One stretch of a film: the flight of a rung, or of two or more side by side that share its course; or the
/// floor walk to a rung.
struct FilmShot {
  std::vector<FilmStage> stages;  ///< from the left, 1 to 4; the first sets the pace
  bool walk = false;
  double speed = 1;  ///< share of real time, > 0
};

/// What is to be filmed, as it goes from frame to frame.
class FilmShots {
 public:
  /// `view` is that of one stage: all stages of a film are of the same size. Without captions the line at the
  /// foot still stands: skill, who made the flight, moment and caution.
  FilmShots(View view, bool captions) : view_(std::move(view)), captions_(captions) {}

  void add(FilmShot shot);
  [[nodiscard]] double length() const { return length_; }  ///< s
  /// px that the line at the foot of every frame takes at most.
  [[nodiscard]] double foot_px() const { return foot_px_; }
  /// The stages at a time of the film, s, from the left.
  [[nodiscard]] std::vector<Scene> at(double t) const;

 private:
  [[nodiscard]] Scene walk_scene(std::size_t shot, double t) const;
  [[nodiscard]] Scene flight_scene(const FilmShot& shot, std::size_t stage, double t) const;

  [[nodiscard]] std::vector<FootPart> foot(const FilmShot& shot, double t) const;
  [[nodiscard]] double width_px(const FilmShot& shot) const {
    return view_.width_px * static_cast<double>(shot.stages.size());
  }

  View view_;
  bool captions_;
  std::vector<FilmShot> shots_;
  std::vector<std::shared_ptr<const Ladder>> walked_;  ///< by shot; empty where it is no walk
  double length_ = 0;
  double foot_px_ = 0;
};

}  // namespace halfturn
