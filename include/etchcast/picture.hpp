#pragma once
/// \file picture.hpp — from shares of steel in each pixel to light: etch, shade, plate.
/// Reads after: blade.hpp. Read next: output.hpp.

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "etchcast/forging.hpp"
#include "etchcast/recipe.hpp"

namespace etchcast {

/// A window of a seen surface: what each pixel's metal is, before any light falls on it.
/// View frame, mm: right and up as the picture is seen, `depth` toward the viewer. Row 0 is the top row.
/// A window is cut with `kHalo` pixels more on every side than will be lit, so that slopes need no special case.
struct Field {
  static constexpr int kHalo = 3;
  int columns = 0, rows = 0;   ///< with the halo
  int steels = 0;
  double mm_per_px = 0.05;
  double left_mm = 0, top_mm = 0;  ///< view position of the outer corner of pixel (0, 0)
  std::vector<float> mask;      ///< share of the pixel that is metal, rows x columns
  std::vector<float> coverage;  ///< steels planes of rows x columns; the planes add up to 1 where there is metal
  std::vector<float> slope_right, slope_up;  ///< slopes of the ground surface, d(depth)/d(right), d(depth)/d(up)
  std::vector<float> bare;      ///< share of the pixel's metal ground bright after the etch (the sharpened edge)
  std::vector<float> s;         ///< stack coordinate, mm, at the pixel's centre
  /// A pixel with ground of two slopes: `share` of its metal lies beyond a crease, where the slopes are so much greater.
  struct Crease {
    size_t pixel;
    float share, right, up;
  };
  std::vector<Crease> creases;  ///< in the order of the pixels
  size_t index(int row, int column) const { return size_t(row) * columns + column; }
  void resize(int new_columns, int new_rows, int new_steels);
};

/// Linear light (Rec. 709 primaries, 1 = paper white), rows x columns x 3. Not yet weighed by the mask: a pixel that is
/// half metal carries the whole light of its metal, one without metal is 0.
struct Light {
  int columns = 0, rows = 0;
  std::vector<float> rgb;
};

/// sRGB bytes, rows x columns x 3.
struct Image {
  int columns = 0, rows = 0;
  double px_per_mm = 20;
  std::vector<std::uint8_t> rgb;
};

/// The bands that show at the surface when the acid has gone `into_mm` (mm of stack, for a steel of attack 1) into layers
/// that lie flat under it. Positive: the stack rises into the metal.
///   Method  Straight down at each place, every steel as fast as its attack: a seam shows further out by what the steel
///           over it lost. A dark layer is eaten off the bright one below it, so bright grows by the relief and dark
///           shrinks by it, and a dark layer thinner than the relief is gone. Exact for layers that lie flat; layers that
///           stand on end (into_mm = 0) show as they are.
///   Shape   edges rise from 0 to the same total; bands that vanish are left out. Bands of earlier bars stay.
BandList etched_bands(const BandList& list, const std::vector<Steel>& steels, double into_mm);

/// Heights left by the acid, mm, 0 = the steel that is not attacked, negative below; same shape as the field.
/// The flank of a step is as wide as the step is deep, since the acid eats sideways too.
std::vector<float> etched_height(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch);

/// How the surface was finished before the etch: the direction of the last fine scratches; none: as the die left it, matt.
enum class Scratches { along, across, none };

/// Lights a field; the result leaves out the halo. Depends only on the field's values and its place in mm, never on how
/// a picture was cut into windows. `plain` gives tones without light.
Light shade(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch, Scratches scratches, bool plain);

/// The same for one window after another of surfaces finished alike: steels are looked at once, and the rows that are
/// worked on are used again. A thread has its own.
class Lighting {
 public:
  Lighting(std::vector<Steel> steels, EtchPlan etch, Scratches scratches, bool plain);
  ~Lighting();
  Light light(const Field& field);
  /// Lights a field and lays it onto the image, its upper left pixel (without the halo) at column, row; what lies beyond
  /// the image is left out. A pixel that is half metal keeps half the light that was there.
  void lay(const Field& field, Image& image, int column, int row);

 private:
  struct Desk;
  std::unique_ptr<Desk> desk_;
};

/// sRGB byte of a linear value (IEC 61966-2-1), clamped.
std::uint8_t srgb_byte(float linear);

/// The same for many values, about 1 ns each; `bytes` is as long as `linear`.
void srgb_bytes(std::span<const float> linear, std::span<std::uint8_t> bytes);

}  // namespace etchcast
