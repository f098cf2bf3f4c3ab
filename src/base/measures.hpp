#pragma once
/// \file measures.hpp — sizes, heats and masses as a message says them: in both systems, the smith's own first.

#include <initializer_list>
#include <string>

#include "etchcast/recipe.hpp"

namespace etchcast {

class Measures {
 public:
  explicit Measures(System first) : first_(first) {}

  /// "12.7 mm (0.50 in)", "0.18 mm (0.007 in)", "481 mm (18.9 in)"; in an inch shop "0.50 in (12.7 mm)".
  ///   Units     mm.
  ///   Accuracy  as a calliper or a tape reads at that size: to 0.01 mm below 2 mm, 0.1 mm below 100 mm, else 1 mm.
  std::string length(double mm) const;
  /// Sizes that something is cut to: "152.4 x 40.0 mm (6.00 x 1.57 in)".
  std::string to_cut(std::initializer_list<double> mm) const;
  /// Thickness of plate or sheet as it is sold: "3.175 mm (0.125 in)", "1.6 mm (0.063 in)".
  std::string gauge(double mm) const;
  /// "0.20 to 0.50 mm (0.008 to 0.020 in)", as many decimals as the larger one has.
  std::string between(double low_mm, double high_mm) const;
  /// Of sizes along one line: "38.1 x 9.5 mm (1.50 x 0.38 in)".
  std::string lengths(std::initializer_list<double> mm) const;

  /// Of what the acid takes: "15 um (0.0006 in)".
  ///   Units  mm.
  std::string relief(double mm) const;

  /// "1260 C (2300 F)". A heat that somebody wrote down, in C or in F, stays as written; the other figure is rounded
  /// to what a forge can hold, 5 C or 10 F.
  std::string heat(double celsius) const;
  /// "800 to 815 C (1475 to 1500 F)".
  std::string heats(double low_c, double high_c) const;

  /// "124 g (4.4 oz)", from a kilogram "1.24 kg (2.73 lb)".
  std::string mass(double grams) const;

  /// How many of something stand in a length: "12 in a cm (30 in an inch)".
  ///   Units  1/mm.
  std::string in_a_length(double per_mm) const;

  System first() const { return first_; }

 private:
  std::string both(std::string metric, std::string inch) const;
  System first_;
};

}  // namespace etchcast
