#pragma once
/// \file layer_map.hpp — metal that moved every way at once (studs, blows, holes closed): the pull-back of a layer
/// table.

#include <memory>

#include "base/layer_table.hpp"
#include "tape/map.hpp"

namespace etchcast {

/// Where layers lie on the whole: of a bar `thickness` thick before, mm, mid-plane at z = 0, layer c lies on the
/// average at
///   z = thickness * (base + share * c - 1/2),
/// and the bar's length has grown by 1 / share. The table's own z is what is left after that.
struct LayerLevel {
  double thickness = 1, base = 0, share = 1;
};

MapPtr layer_map(std::shared_ptr<const LayerTable> table, const LayerLevel& level);

}  // namespace etchcast
