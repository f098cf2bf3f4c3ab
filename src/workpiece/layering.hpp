#pragma once
/// \file layering.hpp — bars whose layers have moved every way at once: from heights of layers over a repeating
/// rectangle to map, faces and books.

#include "etchcast/error.hpp"
#include "tape/layer_fit.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

/// Heights of layers after, in thicknesses of the even bar before, measured from its lower face: the target's `rise` is
/// filled with z - c, means and all.
struct Layering {
  LayerTarget target;
  double thickness = 1;  ///< of the even bar before, mm
  bool held = false;     ///< the bar keeps its length
};

/// The bar takes those layers.
///   Errors  Error(Fault::recipe) if layers would cross.
LayerFit lay_layers(Workpiece& w, const Layering& layering);

/// The same, refusing at `key` with the words of any Error that `work` throws.
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
