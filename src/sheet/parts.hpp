#pragma once
/// \file parts.hpp — what the sheet is put together from. Every function returns finished HTML.

#include <set>
#include <string>
#include <vector>

#include "etchcast/check.hpp"
#include "sheet/cautions.hpp"

namespace etchcast {

/// What the parts of one sheet share.
struct Sheet {
  const Recipe& recipe;
  const Forging& forging;
  std::vector<Warning> findings;   ///< of check(); what a part has told is taken out
  std::set<Stage> cautioned = {};  ///< stages whose cautions stand on the sheet in full already
};

/// The billet the blade is ground from, else the last.
size_t finished_billet(const Sheet& sheet);

/// Cautions of a stage: in full the first time, then as a reminder.
std::string caution_html(Sheet& sheet, Stage stage);

/// Findings whose `about` begins so, taken out of the sheet's.
std::string findings_html(Sheet& sheet, const std::string& about);

/// What is to be done in a step, as a sentence to a smith; and its keys with what they mean, where tools must be set.
std::string doing_html(const StepCall& call, const LedgerRow& before, const LedgerRow& after, const Losses& losses);
std::string settings_html(const StepCall& call);

// --- The parts, in the order of the sheet ---
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
