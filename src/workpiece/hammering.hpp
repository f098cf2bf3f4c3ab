#pragma once
/// \file hammering.hpp — random blows, each wave of the dented face followed into the bar.

#include "workpiece/tools.hpp"

namespace etchcast {

/// Hammers an even bar lying on an anvil: the dents of `top`, of `bottom`, or one face after the other.
///   Errors  refuses at `key` if the blows go through the bar.
void hammer_by_flow(Workpiece& w, Blows top, bool on_top, Blows bottom, bool on_bottom, double friction,
                    const Arguments& arguments, std::string_view key);

}  // namespace etchcast
