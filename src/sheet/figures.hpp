#pragma once
/// \file figures.hpp — quantities as they stand on the sheet: metric and inch, C and F, side by side.

#include <string>
#include <utility>

#include "base/measures.hpp"
#include "etchcast/step.hpp"

namespace etchcast {

/// Measures that no line break parts from their units; only before the bracket.
class Figures {
 public:
  explicit Figures(System first) : say_(first) {}
  std::string length(double mm) const { return tied(say_.length(mm)); }
  std::string to_cut(std::initializer_list<double> mm) const { return tied(say_.to_cut(mm)); }
  std::string gauge(double mm) const { return tied(say_.gauge(mm)); }
  std::string lengths(std::initializer_list<double> mm) const { return tied(say_.lengths(mm)); }
  std::string span(double low_mm, double high_mm) const { return tied(say_.between(low_mm, high_mm)); }
  std::string heat(double celsius) const { return tied(say_.heat(celsius)); }
  std::string mass(double grams) const { return tied(say_.mass(grams)); }
  /// Any quantity; lengths, temperatures and twists in both systems.
  std::string quantity(double value, Unit unit) const;
  System first() const { return say_.first(); }

 private:
  static std::string tied(std::string text);
  Measures say_;
};

/// "10.0 x 40.0 mm (0.39 x 1.57 in)" as its two parts, without the brackets.
std::pair<std::string, std::string> apart(const std::string& both);

/// With a capital first; and with a full stop last.
std::string capitalised(std::string text);
std::string sentence(std::string text);

/// Nearest sixteenth of an inch, or a dash for what is thinner than that.
std::string sixteenths(double mm);
/// "27.2", with as many decimals as a calliper reads at that size.
std::string mm_figure(double mm);
/// "1.071", in inch, thousandths.
std::string inch_figure(double mm);
/// "27.2 mm (1.071 in)", without idle noughts: "8 mm (0.315 in)".
std::string both_lengths(double mm);
/// "1260 °C (2300 °F)", whole degrees.
std::string both_heats(double celsius);
/// "800–815 °C (1472–1499 °F)".
std::string both_heats(double low_c, double high_c);

}  // namespace etchcast
