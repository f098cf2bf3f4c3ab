// Numbers on the command line.
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "etchcast/error.hpp"

namespace etchcast::cli {
namespace {

constexpr double kCoarsest = 0.2, kFinest = 2000;  // px/mm; an etched layer of 1 um is two pixels wide at the finest

/// The number at the head of `text`, moved past; NaN if there is none.
double take_number(std::string_view& text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  double value = NAN;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec != std::errc() || !std::isfinite(value)) return NAN;
  text.remove_prefix(size_t(result.ptr - text.data()));
  while (text.starts_with(' ')) text.remove_prefix(1);
  return value;
}

}  // namespace

double read_resolution(const std::string& text, const std::string& option) {
  std::string_view rest = text;
  const double value = take_number(rest);
  while (rest.ends_with(' ')) rest.remove_suffix(1);
  const bool per_mm = rest == "px/mm", per_inch = rest == "px/in" || rest == "dpi" || rest == "ppi";
  if (!std::isfinite(value) || (!per_mm && !per_inch))
    throw Error(Fault::use, fmt::format("{} \"{}\" is not understood", option, text),
                "write \"12 px/mm\", \"300 px/in\" or \"300 dpi\"");
  const double px_per_mm = per_mm ? value : value / 25.4;
  if (px_per_mm < kCoarsest || px_per_mm > kFinest)
    throw Error(Fault::use, fmt::format("{} {:.6g} px/mm is out of reach", option, px_per_mm),
                fmt::format("give {:g} to {:g} px/mm ({:.0f} to {:.0f} dpi); 20 px/mm shows all that the eye sees",
                            kCoarsest, kFinest, kCoarsest * 25.4, kFinest * 25.4));
  return px_per_mm;
}

std::vector<double> read_numbers(const std::string& option, const std::string& text, size_t count) {
  std::vector<double> numbers;
  std::string_view rest = text;
  while (numbers.size() < count) {
    const double value = take_number(rest);
    const bool last = numbers.size() + 1 == count;
    if (!std::isfinite(value) || (last ? !rest.empty() : !rest.starts_with(',')) || std::abs(value) > 1e6) break;
    numbers.push_back(value);
    if (!last) rest.remove_prefix(1);
  }
  if (numbers.size() < count)
    throw Error(Fault::use, fmt::format("{} \"{}\" is not understood", option, text),
                fmt::format("write {} numbers in mm with commas between them and no blanks, e.g. {}", count,
                            count == 2 ? "75,12.5" : "75,0,1.2"));
  return numbers;
}

}  // namespace etchcast::cli
