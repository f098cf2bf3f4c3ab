#pragma once
/// \file layer_store.hpp — laid layers kept on disk between runs, in the folder of the flow tables (metal/cache.hpp).

#include <optional>
#include <string>

#include "workpiece/layering.hpp"

namespace etchcast {

/// Part of every key; raise it with every change that changes the tables of studs, blows or holes.
inline constexpr int kLayersVersion = 1;

std::optional<LaidLayers> kept_layers(const std::string& key);
void keep_layers(const std::string& key, const LaidLayers& laid);

}  // namespace etchcast
