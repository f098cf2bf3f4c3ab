// Ac1, Ac3, Ms, retained austenite, tempering parameter.

#include "steels/transformation.hpp"

#include <cmath>
#include <stdexcept>

namespace etchcast {
namespace {

constexpr double kZeroC = 273.15;

// The formulas are fits to low-alloy steels: alloys of 5 % together is where the fitted set ended, value from memory.
bool low_alloy(const Steel& s, double carbon_most) {
  const double alloys =
      s.manganese + s.silicon + s.chromium + s.nickel + s.molybdenum + s.vanadium + s.tungsten + s.copper;
  return s.carbon >= 0 && s.carbon <= carbon_most && alloys <= 5;
}

// [Andrews, J. Iron Steel Inst. 203 (1965) 721], as quoted by Krauss, Steels: Heat Treatment and Processing Principles.
// A page that adds -23.4 C to Ac1 and makes Ac3 linear in carbon shows another formula under this name.
double andrews_ac1(const Steel& s) {
  return 723 - 10.7 * s.manganese - 16.9 * s.nickel + 29.1 * s.silicon + 16.9 * s.chromium + 6.38 * s.tungsten;
}

double andrews_ac3(const Steel& s) {
  return 910 - 203 * std::sqrt(s.carbon) - 15.2 * s.nickel + 44.7 * s.silicon + 104 * s.vanadium + 31.5 * s.molybdenum +
         13.1 * s.tungsten;
}

// Above some 0.6 % C the fitted Ac3 falls below Ac1 (0.95 % C: 721 against 725), which no steel does.
bool andrews_holds(const Steel& s) { return low_alloy(s, 0.6) && andrews_ac3(s) > andrews_ac1(s); }

}  // namespace

Estimate ac1_c(const Steel& steel) { return {andrews_ac1(steel), andrews_holds(steel)}; }

Estimate ac3_c(const Steel& steel) { return {andrews_ac3(steel), andrews_holds(steel)}; }

// Signs: value from memory. Manganese and chromium lower Ac3; one page prints the bracket with all its signs turned.
Estimate ac3_long_c(const Steel& steel) {
  return {andrews_ac3(steel) - 30 * steel.manganese - 11 * steel.chromium, andrews_holds(steel)};
}

// [Andrews 1965, linear form]; chromium's and molybdenum's terms: value from memory.
Estimate martensite_start_c(const Steel& s) {
  return {539 - 423 * s.carbon - 30.4 * s.manganese - 17.7 * s.nickel - 12.1 * s.chromium - 7.5 * s.molybdenum,
          low_alloy(s, 0.6)};
}

// [Steven & Haynes 1956], value from memory.
Estimate martensite_start_second_c(const Steel& s) {
  return {561 - 474 * s.carbon - 33 * s.manganese - 17 * s.nickel - 17 * s.chromium - 21 * s.molybdenum,
          low_alloy(s, 0.5)};
}

// [Koistinen & Marburger, Acta Metall. 7 (1959) 59]
double retained_austenite(double martensite_start, double quench_c) {
  return quench_c >= martensite_start ? 1 : std::exp(-0.011 * (martensite_start - quench_c));
}

// [Hollomon & Jaffe, Trans. AIME 162 (1945) 223]
double tempering_parameter(double celsius, double hours, double constant) {
  if (!(hours > 0)) throw std::domain_error("a temper of no time has no parameter");
  return (celsius + kZeroC) * (constant + std::log10(hours)) / 1000;
}

double equal_temper_c(double parameter, double hours, double constant) {
  if (!(hours > 0) || constant + std::log10(hours) <= 0)
    throw std::domain_error("no temperature does that in so short a time");
  return 1000 * parameter / (constant + std::log10(hours)) - kZeroC;
}

double equal_temper_hours(double parameter, double celsius, double constant) {
  if (!(celsius > -kZeroC)) throw std::domain_error("below absolute zero");
  return std::pow(10, 1000 * parameter / (celsius + kZeroC) - constant);
}

}  // namespace etchcast
