#pragma once
/// \file relief.hpp — the height of one face of a bar: flat, ridged along one direction, or any shape.

#include <functional>
#include <limits>
#include <memory>
#include <vector>

#include "base/layer_table.hpp"
#include "base/spline.hpp"

namespace etchcast {

class RepeatingSpline;

/// Height of a face over the bar, mm. Immutable and cheap to copy through shared tables.
class Relief {
 public:
  enum class Form { flat, ridged, free };

  static Relief flat(double height);
  /// Height depends only on u = x cos(angle) + y sin(angle); tabulated over [from, to] at `step`.
  static Relief ridged(double angle_rad, double from, double to, double step, const std::function<double(double)>& height);
  /// Any height over 0..length, -width/2..width/2; told at even places from edge to edge, x fastest.
  static Relief free(double length, double width, int columns, int rows, const std::vector<double>& heights);
  /// The same, tabulated at about `step`.
  static Relief free(double length, double width, double step, const std::function<double(double, double)>& height);
  /// A free form whose heights repeat over a grid, however long the bar is; highest and lowest are told of the bar.
  static Relief repeating(const Grid2& grid, const std::vector<double>& heights, double length, double width);

  Form form() const { return form_; }
  double angle() const { return angle_; }
  double lowest() const { return lowest_ + offset_; }
  double highest() const { return highest_ + offset_; }
  /// From node to node of a free form's table, mm: what it shows is no finer.
  double step() const { return step_; }
  /// The same face, raised.
  Relief raised(double by) const;
  /// The face of the bar drawn out: along the bar, across it and through it, each by that factor.
  Relief stretched(double along, double across, double through) const;
  /// The face of the bar with so much cut off its heel end, mm.
  Relief cut_back(double heel_end) const;
  /// The face of a bar turned upside down about its length: -height(x, -y).
  Relief turned_over() const;
  /// What a plane leaves of the face: an upper face ends at that height, a lower one begins there.
  Relief planed(double plane, bool upper) const;
  /// A ridged face with its edges rounded: each height the mean of those within `reach`, the near ones counting most. Where
  /// a face repeats its mean stays. Other forms as they are.
  Relief rounded(double reach) const;
  /// Height and slopes at a place of the bar.
  struct Sample { double height, slope_x, slope_y; };
  Sample sample(double x, double y) const;
  double operator()(double x, double y) const { return sample(x, y).height; }

 private:
  Form form_ = Form::flat;
  void span(const std::vector<double>& heights);
  double offset_ = 0, tall_ = 1;  ///< height = tall * table + offset
  double angle_ = 0;
  /// Where a place of the bar stands in the table: ridged at along * x + across * y + shift, free at (along * x + shift,
  /// across * y).
  double along_ = 1, across_ = 0, shift_ = 0;
  double lowest_ = 0, highest_ = 0;  ///< less the offset
  double step_ = 0;
  double least_ = -std::numeric_limits<double>::infinity(), most_ = -least_;  ///< planes that a free form was cut to
  Spline1 ridge_;
  std::shared_ptr<const Spline2> field_;
  std::shared_ptr<const RepeatingSpline> repeating_;
};

}  // namespace etchcast
