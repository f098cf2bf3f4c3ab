#pragma once
/// \file turning.hpp — how far a twisted bar is turned along its length.

#include "tape/ring.hpp"

namespace etchcast {

/// Every section at x turned by rate * (x inside the part from .. to): a shear in x, no change of volume. The rate is
/// positive like a right-hand screw along +x.
struct Turning {
  double rate_rad_mm = 0, from = 0, to = 0;
};

/// A turning in numbers of the lanes' width. Whole turns are taken off x as lengths, in two pieces of which the first
/// has few digits: so products with whole numbers are exact, and far along a bar nothing is lost but what x has lost.
template <class Real>
class Turns {
 public:
  /// sign: 1 to turn, -1 to turn back.
  Turns(const Turning& turning, double sign)
      : from_(Real(turning.from)),
        length_(Real(turning.to - turning.from)),
        turns_mm_(Real(sign * turning.rate_rad_mm / kTurn)) {
    const double pitch = turning.rate_rad_mm == 0 ? 0 : sign * kTurn / turning.rate_rad_mm;
    const double spread = pitch * kSpread, few = spread - (spread - pitch);
    pitch_ = Real(few), pitch_rest_ = Real(pitch - few);
  }
  /// Quarter turns at x, whole turns left out: -2 .. 2.
  Real quarters(Real x) const {
    const Real along = x - from_, inside = along < 0 ? Real(0) : (along > length_ ? length_ : along);
    const Real turns = (inside * turns_mm_ + kMagic) - kMagic;
    return ((inside - turns * pitch_) - turns * pitch_rest_) * (4 * turns_mm_);
  }
  /// Their growth per mm.
  Real slope(Real x) const {
    const Real along = x - from_;
    return (along < 0) | (along > length_) ? Real(0) : 4 * turns_mm_;
  }

 private:
  static constexpr double kTurn = 2 * squaring::kPi;
  static constexpr double kSpread = sizeof(Real) == 4 ? 0x1p41 + 1 : 0x1p27 + 1;               // leaves 12 digits, 26
  static constexpr Real kMagic = sizeof(Real) == 4 ? Real(12582912) : Real(6755399441055744);  // as in sine_cosine
  Real from_, length_, turns_mm_, pitch_, pitch_rest_;
};

}  // namespace etchcast
