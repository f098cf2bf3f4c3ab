// Exact area coverage of a polygon, row by row: each edge adds, in the pixels it crosses, the signed area to its right;
// a running sum along the row then fills the inside.
#include "coverage/mask.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

namespace etchcast {

namespace {

/// One edge within one row of pixels, in pixel units: from (x0, y0) to (x1, y1), 0 <= y <= 1, signed by direction.
void add_edge(float* row, int columns, double x0, double x1, double dy) {
  if (dy == 0) return;
  double lower = std::min(x0, x1), upper = std::max(x0, x1);
  if (upper <= 0) {
    row[0] += float(dy);
    return;
  }
  if (lower >= columns) return;
  const double slope = upper > lower ? dy / (upper - lower) : 0;
  if (lower < 0) {  // what lies left of the window counts in full
    row[0] += float(slope * -lower);
    dy -= slope * -lower;
    lower = 0;
  }
  upper = std::min(upper, double(columns));
  const int first = int(lower), last = std::min(int(std::ceil(upper)), columns);
  if (last - first <= 1) {
    // Within one pixel: the mean of its two ends decides how much lies to the right.
    const double part = upper > lower ? slope * (upper - lower) : dy, middle = (lower + upper) / 2 - first;
    row[first] += float(part * (1 - middle));
    if (first + 1 < columns) row[first + 1] += float(part * middle);
    return;
  }
  for (int i = first; i < last; ++i) {
    const double from = std::max(lower, double(i)), to = std::min(upper, double(i + 1));
    const double part = slope * (to - from), middle = (from + to) / 2 - i;
    row[i] += float(part * (1 - middle));
    if (i + 1 < columns) row[i + 1] += float(part * middle);
  }
}

constexpr int kBlock = 16;

/// Whether no edge added anything to a block of pixels.
bool untouched(const float* row) {
  unsigned any = 0;
  for (int k = 0; k < kBlock; ++k) any |= std::bit_cast<unsigned>(row[k]);
  return any == 0;
}

/// From what the edges added to what lies inside: a running sum, which does not change between edges.
void fill_row(float* row, int columns) {
  float sum = 0, share = 0;
  for (int c = 0; c < columns;) {
    if (c + kBlock <= columns && untouched(row + c)) {
      std::fill_n(row + c, kBlock, share);
      c += kBlock;
      continue;
    }
    for (const int last = std::min(c + kBlock, columns); c < last; ++c) {
      sum += row[c];
      row[c] = share = std::abs(sum) < 1e-5f ? 0.0f : std::min(1.0f, std::abs(sum));
    }
  }
}

/// Whether an edge of the outline may pass through the window; otherwise all its pixels are alike.
bool crosses(const std::vector<Eigen::Vector2d>& outline, const Grid& g) {
  const double right = g.left + g.columns * g.mm_per_px, foot = g.top - g.rows * g.mm_per_px;
  for (size_t k = 0; k < outline.size(); ++k) {
    const Eigen::Vector2d &a = outline[k], &b = outline[(k + 1) % outline.size()];
    if (std::max(a.x(), b.x()) > g.left && std::min(a.x(), b.x()) < right && std::max(a.y(), b.y()) > foot && std::min(a.y(), b.y()) < g.top) return true;
  }
  return false;
}

bool middle_inside(const std::vector<Eigen::Vector2d>& outline, const Grid& g) {
  return inside(outline, g.left + g.columns * g.mm_per_px / 2, g.top - g.rows * g.mm_per_px / 2);
}

}  // namespace

bool inside(const std::vector<Eigen::Vector2d>& outline, double x, double y) {
  bool in = false;
  for (size_t k = 0; k < outline.size(); ++k) {
    const Eigen::Vector2d &a = outline[k], &b = outline[(k + 1) % outline.size()];
    if ((a.y() > y) != (b.y() > y) && x < a.x() + (b.x() - a.x()) * (y - a.y()) / (b.y() - a.y())) in = !in;
  }
  return in;
}

bool covers(const std::vector<Eigen::Vector2d>& outline, const Grid& g) {
  return !crosses(outline, g) && middle_inside(outline, g);
}

bool polygon_mask(const std::vector<Eigen::Vector2d>& outline, const Grid& g, std::vector<float>& mask) {
  if (!crosses(outline, g)) {
    mask.assign(size_t(g.columns) * g.rows, middle_inside(outline, g) ? 1.0f : 0.0f);
    return true;
  }
  mask.assign(size_t(g.columns) * g.rows, 0.0f);
  const size_t n = outline.size();
  for (size_t k = 0; k < n; ++k) {
    const Eigen::Vector2d &a = outline[k], &b = outline[(k + 1) % n];
    double x0 = (a.x() - g.left) / g.mm_per_px, y0 = (g.top - a.y()) / g.mm_per_px;
    double x1 = (b.x() - g.left) / g.mm_per_px, y1 = (g.top - b.y()) / g.mm_per_px;
    const double sign = y1 > y0 ? 1 : -1;
    if (y1 < y0) std::swap(x0, x1), std::swap(y0, y1);
    if (y1 <= 0 || y0 >= g.rows || y1 == y0) continue;
    const double run = (x1 - x0) / (y1 - y0);
    for (int r = std::max(0, int(std::floor(y0))); r < g.rows && r < y1; ++r) {
      const double from = std::max(y0, double(r)), to = std::min(y1, double(r + 1));
      if (to <= from) continue;
      add_edge(&mask[size_t(r) * g.columns], g.columns, x0 + run * (from - y0), x0 + run * (to - y0), sign * (to - from));
    }
  }
  for (int r = 0; r < g.rows; ++r) fill_row(&mask[size_t(r) * g.columns], g.columns);
  return false;
}

}  // namespace etchcast
