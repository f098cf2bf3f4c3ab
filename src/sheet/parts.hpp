#pragma once
/// \file parts.hpp — what the sheet is put together from. Every function returns finished HTML.

#include <set>
#include <string>
#include <vector>

#include "etchcast/check.hpp"
#include "sheet/cautions.hpp"
#include "sheet/figures.hpp"

namespace etchcast {

/// What the parts of one sheet share.
struct Sheet {
  const Recipe& recipe;
  const Forging& forging;
  std::vector<Warning> findings;   ///< of check(); what a part has told is taken out
  std::set<Stage> cautioned = {};  ///< stages whose cautions stand on the sheet in full already
  Figures figures{recipe.units};
};

/// The billet the blade is ground from, else the last.
size_t finished_billet(const Sheet& sheet);

/// Head and one row of a table of sizes: the smith's own system, sixteenths of an inch, the other system, room for what
/// was measured.
std::string sizes_head(const Figures& say);
std::string sizes_row(const Figures& say, std::string_view what, double mm);

/// Cautions of a stage: in full the first time, then as a reminder.
std::string caution_html(Sheet& sheet, Stage stage);

/// How the findings of a step begin: "bar: step 8,".
std::string about_row(const LedgerRow& row);

/// Findings whose `about` begins so, taken out of the sheet's.
std::string findings_html(Sheet& sheet, const std::string& about);

/// All that a step's words may draw on.
struct Task {
  const StepCall& call;
  const LedgerRow &before, &after;
  const Losses& losses;
  const Figures& say;
};

/// What is to be done in a step, as sentences to a smith; and its keys with what they mean, where tools must be set.
std::string doing_html(const Task& task);
std::string settings_html(const StepCall& call, const Figures& say);
/// The same in a few words for the first page, with the marks that must be made.
std::string brief_html(const Task& task);

/// Keys that say nothing to a smith: how the picture is computed.
bool of_the_picture(std::string_view key);

/// Entries of a stack, first to last from the bottom, that are laid so many times over.
struct Course {
  size_t from = 0, to = 0, times = 1;
};
/// The course that a stack repeats from its bottom, and what closes it.
std::vector<Course> courses_of(const std::vector<StackEntry>& stack);

// --- The parts, in the order of the sheet ---
/// The first page: enough at the anvil.
std::string anvil_html(const Sheet& sheet);
struct BladePicture {
  std::string html;
  bool wide = false;  ///< takes a page of its own, on its side
};
BladePicture blade_picture(const Sheet& sheet);
std::string stock_html(Sheet& sheet);
std::string billet_html(Sheet& sheet, size_t billet);
std::string grind_html(Sheet& sheet);
std::string hardening_html(Sheet& sheet);
std::string etch_html(Sheet& sheet);

}  // namespace etchcast
