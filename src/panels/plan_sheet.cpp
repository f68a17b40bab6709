#include "ui.hpp"
namespace halfturn {
void show_plan_sheet(Ui&, const Rect&) {}
void show_walk_sheet(Ui&, const Rect&) {}
void show_curves(Ui&) {}
}  // namespace halfturn
