// The way over the rings in several short loops.
#include "tape/section_map.hpp"

#include "tape/squaring.hpp"

namespace etchcast {

namespace {

/// Places on rings, and what is found on the way there and back.
template <class Real>
struct Rings {
  alignas(64) Real a2[kLanes], tangent[kLanes];                // place in the square, folded
  alignas(64) Real k[kLanes];                                  // square of rho, nearly
  alignas(64) Real rho[kLanes], rho_p[kLanes], rho_q[kLanes];  // and on its ring
  alignas(64) Real along[kLanes], along_p[kLanes], along_q[kLanes];

  SquarePlace<Real> place(int i) const { return {a2[i], tangent[i]}; }
  OnRing<Real> ring(int i) const { return {{rho[i], rho_p[i], rho_q[i]}, {along[i], along_p[i], along_q[i]}}; }
  void set(int i, const SquarePlace<Real>& place) { a2[i] = place.a2, tangent[i] = place.tangent; }
  void set(int i, const OnRing<Real>& ring) {
    rho[i] = ring.rho.v, rho_p[i] = ring.rho.dp, rho_q[i] = ring.rho.dq;
    along[i] = ring.along.v, along_p[i] = ring.along.dp, along_q[i] = ring.along.dq;
  }
};

/// A section's y and z as numbers of other units.
template <class Real>
struct Scale {
  Real y, z;
  Dual<Real> y_of(const Batch<Real>& points, int i) const {
    return {y * points.y[i], y * points.yp[i], y * points.yq[i]};
  }
  Dual<Real> z_of(const Batch<Real>& points, int i) const {
    return {z * points.z[i], z * points.zp[i], z * points.zq[i]};
  }
  void put(const Dual<Real>& y_new, const Dual<Real>& z_new, Batch<Real>& points, int i) const {
    points.y[i] = y * y_new.v, points.yp[i] = y * y_new.dp, points.yq[i] = y * y_new.dq;
    points.z[i] = z * z_new.v, points.zp[i] = z * z_new.dp, points.zq[i] = z * z_new.dq;
  }
};

template <class Real>
void leave(const RingedSection& section, const Batch<Real>& points, Rings<Real>& r) {
  const Scale<Real> unit{Real(1 / section.half_width), Real(1 / section.half_thickness)};
  if (!section.square) {
    lane_by_lane([&points, &r, unit](int i) { r.rho[i] = circle_through(unit.y * points.y[i], unit.z * points.z[i]); });
    lane_by_lane(
        [&points, &r, unit](int i) { r.set(i, ring_from_disc(r.rho[i], unit.y_of(points, i), unit.z_of(points, i))); });
    return;
  }
  lane_by_lane([&points, &r, unit](int i) {
    const SquarePlace<Real> place = square_place(unit.y * points.y[i], unit.z * points.z[i]);
    r.set(i, place);
    r.k[i] = near_ring(place);
  });
  lane_by_lane([&r](int i) { r.k[i] = ring_through(r.k[i], r.place(i)); });
  lane_by_lane([&points, &r, unit](int i) {
    r.set(i, ring_from_square(r.k[i], r.place(i), unit.y_of(points, i), unit.z_of(points, i)));
  });
}

template <class Real>
void turn(const Turns<Real>& turns, const Batch<Real>& points, Rings<Real>& r) {
  lane_by_lane([&points, &r, turns](int i) {
    const Real x = points.x[i], swept = 2 * r.rho[i] * turns.slope(x);
    r.along[i] += turns.quarters(x);
    r.along_p[i] += swept * points.xp[i];
    r.along_q[i] += swept * points.xq[i];
  });
}

template <class Real>
void enter(const RingedSection& section, Rings<Real>& r, Batch<Real>& points) {
  const Scale<Real> size{Real(section.half_width), Real(section.half_thickness)};
  if (!section.square) {
    lane_by_lane([&points, &r, size](int i) {
      Dual<Real> y, z;
      disc_from_ring(r.ring(i), y, z);
      size.put(y, z, points, i);
    });
    return;
  }
  lane_by_lane([&r](int i) {
    r.k[i] = squaring::at_most_one(r.rho[i] * r.rho[i]);
    r.tangent[i] = near_tangent(r.k[i], r.along[i]);
  });
  lane_by_lane([&r](int i) { r.tangent[i] = tangent_on(r.k[i], r.tangent[i], r.along[i]); });
  lane_by_lane([&points, &r, size](int i) {
    Dual<Real> y, z;
    square_from_ring(r.ring(i), r.k[i], r.tangent[i], y, z);
    size.put(y, z, points, i);
  });
}

class SectionMap final : public Map {
 public:
  SectionMap(const char* name, RingedSection before, RingedSection after, Turning turning)
      : name_(name), before_(before), after_(after), turning_(turning) {}
  void before_from_after(Batch<float>& b) const override { pass(b, after_, before_, -1); }
  void before_from_after(Batch<double>& b) const override { pass(b, after_, before_, -1); }
  void after_from_before(Batch<float>& b) const override { pass(b, before_, after_, 1); }
  void after_from_before(Batch<double>& b) const override { pass(b, before_, after_, 1); }
  const char* name() const override { return name_; }

 private:
  template <class Real>
  void pass(Batch<Real>& points, const RingedSection& in, const RingedSection& out, double sign) const {
    Rings<Real> rings;
    leave(in, points, rings);
    if (turning_.rate_rad_mm != 0) turn(Turns<Real>(turning_, sign), points, rings);
    enter(out, rings, points);
  }
  const char* name_;
  RingedSection before_, after_;
  Turning turning_;
};

}  // namespace

MapPtr section_map(RingedSection before, RingedSection after) {
  return std::make_shared<SectionMap>("section", before, after, Turning{});
}
MapPtr twist_map(RingedSection before, RingedSection after, Turning turning) {
  return std::make_shared<SectionMap>("twist", before, after, turning);
}

}  // namespace etchcast
