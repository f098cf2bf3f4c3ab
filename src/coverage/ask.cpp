// Points on their way from a view to their origins.
#include "coverage/ask.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace etchcast {

namespace {

constexpr double kOff = 0.01;  // bands

template <class Real>
void narrow(const Batch<double>& from, Batch<Real>& to) {
  const double* in[] = {from.x, from.y, from.z, from.xp, from.yp, from.zp, from.xq, from.yq, from.zq};
  Real* out[] = {to.x, to.y, to.z, to.xp, to.yp, to.zp, to.xq, to.yq, to.zq};
  for (int k = 0; k < 9; ++k) std::copy_n(in[k], kLanes, out[k]);
}

template <class Real>
void answer(const Bar& bar, const Batch<double>& places, Answers& answers) {
  Batch<Real> batch;
  Origins<Real> origin;
  narrow(places, batch);
  bar.origins(batch, origin);
  std::copy_n(origin.s, kLanes, answers.s);
  std::copy_n(origin.sp, kLanes, answers.sp);
  std::copy_n(origin.sq, kLanes, answers.sq);
  std::copy_n(origin.leaf, kLanes, answers.leaf);
}

/// A batch of places spread over the bar by the golden ratio and its cube-root cousins, none on a face or an axis.
void spread(const Bar& bar, Batch<double>& b) {
  b = {};
  for (int i = 0; i < kLanes; ++i) {
    const auto part = [i](double step) { return std::fmod(0.5 + (i + 1) * step, 1.0) * 0.96 + 0.02; };
    b.x[i] = part(0.8191725134) * bar.length_mm;
    b.y[i] = (part(0.6710436067) - 0.5) * bar.width_mm;
    b.z[i] = (part(0.5497004779) - 0.5) * bar.thickness_mm;
  }
}

}  // namespace

void ask(const Bar& bar, const View& view, const double* u, const double* v, bool precise, Answers& answers) {
  Batch<double> places;
  view.points(u, v, kLanes, places, answers.right, answers.up);
  precise ? answer<double>(bar, places, answers) : answer<float>(bar, places, answers);
}

bool needs_double(const Bar& bar) {
  if (bar.maps.empty() && bar.bands.insets.empty()) return false;
  const auto places = std::make_unique<Batch<double>>();
  const auto quick = std::make_unique<Answers>(), exact = std::make_unique<Answers>();
  spread(bar, *places);
  answer<float>(bar, *places, *quick);
  answer<double>(bar, *places, *exact);
  const auto leaves = bar.leaves();
  int off = 0;
  for (int i = 0; i < kLanes; ++i) {
    const BandList& list = *leaves[size_t(exact->leaf[i])];
    off += std::abs(quick->s[i] - exact->s[i]) > kOff * list.total() / list.size();
  }
  return off > kLanes / 10;
}

}  // namespace etchcast
