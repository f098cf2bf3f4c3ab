// Bars as the acid leaves them: band lists with their seams moved.
#include "plate/eaten.hpp"

#include <cmath>
#include <map>

#include "coverage/mask.hpp"
#include "etchcast/metallurgy.hpp"

namespace etchcast {
namespace {

/// Turns the first derivative of each point into that along the way into the metal, a unit long.
void face_inward(Batch<double>& b) {
  for (int i = 0; i < kLanes; ++i) {
    // p runs to the right and q up as the eye sees them, so that p x q points at the eye.
    const double x = b.yp[i] * b.zq[i] - b.zp[i] * b.yq[i], y = b.zp[i] * b.xq[i] - b.xp[i] * b.zq[i],
                z = b.xp[i] * b.yq[i] - b.yp[i] * b.xq[i];
    const double length = std::max(std::sqrt(x * x + y * y + z * z), 1e-12);
    b.xp[i] = -x / length, b.yp[i] = -y / length, b.zp[i] = -z / length;
  }
}

/// The same list for every length of one bar, so that they still share a leaf.
class Eater {
 public:
  Eater(const std::vector<Steel>& steels, const EtchPlan& etch, const std::vector<Lean>& leans)
      : steels_(steels), etch_(etch), leans_(leans) {}

  Bar operator()(const Bar& bar) {
    Bar now = bar;
    const Lean lean = leans_[leaf_++];
    if (now.bands.insets.empty()) {
      const double depth = etch_.depth_mm * contrast_left(now.bands, steels_);
      now.bands = etched_bands(etched_bands(now.bands, steels_, depth * lean.rising), steels_, -depth * lean.falling);
    }
    std::map<const Bar*, std::shared_ptr<const Bar>> done;
    for (Inset& inset : now.bands.insets) {
      auto& eaten = done[inset.bar.get()];
      if (!eaten) eaten = std::make_shared<const Bar>((*this)(*inset.bar));
      inset.bar = eaten;
    }
    return now;
  }

 private:
  const std::vector<Steel>& steels_;
  const EtchPlan& etch_;
  const std::vector<Lean>& leans_;
  size_t leaf_ = 0;  ///< in the order of Bar::leaves()
};

}  // namespace

std::vector<Lean> lean_under(const View& view, const Bar& bar) {
  constexpr int kAcross = 64, kUp = 24;
  std::vector<double> u, v;
  for (int r = 0; r < kUp; ++r)
    for (int c = 0; c < kAcross; ++c) {
      const double at = (c + 0.5) * view.width() / kAcross, up = (r + 0.5) * view.height() / kUp;
      if (inside(view.outline(), at, up)) u.push_back(at), v.push_back(up);
    }
  std::vector<Lean> leans(bar.leaves().size());
  std::vector<int> count(leans.size(), 0);
  Batch<double> batch;
  Origins<double> origin;
  for (size_t first = 0; first < u.size(); first += kLanes) {
    const size_t n = std::min<size_t>(kLanes, u.size() - first);
    double us[kLanes], vs[kLanes];
    for (size_t i = 0; i < size_t(kLanes); ++i)
      us[i] = u[first + std::min(i, n - 1)], vs[i] = v[first + std::min(i, n - 1)];
    float right[kLanes], up[kLanes];
    view.points(us, vs, kLanes, batch, right, up);
    face_inward(batch);
    bar.origins(batch, origin);
    for (size_t i = 0; i < n; ++i) {
      const auto leaf = size_t(origin.leaf[i]);
      (origin.sp[i] > 0 ? leans[leaf].rising : leans[leaf].falling) += std::abs(origin.sp[i]);
      ++count[leaf];
    }
  }
  for (size_t l = 0; l < leans.size(); ++l)
    if (count[l] > 0) leans[l].rising /= count[l], leans[l].falling /= count[l];
  return leans;
}

Bar eaten(const Bar& bar, const View& view, const std::vector<Steel>& steels, const EtchPlan& etch) {
  if (etch.depth_mm <= 0) return bar;
  const std::vector<Lean> leans = lean_under(view, bar);
  return Eater(steels, etch, leans)(bar);
}

}  // namespace etchcast
