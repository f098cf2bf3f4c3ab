#pragma once
/// \file forge_helpers.hpp — short ways to a forged bar for the tests.

#include <string>

#include "etchcast/forging.hpp"
#include "tape/map.hpp"

namespace etchcast {

/// A recipe without losses and with a perfectly even hand: for exact cases.
inline std::string exact_recipe(const std::string& stack, const std::string& steps, const std::string& more = "",
                                const std::string& size = "width = \"40 mm\"\nlength = \"200 mm\"\n") {
  return "losses = false\n[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n[[billet]]\nname = \"bar\"\n" + size + stack + "\nsteps = [\n" +
         steps + "\n]\n" + more + "\n[hand]\neven = true\n";
}
/// Five plates of 2 mm, dark outside: T = 10 mm.
inline const std::string kFivePlates = "stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 2\ntop = \"dark 2 mm\"";

inline Forging forged(const std::string& text, const ForgeOptions& options = {}) { return forge(parse_recipe(text, "test.toml"), options); }

/// Sends points back to the flat bar; derivatives are along x (p) and y (q) of the present bar.
inline void to_flat(const Bar& bar, Batch<double>& b) {
  for (auto map = bar.maps.rbegin(); map != bar.maps.rend(); ++map) (*map)->before_from_after(b);
}
inline void from_flat(const Bar& bar, Batch<double>& b) {
  for (const auto& map : bar.maps) map->after_from_before(b);
}

/// Stack coordinate at one point.
inline double stack_at(const Bar& bar, double x, double y, double z) { return bar.picks({{x, y, z}})[0].s; }

}  // namespace etchcast
