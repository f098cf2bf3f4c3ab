#pragma once
/// \file coefficients.hpp — the numbers of a table twice: as doubles for probes and tests, as floats for pictures, of
/// which twice as many fit in a register.

#include <utility>
#include <vector>

namespace etchcast {

class Coefficients {
 public:
  Coefficients() = default;
  explicit Coefficients(std::vector<double> exact)
      : exact_(std::move(exact)), quick_(exact_.begin(), exact_.end()) {}

  const std::vector<double>& exact() const { return exact_; }
  /// The first of them, in the precision that a loop calculates in.
  template <class Real>
  const Real* data() const {
    if constexpr (sizeof(Real) == sizeof(float))
      return quick_.data();
    else
      return exact_.data();
  }

 private:
  std::vector<double> exact_;
  std::vector<float> quick_;
};

}  // namespace etchcast
