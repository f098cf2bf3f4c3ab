#pragma once
/// \file layering.hpp — bars whose layers have moved every way at once: from heights of layers over a repeating
/// rectangle to map, faces and books.

#include <functional>
#include <string>

#include "etchcast/error.hpp"
#include "tape/layer_fit.hpp"
#include "tape/layer_map.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

/// Heights of layers after, in thicknesses of the even bar before, measured from its lower face: the target's `rise` is
/// filled with z - c, means and all.
struct Layering {
  LayerTarget target;
  double thickness = 1;  ///< of the even bar before, mm
  bool held = false;     ///< the bar keeps its length
};

/// What comes of it: the costly part of the work.
struct LaidLayers {
  std::shared_ptr<const LayerTable> table;
  LayerLevel level;
  std::vector<double> bottom, top;  ///< heights of the faces at the table's nodes, mm from the middle
};

/// With held ends metal that is missing, or left over, between the faces must have come up, or gone down, where they are
/// free: each face by itself, at every node by that share of it (0 under a tool, 1 well beside it).
///   Errors  Error(Fault::recipe) if there is hardly a free place.
void settle_held(LayerTarget& target, const std::vector<double>& bottom_free, const std::vector<double>& top_free);

/// The motion that has these layers, and its faces. A large one is looked up on disk first and kept there; `key` must
/// tell everything that `make` goes by.
///   Errors  Error(Fault::recipe) if layers would cross.
LaidLayers laid_layers(const std::string& key, double nodes, const std::function<Layering()>& make);

/// The bar takes those layers; held: and keeps its length.
void take_layers(Workpiece& w, const LaidLayers& laid, bool held);

/// Does some work, refusing at `key` with the words of any Error that it throws.
template <class Work>
auto or_refuse(const Arguments& arguments, std::string_view key, const Work& work) {
  try {
    return work();
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
}

}  // namespace etchcast
