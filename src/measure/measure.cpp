// Shares, lines and repeats of a picture.
#include "etchcast/measure.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "etchcast/error.hpp"
#include "measure/repeats.hpp"
#include "measure/texture.hpp"

namespace etchcast {
namespace {

constexpr double kLeast = 3;                     // mm of metal either way
constexpr double kSquare = 10;                   // mm; sides of the squares between which the bright share is compared
constexpr float kDark = 0.35f, kBright = 0.65f;  // a line begins below the one and ends above the other

struct Shares {
  double mean = 0, spread = 0;
};

Shares shares_of(const Tones& t) {
  const int across = std::max(1, int(std::round(t.columns / t.px_per_mm / kSquare)));
  const int down = std::max(1, int(std::round(t.rows / t.px_per_mm / kSquare)));
  std::vector<double> bright(size_t(across) * down, 0), metal(bright.size(), 0);
  for (int r = 0; r < t.rows; ++r)
    for (int c = 0; c < t.columns; ++c) {
      const size_t at = size_t(r) * t.columns + c, square = size_t(r * down / t.rows) * across + c * across / t.columns;
      bright[square] += double(t.bright[at]) * t.metal[at], metal[square] += t.metal[at];
    }
  double b = 0, m = 0, sum = 0, square_sum = 0, count = 0;
  const double full = double(t.columns) * t.rows / double(bright.size());
  for (size_t i = 0; i < bright.size(); ++i) {
    b += bright[i], m += metal[i];
    if (metal[i] < full / 2) continue;
    const double share = bright[i] / metal[i];
    sum += share, square_sum += share * share, ++count;
  }
  const double mean = count > 0 ? sum / count : 0;
  return {m > 0 ? b / m : 0,
          count > 1 ? std::sqrt(std::max(0.0, (square_sum / count - mean * mean) * count / (count - 1))) : 0};
}

/// Dark lines met along `count` pixels that lie `stride` apart, and the metal passed, pixels.
struct Met {
  double lines = 0, metal = 0;
};

Met met_along(const Tones& t, size_t start, int count, size_t stride) {
  Met met;
  int state = 0;  // 0 not known yet, 1 bright, -1 dark
  for (int i = 0; i < count; ++i) {
    const size_t at = start + size_t(i) * stride;
    if (t.metal[at] < 0.5f) {
      state = 0;
      continue;
    }
    met.metal += 1;
    const int now = t.bright[at] < kDark ? -1 : t.bright[at] > kBright ? 1 : state;
    if (now != state && state != 0) met.lines += 0.5;
    state = now;
  }
  return met;
}

double lines_per_mm(const Tones& t, bool rows) {
  Met all;
  const int lines = rows ? t.rows : t.columns;
  for (int i = 0; i < lines; ++i) {
    const Met met =
        rows ? met_along(t, size_t(i) * t.columns, t.columns, 1) : met_along(t, size_t(i), t.rows, size_t(t.columns));
    all.lines += met.lines, all.metal += met.metal;
  }
  return all.metal > 0 ? all.lines / all.metal * t.px_per_mm : 0;
}

void need_metal(const Tones& t) {
  int columns = 0, rows = 0;
  for (int r = 0; r < t.rows; ++r) {
    const auto row = t.metal.begin() + long(r) * t.columns;
    const int metal = int(std::count_if(row, row + t.columns, [](float m) { return m > 0.5f; }));
    columns = std::max(columns, metal), rows += metal > 0;
  }
  if (std::min(columns, rows) / t.px_per_mm < kLeast)
    throw Error(Fault::use,
                fmt::format("there is too little metal to measure: {:.1f} x {:.1f} mm", columns / t.px_per_mm,
                            rows / t.px_per_mm),
                "measure a part of at least 3 x 3 mm (1/8 x 1/8 in)");
}

}  // namespace

Figures measure(const Tones& tones) {
  need_metal(tones);
  Figures f;
  const Shares shares = shares_of(tones);
  f.bright = shares.mean, f.bright_spread = shares.spread;
  f.lines_along = lines_per_mm(tones, true), f.lines_across = lines_per_mm(tones, false);
  f.repeats = repeats_of(texture_of(tones));
  if (f.repeats.size() == 2) f.neighbours_mm = neighbours_of(f.repeats[0], f.repeats[1]);
  return f;
}

Tones part_of(const Tones& tones, const Part& part) {
  const double px = tones.px_per_mm;
  const int left = std::max(0, int(std::lround(part.x * px))),
            right = std::min(tones.columns, int(std::lround((part.x + part.width) * px)));
  const int top = std::max(0, tones.rows - int(std::lround((part.y + part.height) * px))),
            bottom = std::min(tones.rows, tones.rows - int(std::lround(part.y * px)));
  if (left >= right || top >= bottom)
    throw Error(Fault::use, "that part lies outside the picture",
                fmt::format("the picture is {:.1f} x {:.1f} mm; a part is X,Y,WIDTH,HEIGHT in mm", tones.columns / px,
                            tones.rows / px));
  Tones cut{right - left, bottom - top, px, {}, {}};
  for (int r = top; r < bottom; ++r)
    for (const auto& [from, to] : {std::pair{&tones.bright, &cut.bright}, {&tones.metal, &cut.metal}})
      to->insert(to->end(), from->begin() + long(r) * tones.columns + left,
                 from->begin() + long(r) * tones.columns + right);
  return cut;
}

}  // namespace etchcast
