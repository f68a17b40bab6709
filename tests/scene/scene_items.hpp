#pragma once

#include <variant>
#include <vector>

#include "scene/scene.hpp"

namespace halfturn {

/// All items of one kind, in the order they are drawn.
template <class Item>
std::vector<Item> items_of(const Scene& scene) {
  std::vector<Item> found;
  for (const SceneItem& item : scene.items) {
    if (const Item* one = std::get_if<Item>(&item)) found.push_back(*one);
  }
  return found;
}

}  // namespace halfturn
