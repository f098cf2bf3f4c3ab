// Collects what is wrong with a recipe, to tell it all at once.

#include "recipe/faults.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace etchcast {
namespace {

constexpr std::size_t kMostTold = 200;  // a broken 4 MB file would otherwise answer with hundreds of megabytes

}  // namespace

void Faults::add(Spot spot, std::string key, std::string message, std::string hint) {
  if (faults_.size() == kMostTold) {
    ++untold_;
    return;
  }
  faults_.push_back(
      {document_.place(spot), std::move(key), std::move(message), std::move(hint), document_.excerpt(spot)});
}

void Faults::throw_if_any() {
  if (faults_.empty()) return;
  std::stable_sort(faults_.begin(), faults_.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::pair(a.place.line, a.place.column) < std::pair(b.place.line, b.place.column);
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
