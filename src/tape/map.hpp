#pragma once
/// \file map.hpp — one step's motion of the metal as a map of coordinates, both ways.
///
/// "before" and "after" are the bar's frames before and after the step. A picture asks before_from_after: where was this
/// metal? Maps are immutable; one object serves any number of threads.

#include <memory>

#include "base/clones.hpp"
#include "etchcast/batch.hpp"
#include "tape/dual.hpp"

namespace etchcast {

class Map {
 public:
  virtual ~Map() = default;
  virtual void before_from_after(Batch<float>& points) const = 0;
  virtual void before_from_after(Batch<double>& points) const = 0;
  virtual void after_from_before(Batch<float>& points) const = 0;
  virtual void after_from_before(Batch<double>& points) const = 0;
  virtual const char* name() const = 0;
};

using MapPtr = std::shared_ptr<const Map>;

/// A lane of a batch as a point, and back.
template <class Real>
inline Point<Dual<Real>> point_of(const Batch<Real>& b, int i) {
  return {{b.x[i], b.xp[i], b.xq[i]}, {b.y[i], b.yp[i], b.yq[i]}, {b.z[i], b.zp[i], b.zq[i]}};
}
template <class Real>
inline void put_point(const Point<Dual<Real>>& p, Batch<Real>& b, int i) {
  b.x[i] = p.x.v, b.xp[i] = p.x.dp, b.xq[i] = p.x.dq;
  b.y[i] = p.y.v, b.yp[i] = p.y.dp, b.yq[i] = p.y.dq;
  b.z[i] = p.z.v, b.zp[i] = p.z.dp, b.zq[i] = p.z.dq;
}

/// Runs `move` on every lane, derivatives included. One loop a map: measured faster than one fused loop over all maps,
/// whose long chain of dependent operations spills registers.
template <class Real, class Move>
ETCHCAST_CLONES void each_lane(Batch<Real>& b, Move move) {
#pragma GCC ivdep  // a motion's tables never overlap the batch
  for (int i = 0; i < kLanes; ++i) {
    Point<Dual<Real>> p = point_of(b, i);
    move(p);
    put_point(p, b, i);
  }
}

/// One short stage of a long motion, on every lane. The operations on one point hang on each other in a long chain, and only
/// beside a short loop's does a processor find room for those of the next points.
template <class Stage>
ETCHCAST_CLONES void lane_by_lane(const Stage& shared) {
  const Stage stage = shared;  // a copy of its own: numbers in it cannot change in the loop
#pragma GCC ivdep              // what a stage writes never overlaps what it reads of other lanes
  for (int i = 0; i < kLanes; ++i) stage(i);
}

/// Makes a Map of a class with two member templates
///   template <class Real> void before_from_after(Point<Dual<Real>>& p) const;
///   template <class Real> void after_from_before(Point<Dual<Real>>& p) const;
/// and a `static constexpr const char* kName`. A motion of several stages may take whole batches instead, Batch<Real>&.
template <class Motion>
class MapOf final : public Map {
 public:
  explicit MapOf(Motion motion) : motion_(std::move(motion)) {}
  void before_from_after(Batch<float>& b) const override { back(b); }
  void before_from_after(Batch<double>& b) const override { back(b); }
  void after_from_before(Batch<float>& b) const override { forth(b); }
  void after_from_before(Batch<double>& b) const override { forth(b); }
  const char* name() const override { return Motion::kName; }
  const Motion& motion() const { return motion_; }

 private:
  template <class Real>
  void back(Batch<Real>& b) const {
    if constexpr (requires { motion_.before_from_after(b); }) {
      motion_.before_from_after(b);
    } else {
      each_lane(b, [this](Point<Dual<Real>>& p) { motion_.before_from_after(p); });
    }
  }
  template <class Real>
  void forth(Batch<Real>& b) const {
    if constexpr (requires { motion_.after_from_before(b); }) {
      motion_.after_from_before(b);
    } else {
      each_lane(b, [this](Point<Dual<Real>>& p) { motion_.after_from_before(p); });
    }
  }
  Motion motion_;
};

template <class Motion>
MapPtr make_map(Motion motion) {
  return std::make_shared<MapOf<Motion>>(std::move(motion));
}

/// The same motion backwards: pressing a flat bar uneven, undone, is forging an uneven bar flat.
class Reversed final : public Map {
 public:
  explicit Reversed(MapPtr forward) : forward_(std::move(forward)) {}
  void before_from_after(Batch<float>& b) const override { forward_->after_from_before(b); }
  void before_from_after(Batch<double>& b) const override { forward_->after_from_before(b); }
  void after_from_before(Batch<float>& b) const override { forward_->before_from_after(b); }
  void after_from_before(Batch<double>& b) const override { forward_->before_from_after(b); }
  const char* name() const override { return "reversed"; }

 private:
  MapPtr forward_;
};

}  // namespace etchcast
