#pragma once
/// \file hammering.hpp — random blows, each wave of the dented face followed into the bar.

#include "workpiece/tools.hpp"

namespace etchcast {

/// Refuses blows so close, wide and deep that hundreds of them would tell at every place.
void refuse_crowding(const Workpiece& w, const Blows& blows, const Arguments& arguments);

/// Hammers an even bar lying on an anvil: the dents of `top`, of `bottom`, or one face after the other.
///   Errors  refuses at `key` if the blows go through the bar.
void hammer_by_flow(Workpiece& w, Blows top, bool on_top, Blows bottom, bool on_bottom, double friction,
                    const Arguments& arguments, std::string_view key);

}  // namespace etchcast
