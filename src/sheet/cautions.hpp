#pragma once
/// \file cautions.hpp — the customary cautions of the work, stage by stage.

#include <string_view>

namespace etchcast {

enum class Stage { stock, fire, weld, hammer, press, twist, cut, grind, quench, etch, finished };

/// What smiths customarily watch for there; a few sentences.
std::string_view caution_of(Stage stage);

/// The same as a reminder where the sheet has said it once.
std::string_view reminder_of(Stage stage);

/// The stage a step of the schedule belongs to; `hammer` for steps not known here, since most are done hot with one.
Stage stage_of(std::string_view step);

}  // namespace etchcast
