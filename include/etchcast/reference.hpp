#pragma once
/// \file reference.hpp — what the program knows, as text: steps, steels, blade shapes.
/// Reads after: check.hpp.

#include <string>
#include <string_view>

namespace etchcast {

class GradeBook;

/// One line a step.
std::string steps_text();

/// All about one step: what it does, its keys with units, ranges and defaults, its examples.
///   Errors  Error(Fault::use) with the nearest known word.
std::string step_text(std::string_view name);

/// The generated reference, docs/steps.md.
std::string steps_markdown();

/// All grades as a table of 80 columns; or all about one, by any of its names.
///   Errors  Error(Fault::use) with the nearest known word.
/// With a file of one's own grades those come first.
std::string steels_text(const GradeBook* own = nullptr);
std::string steel_text(std::string_view name, const GradeBook* own = nullptr);

/// The built-in outlines with the trade's proportions.
std::string shapes_text();

}  // namespace etchcast
