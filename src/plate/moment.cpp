// Finding the step a picture is asked for.
#include <algorithm>

#include <fmt/format.h>

#include "etchcast/render.hpp"

namespace etchcast {

namespace {

[[noreturn]] void nothing_there(const Forging& forging, const std::string& at) {
  std::string all;
  for (const BilletStory& story : forging.billets)
    for (const LedgerRow& row : story.rows)
      all += fmt::format("\n  {}:{} {}{}", story.name, row.number, row.step, row.id.empty() ? "" : " (id " + row.id + ")");
  throw Error(Fault::use, fmt::format("no step '{}' in this recipe, or more than one", at), "there are:" + all);
}

}  // namespace

Moment find_moment(const Forging& forging, const std::string& at) {
  if (at.empty()) return {forging.billets.size() - 1, forging.billets.back().rows.size() - 1};
  size_t colon = std::string::npos;  // after a billet's name, which may hold a colon itself
  for (const BilletStory& story : forging.billets)
    if (at.starts_with(story.name + ":")) colon = story.name.size();
  const std::string billet = colon == std::string::npos ? "" : at.substr(0, colon);
  const std::string what = colon == std::string::npos ? at : at.substr(colon + 1);
  const bool number = !what.empty() && std::all_of(what.begin(), what.end(), [](char c) { return c >= '0' && c <= '9'; });
  std::vector<Moment> by_id, by_name;
  for (size_t b = 0; b < forging.billets.size(); ++b) {
    const BilletStory& story = forging.billets[b];
    if (!billet.empty() && story.name != billet) continue;
    if (number) {
      if (billet.empty() && b + 1 != forging.billets.size()) continue;
      if (what.size() < 7 && size_t(std::stoi(what)) < story.rows.size()) return {b, size_t(std::stoi(what))};
      continue;
    }
    for (size_t s = 0; s < story.rows.size(); ++s) {
      if (story.rows[s].id == what && !what.empty()) by_id.push_back({b, s});
      if (story.rows[s].step == what) by_name.push_back({b, s});
    }
  }
  if (by_id.size() == 1) return by_id[0];
  if (by_id.empty() && by_name.size() == 1) return by_name[0];
  nothing_there(forging, at);
}

}  // namespace etchcast
