#pragma once
/// \file faults.hpp — collects what is wrong with a recipe, to tell it all at once.

#include <span>
#include <string>
#include <vector>

#include "etchcast/recipe.hpp"
#include "recipe/document.hpp"

namespace etchcast {

class Faults {
 public:
  /// The settings are those that stand in the document's values.
  explicit Faults(const Document& document, std::span<const Setting> settings = {})
      : document_(document), settings_(settings) {}

  /// Notes one fault. `key` is the path of what is at fault, e.g. "billet.bar.steps[3].depth" (steps count from 1).
  void add(Spot spot, std::string key, std::string message, std::string hint = {});

  /// The same for a value that is kept with its place only.
  void add(const Place& place, std::string key, std::string message, std::string hint = {});

  /// Notes the faults of another document that this one calls for.
  void take(const Error& error) {
    faults_.insert(faults_.end(), error.diagnostics().begin(), error.diagnostics().end());
  }

  Place place(Spot spot) const;
  /// True once further faults are only counted: their hints need not be worked out.
  bool full() const { return untold_ > 0; }

  /// Throws one Error(Fault::recipe) with all faults in the order of the text, if there are any.
  void throw_if_any();

 private:
  const Document& document_;
  std::span<const Setting> settings_;
  std::vector<Diagnostic> faults_;
  std::size_t untold_ = 0;  ///< beyond what anyone reads; only their number is kept
};

}  // namespace etchcast
