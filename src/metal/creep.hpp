#pragma once
/// \file creep.hpp — one moment of the pressing: the velocity that a slow, rate-dependent metal takes between its dies.
///
/// Plane strain, no change of volume, flow stress = (rate of shear)^m, no elasticity. Of all motions that keep volume
/// and respect the dies the metal takes the one of least
///   integral of (g^2 + small^2)^((m+1)/2) / (m+1) dA,  g^2 = 4 e_xx^2 + (2 e_xz)^2
/// (Hill 1950; for m = 1 Helmholtz's theorem on slow viscous flow). Volume is kept exactly by a stream function:
///   u = d psi/dz, w = -d psi/dx, psi = stretch * xi * z + lift * xi + sum c_ik B_i(xi) N_k(sigma),
/// xi = x / half repeat, sigma = (z - b) / (s - b): unknowns are c, `lift` (the bar moves up or down) and `stretch`
/// (rate of the half repeat; that no force acts on the ends is then the natural condition of the minimum).
///
/// Round about an axis the same holds with x = r^2 / 2, for which dx dz is volume: u is then r times the radial speed, and
///   g^2 = 3 e_s^2 + e_d^2 + (2 e_rz)^2,  e_s, e_d = e_rr + e_hoop, e_rr - e_hoop.

#include <string>
#include <vector>

#include "etchcast/error.hpp"
#include "metal/band.hpp"
#include "metal/basis.hpp"

namespace etchcast::metal {

/// Thrown where a finer mesh may help.
class NotFound : public Error {
 public:
  explicit NotFound(const std::string& why)
      : Error(Fault::recipe, "the flow of the metal under these dies cannot be found: " + why,
              "press less deep, or use flow = \"plane\"") {}
};

/// Faces and half repeat of the bar at this moment.
struct Shape {
  Face bottom, top;
  double half = 0.5;
  bool round = false;  ///< x = r^2 / 2 about an axis
};

/// Cells of the mesh and numbering of the unknowns.
struct Mesh {
  Mesh(int along, int through, bool mirrored, bool axis) : x(along, mirrored, axis), s(through) {}
  RepeatBasis x;
  FaceBasis s;
  int size() const { return x.size() * s.size(); }
  int lift() const { return size(); }
  int stretch() const { return size() + 1; }
  /// The shorter side is counted first: a narrower band. A ring is counted from one place both ways in turn, so that
  /// neighbours are at most six numbers apart.
  int index(int i, int k) const {
    if (along_first()) return k * x.size() + i;
    const int j = x.mirrored() ? i : 2 * i < x.size() ? 2 * i : 2 * (x.size() - 1 - i) + 1;
    return j * s.size() + k;
  }
  int half_width() const {
    if (along_first()) return 3 * x.size() + (x.mirrored() ? 3 : x.size() - 1);
    return (x.mirrored() ? 3 : 6) * s.size() + 3;
  }
  bool along_first() const { return x.size() <= (x.mirrored() ? 1 : 2) * s.size(); }
};

/// A condition on the velocity at a face: rate = sum of value * unknown - target.
struct Row {
  enum class Kind {
    limit,  ///< rate <= 0: metal may leave the die, not enter it
    fixed,  ///< rate = 0
    stick,  ///< rate = 0 where its `contact` presses
    drag    ///< shear stress `drag` * (rate)^m where its `contact` presses
  } kind = Kind::limit;
  int contact = -1;  ///< stick, drag: number of the row that must press; -1: always
  double weight = 0, target = 0, drag = 0;
  int count = 0;
  int index[10];
  double value[10];
  void add(int i, double v) { index[count] = i, value[count++] = v; }
};

class Creep {
 public:
  /// `sensitivity`: m, 0.05 .. 1. `held`: stretch = 0.
  Creep(int along, int through, bool mirrored, double sensitivity, bool held, bool round = false);
  const Mesh& mesh() const { return mesh_; }
  void set_shape(const Shape& shape);
  /// Finds the velocity, starting from the last one.
  ///   Errors  NotFound if it does not settle.
  void solve(const std::vector<Row>& rows);
  /// True where row `r` of the last solve() pressed.
  bool presses(int r) const { return active_[size_t(r)] != 0; }
  double stretch() const { return v_[size_t(mesh_.stretch())]; }

  struct Velocity {
    double u, w;
  };
  Velocity velocity(double x, double z) const { return velocity_at(x, z, -1); }
  /// On the lower (sigma = 0) or upper (1) face at x.
  Velocity at_face(double x, double sigma) const;
  int iterations() const { return iterations_; }

 private:
  Velocity velocity_at(double x, double z, double sigma) const;
  void place_point(int cell, int layer, int point);
  void place_round_point(size_t number, double x, const double* speed, const double* bend);
  void number_cells();
  void assemble(bool secant);
  void gather_cell(size_t cell, bool secant);
  void pin();
  void assemble_rows(const std::vector<Row>& rows);
  double pull() const;
  void gather_hoops(size_t cell, bool secant);
  void scatter(size_t cell, const double* matrix);
  void rates_of(const std::vector<double>& v, std::vector<double>& rates, std::vector<double>& hoops) const;
  void viscosities(const std::vector<double>& rates, double step, std::vector<double>& result) const;
  double dissipation();
  double energy_slope(double step, const std::vector<Row>& rows);
  double stiffness_of(const Row& row, double rate) const;
  double rate_of(const Row& row, const std::vector<double>& v) const;
  bool mark_active(const std::vector<Row>& rows, bool keep_grip);
  double search(const std::vector<Row>& rows, double slope);

  Mesh mesh_;
  double sensitivity_;
  bool held_, cold_ = true;
  Shape shape_;
  BorderedBand equations_;
  std::vector<double> v_, gradient_, change_;
  std::vector<double> stretching_, shearing_;  ///< 2 e_xx and 2 e_xz of the 16 functions at each point of integration
  std::vector<double> hoop_;                   ///< round: e_d, while `stretching_` is sqrt(3) e_s
  std::vector<double> area_;                   ///< weight of each point
  std::vector<double> rates_, rate_changes_, tried_;  ///< 2 e_xx, 2 e_xz at each point
  std::vector<double> hoops_, hoop_changes_;          ///< e_d at each point; empty unless round
  std::vector<double> row_rates_, row_changes_;
  std::vector<char> active_;
  std::vector<int> numbers_;  ///< unknowns of the 16 functions of each cell
  std::vector<double> viscosity_, trial_;  ///< flow stress over rate at each point, now and at a step tried
  /// Where the lower half of a cell's matrix goes in the band, 136 places a cell; and what goes there twice, since a mirror
  /// folds two functions onto one unknown.
  struct Twice {
    int entry;
    std::size_t place;
  };
  std::vector<std::size_t> places_;
  std::vector<Twice> twice_;
  std::vector<int> first_twice_;  ///< of each cell
  int iterations_ = 0;
};

}  // namespace etchcast::metal
