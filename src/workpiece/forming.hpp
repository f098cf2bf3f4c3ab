#pragma once
/// \file forming.hpp — what dies, punches, cutters and hammers do to the faces of a bar.

#include <functional>
#include <optional>

#include "workpiece/workpiece.hpp"

namespace etchcast {

/// The shape a tool gives to a face: how far below the untouched level of the face the tool's surface lies, mm; negative
/// where it does not reach the metal.
struct ToolFace {
  bool ridged = true;
  double angle_rad = 0;                               ///< ridged: direction of u
  std::function<double(double)> along;                ///< ridged: reach over u
  std::function<double(double, double)> over;         ///< else: reach over x, y
  double feature_mm = 1;                              ///< smallest thing on it, sets the fineness of tables
  double reach(double x, double y) const;
};

struct ToolPair {
  std::optional<ToolFace> bottom, top;
};

/// Presses tools into the faces by plane sections. `held`: the bar may not lengthen, so untouched faces rise.
///   Errors  refuses at `key` where the tools meet or leave less than a twentieth of the thickness.
void press_faces(Workpiece& w, const ToolPair& tools, bool held, const Arguments& arguments, std::string_view key);

/// Refuses tools that leave less than a twentieth of the thickness between them.
void need_metal(double left, double thickness, const Measures& say, const Arguments& arguments, std::string_view key);

/// Cuts the tools' shape out of the faces; no metal moves.
void cut_faces(Workpiece& w, const ToolPair& tools, const Arguments& arguments, std::string_view key);

/// Forges an uneven bar between flat dies to `thickness`, by plane sections: flat where that is at most its thinnest section,
/// else its hollows stay.
void forge_flat(Workpiece& w, double thickness, const Arguments& arguments);

/// The present uneven faces forged flat in thought, by plane sections: a bar of that thickness, as long as its volume asks.
/// Metal at the heel's corner, u = 0, stays.
MapPtr evened(const Bar& bar, double thickness, bool preview = false);

/// Thinnest and mean height between the faces.
struct Heights {
  double least = 0, mean = 0, most = 0;
};
Heights heights(const Bar& bar);

}  // namespace etchcast
