#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "panels/panels.hpp"
#include "session_keeper.hpp"
#include "stage_picture.hpp"

namespace halfturn {

/// The pictures of the stages of a comparison; made when they are first asked for.
class CompareStages {
 public:
  using LoadFunction = void* (*)(const char*);
  explicit CompareStages(LoadFunction load) : load_(load) {}
  /// What the panels show; null while there is one stage only. Valid until the next call.
  [[nodiscard]] const CompareInput* draw(SessionKeeper& keeper, const Layout& layout, bool moving);
  /// Gives up the pictures while their OpenGL context is still there.
  void reset() { stages_ = {}; }

 private:
  [[nodiscard]] unsigned draw_stage(const SessionKeeper& keeper, std::size_t index, const Rect& area,
                                    const Layout& layout, const std::vector<double>& times, bool moving);

  LoadFunction load_;
  std::array<std::unique_ptr<StagePicture>, most_stages> stages_;
  std::optional<CompareInput> shown_;
};

}  // namespace halfturn
