// Asking a bar: faces, leaves, origins of points.
#include <algorithm>
#include <cmath>

#include "tape/map.hpp"
#include "workpiece/relief.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

namespace {

double round_face(double diameter, double y, double* slope_x, double* slope_y) {
  const double r = diameter / 2, inside = std::clamp(y, -r * 0.9999, r * 0.9999), z = std::sqrt(r * r - inside * inside);
  if (slope_x) *slope_x = 0;
  if (slope_y) *slope_y = -inside / z;
  return z;
}

double relief_face(const Relief& relief, double x, double y, double* slope_x, double* slope_y) {
  const auto s = relief.sample(x, y);
  if (slope_x) *slope_x = s.slope_x;
  if (slope_y) *slope_y = s.slope_y;
  return s.height;
}

/// Number of leaves a bar brings along, its own included.
int leaf_count(const Bar& bar) {
  std::vector<const Bar*> seen;
  int count = 1;
  for (const Inset& inset : bar.bands.insets) {
    if (std::find(seen.begin(), seen.end(), inset.bar.get()) != seen.end()) continue;
    seen.push_back(inset.bar.get());
    count += leaf_count(*inset.bar);
  }
  return count;
}

/// First leaf number of inset k; insets of the same bar share their leaves.
int first_leaf(const Bar& bar, int k) {
  int next = 1;
  std::vector<const Bar*> seen;
  for (int i = 0;; ++i) {
    const Bar* child = bar.bands.insets[i].bar.get();
    if (std::find(seen.begin(), seen.end(), child) == seen.end()) {
      if (child == bar.bands.insets[k].bar.get()) return next;
      seen.push_back(child);
      next += leaf_count(*child);
    }
  }
}

/// Sends the lanes that lie in inset k on into the child bar.
template <class Real>
void descend(const Bar& bar, int k, const int* band, const Batch<Real>& at, Origins<Real>& out) {
  const Inset& inset = bar.bands.insets[k];
  Batch<Real> sub;
  int lanes[kLanes], n = 0;
  for (int i = 0; i < kLanes; ++i)
    if (bar.bands.what[band[i]] == -1 - k) lanes[n++] = i;
  if (n == 0) return;
  for (int j = 0; j < kLanes; ++j) {
    const int i = lanes[std::min(j, n - 1)];
    const double middle = (bar.bands.edges[band[i]] + bar.bands.edges[band[i] + 1]) / 2 - bar.bands.total() / 2;
    const Real sx = Real(inset.scale[0]), sy = Real(inset.scale[1]), sz = Real(inset.scale[2]);
    sub.x[j] = sx * at.x[i] + Real(inset.shift[0]), sub.xp[j] = sx * at.xp[i], sub.xq[j] = sx * at.xq[i];
    sub.y[j] = sy * at.y[i] + Real(inset.shift[1]), sub.yp[j] = sy * at.yp[i], sub.yq[j] = sy * at.yq[i];
    sub.z[j] = sz * (at.z[i] - Real(middle)) + Real(inset.shift[2]), sub.zp[j] = sz * at.zp[i], sub.zq[j] = sz * at.zq[i];
  }
  Origins<Real> below;
  inset.bar->origins(sub, below);
  const int base = first_leaf(bar, k);
  for (int j = 0; j < n; ++j) {
    const int i = lanes[j];
    out.s[i] = below.s[j], out.sp[i] = below.sp[j], out.sq[i] = below.sq[j], out.leaf[i] = base + below.leaf[j];
  }
}

template <class Real>
void find_origins(const Bar& bar, Batch<Real>& b, Origins<Real>& out) {
  for (auto map = bar.maps.rbegin(); map != bar.maps.rend(); ++map) (*map)->before_from_after(b);
  const Real half = Real(bar.bands.total() / 2), total = Real(bar.bands.total());
  for (int i = 0; i < kLanes; ++i) {
    const Real s = b.z[i] + half;
    out.s[i] = s < 0 ? Real(0) : (s > total ? total : s);  // rounding at a face must not leave the metal
    out.sp[i] = b.zp[i];
    out.sq[i] = b.zq[i];
    out.leaf[i] = 0;
  }
  if (bar.bands.insets.empty()) return;
  int band[kLanes];
  for (int i = 0; i < kLanes; ++i) band[i] = bar.bands.at(out.s[i]);
  for (int k = 0; k < int(bar.bands.insets.size()); ++k) descend(bar, k, band, b, out);
}

}  // namespace

bool Bar::even() const { return top->form() == Relief::Form::flat && bottom->form() == Relief::Form::flat; }

double Bar::top_at(double x, double y, double* slope_x, double* slope_y) const {
  if (section == Section::round) return round_face(thickness_mm, y, slope_x, slope_y);
  return relief_face(*top, x, y, slope_x, slope_y);
}

double Bar::bottom_at(double x, double y, double* slope_x, double* slope_y) const {
  if (section == Section::rect) return relief_face(*bottom, x, y, slope_x, slope_y);
  const double z = -round_face(thickness_mm, y, slope_x, slope_y);
  if (slope_y) *slope_y = -*slope_y;
  return z;
}

std::vector<const BandList*> Bar::leaves() const {
  std::vector<const BandList*> all{&bands};
  std::vector<const Bar*> seen;
  for (const Inset& inset : bands.insets) {
    if (std::find(seen.begin(), seen.end(), inset.bar.get()) != seen.end()) continue;
    seen.push_back(inset.bar.get());
    const auto below = inset.bar->leaves();
    all.insert(all.end(), below.begin(), below.end());
  }
  return all;
}

void Bar::origins(Batch<float>& points, Origins<float>& out) const { find_origins(*this, points, out); }
void Bar::origins(Batch<double>& points, Origins<double>& out) const { find_origins(*this, points, out); }

std::vector<Pick> Bar::picks(const std::vector<Point<double>>& points) const {
  std::vector<Pick> result(points.size());
  const auto all = leaves();
  auto batch = std::make_unique<Batch<double>>();
  auto origin = std::make_unique<Origins<double>>();
  for (size_t first = 0; first < points.size(); first += kLanes) {
    const size_t n = std::min<size_t>(kLanes, points.size() - first);
    *batch = {};
    for (size_t i = 0; i < kLanes; ++i) {
      const auto& p = points[first + std::min(i, n - 1)];
      batch->x[i] = p.x, batch->y[i] = p.y, batch->z[i] = p.z;
    }
    origins(*batch, *origin);
    for (size_t i = 0; i < n; ++i) {
      const BandList& list = *all[origin->leaf[i]];
      const int band = list.at(origin->s[i]);
      result[first + i] = {origin->leaf[i], origin->s[i], band + 1, list.what[band]};
    }
  }
  return result;
}

}  // namespace etchcast
