#pragma once
/// \file contact.hpp — where the dies stand at a moment of their travel, and what they ask of the velocity.

#include <vector>

#include "metal/creep.hpp"
#include "metal/problem.hpp"

namespace etchcast::metal {

/// One face's tool during the pressing. `sign` = 1 for the upper face, -1 for the lower.
class Die {
 public:
  /// `level`: of the untouched face; `rate`: share of the stroke done in a unit of time.
  Die(const Tool& tool, int sign, std::function<double(double)> before, double level, double rate);
  const Tool& tool() const { return tool_; }
  /// Height of the tool's surface at x; `travel` 0 .. 1 is the share of the stroke done, `half` the half repeat now.
  double height(double x, double half, double travel) const;
  /// Half repeat at the end of the stroke, to which forms are cut.
  void set_half_after(double half_after) { half_after_ = half_after; }
  double slope(double x, double half, double travel) const;
  /// Share of the ends' speed with which the tool moves at x.
  double carried(double xi) const { return tool_.kind == Tool::Kind::ridge ? tool_.nearest(xi) : xi; }
  int sign() const { return sign_; }
  /// Where a cell along is kept out of the die: once for forms, so that conditions and coefficients are as many; twice
  /// for limits, which press only where they must.
  int points() const { return tool_.kind == Tool::Kind::form ? 1 : 2; }
  double rate() const { return rate_; }

 private:
  Tool tool_;
  int sign_;
  std::function<double(double)> before_;
  double level_, rate_, half_after_ = 0;
};

/// Gaps between face and tool at the middles of the cells, >= 0 where open.
std::vector<double> gaps(const Mesh& mesh, const Shape& shape, const Die& die, double travel);

/// What a die asks: one row a cell along, then the rows of friction. `allowed`: how far the face may still approach the
/// die in the time `step`, at each cell.
void add_rows(const Mesh& mesh, const Shape& shape, const Die& die, double travel, const std::vector<double>& allowed,
              double step, double friction, std::vector<Row>& rows);

}  // namespace etchcast::metal
