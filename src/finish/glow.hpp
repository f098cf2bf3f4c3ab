#pragma once
/// \file glow.hpp — what a row's metal and film look like, and the lamps on it, put together to light.

#include "etchcast/picture.hpp"
#include "finish/reflectance.hpp"
#include "finish/scratches.hpp"
#include "finish/studio.hpp"

namespace etchcast {

/// Sums over the steels of one row.
struct Mix {
  Row metal[3], film[3];
  Row per_total;  ///< 1 / the shares' sum; 0 without metal
  void fit_to(int columns);
};

/// `start` is the field's index of the row's first pixel, here and below.
void mix_row(const Field& field, const std::vector<Surface>& surfaces, size_t start, Stretch in, Mix& mix);

/// What lights one row.
struct Lamps {
  Row key, spread, flank;
  void fit_to(int columns);
};

/// `drift` is Studio::drift of each column.
void fill_lamps(const Field& field, size_t start, Stretch in, const Studio& studio, const Row& drift, float up_mm,
                const Marks& marks, Lamps& lamps);
/// Mixes in the lamps as the ground beyond each crease of a row sees them.
void mix_creases(const Field& field, size_t start, Stretch in, const Studio& studio, const Row& drift, float up_mm,
                 const Marks& marks, Lamps& lamps);
void fill_flanks(const Field& field, const std::vector<float>& height, size_t start, Stretch in, Lamps& lamps);

/// Light of a row, in planes of red, green and blue.
void light_row(const Mix& mix, const Marks& marks, const Lamps& lamps, Stretch in, Row (&rgb)[3]);
/// Tones without light.
void plain_row(const Mix& mix, Stretch in, Row (&rgb)[3]);

}  // namespace etchcast
