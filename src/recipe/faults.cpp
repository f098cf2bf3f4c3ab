// Collects what is wrong with a recipe, to tell it all at once.

#include "recipe/faults.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace etchcast {
namespace {

constexpr std::size_t kMostTold = 200;  // a broken 4 MB file would otherwise answer with hundreds of megabytes

}  // namespace

Place Faults::place(Spot spot) const {
  const auto setting = static_cast<std::size_t>(-spot.line) - 1;
  if (spot.line >= 0 || setting >= settings_.size()) return document_.place(spot);
  return {"--set " + settings_[setting].where, 0, 0};  // the option of the program, as its user wrote it
}

void Faults::add(Spot spot, std::string key, std::string message, std::string hint) {
  add(place(spot), std::move(key), std::move(message), std::move(hint));
}

void Faults::add(const Place& place, std::string key, std::string message, std::string hint) {
  if (faults_.size() == kMostTold) {
    ++untold_;
    return;
  }
  faults_.push_back({place, std::move(key), std::move(message), std::move(hint), document_.excerpt({place.line, place.column})});
}

void Faults::throw_if_any() {
  if (faults_.empty()) return;
  // Faults of a file that this one calls for come first: what follows may rest on them.
  std::stable_sort(faults_.begin(), faults_.end(), [this](const Diagnostic& a, const Diagnostic& b) {
    return std::tuple(a.place.file == document_.file, a.place.line, a.place.column) <
           std::tuple(b.place.file == document_.file, b.place.line, b.place.column);
  });
  if (untold_ > 0) {
    Diagnostic rest;
    rest.place.file = document_.file;
    rest.message = fmt::format("and {} more faults", untold_);
    faults_.push_back(std::move(rest));
  }
  throw Error(Fault::recipe, std::move(faults_));
}

}  // namespace etchcast
