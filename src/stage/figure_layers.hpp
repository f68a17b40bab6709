#pragma once

#include <vector>

#include "gl_objects.hpp"
#include "pen.hpp"

namespace halfturn {

/// Figures, each drawn with several samples in a texture of its own and kept while it stays the same.
class FigureLayers {
 public:
  explicit FigureLayers(Pen& pen) : pen_(pen) {}
  ~FigureLayers();
  FigureLayers(const FigureLayers&) = delete;
  FigureLayers& operator=(const FigureLayers&) = delete;

  /// Adds to `out` what is needed to draw these figures of one picture; `grain` is the most texels along a
  /// side of a pixel.
  void plan(const std::vector<const Figure*>& figures, const Projection& projection, int grain, Drawing& out);
  /// Draws those that are not kept; what was planned has been uploaded.
  void draw();
  /// Lays the figure of this place in the plan over what the pen looks at.
  void lay_over(std::size_t index);

 private:
  struct Layer {
    Figure figure;
    Projection projection;
    int grain = 0;
    FigureDrawing drawn;
    Target target;
    bool planned = false, done = false;
  };
  void draw(Layer& layer);
  bool resolve(int width, int height);

  Pen& pen_;
  std::vector<Layer> layers_;
  struct Planned {
    std::size_t layer = 0;
    double opacity = 1;
  };
  std::vector<Planned> planned_;
  Target many_;      ///< where they are drawn, with several samples
  Target resolved_;  ///< in a browser: the same with one
};

}  // namespace halfturn
