// Rockwell C and Vickers, by table.

#include <algorithm>
#include <iterator>

#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

struct Pair {
  double hrc, hv;
};

// [ASTM E140, table 1] 68-34, 30 and 20 as quoted by hardness conversion pages (52 is 544 and 40 is 392: one page
// prints 512 and 381); 33-31 and 29-21: value from memory.
constexpr Pair kTable[] = {
    {20, 238}, {21, 243}, {22, 248}, {23, 254}, {24, 260}, {25, 266}, {26, 272}, {27, 279}, {28, 286}, {29, 294},
    {30, 302}, {31, 310}, {32, 318}, {33, 327}, {34, 336}, {35, 345}, {36, 354}, {37, 363}, {38, 372}, {39, 382},
    {40, 392}, {41, 402}, {42, 412}, {43, 423}, {44, 434}, {45, 446}, {46, 458}, {47, 471}, {48, 484}, {49, 498},
    {50, 513}, {51, 528}, {52, 544}, {53, 560}, {54, 577}, {55, 595}, {56, 613}, {57, 633}, {58, 653}, {59, 674},
    {60, 697}, {61, 720}, {62, 746}, {63, 772}, {64, 800}, {65, 832}, {66, 865}, {67, 900}, {68, 940}};

std::optional<double> read(double value, double Pair::*from, double Pair::*to) {
  if (!(value >= kTable[0].*from && value <= (*std::rbegin(kTable)).*from)) return {};
  const Pair* above = std::lower_bound(std::begin(kTable) + 1, std::end(kTable) - 1, value,
                                       [&](const Pair& pair, double v) { return pair.*from < v; });
  const Pair& a = above[-1];
  return a.*to + (value - a.*from) / (above->*from - a.*from) * (above->*to - a.*to);
}

}  // namespace

std::optional<double> vickers_from_rockwell(double hrc) { return read(hrc, &Pair::hrc, &Pair::hv); }
std::optional<double> rockwell_from_vickers(double hv) { return read(hv, &Pair::hv, &Pair::hrc); }

}  // namespace etchcast
