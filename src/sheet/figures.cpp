// Quantities in both systems.
#include "sheet/figures.hpp"

#include <cctype>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/units.hpp"

namespace etchcast {
namespace {

constexpr double kInch = 25.4;  // mm, exactly [NIST SP 811]

constexpr std::string_view kTied = "\u00A0";  // no line breaks between a figure and its unit

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

}  // namespace

std::string capitalised(std::string text) {
  if (!text.empty()) text[0] = char(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string sentence(std::string text) {
  text = capitalised(std::move(text));
  return text.empty() || text.ends_with('.') ? text : text + ".";
}

std::string sixteenths(double mm) { return mm < kInch / 16 - 0.1 ? "–" : inch_fraction(mm); }

std::string mm_figure(double mm) { return fmt::format("{:.{}f}", mm, std::abs(mm) < 10 ? 2 : 1); }

std::string inch_figure(double mm) { return fmt::format("{:.3f}", mm / kInch); }

std::string both_lengths(double mm) {
  if (std::abs(mm) < 0.1) return fmt::format("{:.0f}{}µm ({:.2f}{}thou)", mm * 1000, kTied, mm / kInch * 1000, kTied);
  std::string figure = mm_figure(mm);
  figure.erase(figure.find_last_not_of('0') + 1);
  if (figure.ends_with('.')) figure.pop_back();
  return fmt::format("{}{}mm ({}{}in)", figure, kTied, inch_figure(mm), kTied);
}

std::string both_heats(double celsius) {
  return fmt::format("{:.0f}{}°C ({:.0f}{}°F)", celsius, kTied, fahrenheit(celsius), kTied);
}

std::string both_heats(double low_c, double high_c) {
  if (std::round(low_c) == std::round(high_c)) return both_heats(low_c);
  return fmt::format("{:.0f}–{:.0f}{}°C ({:.0f}–{:.0f}{}°F)", low_c, high_c, kTied, fahrenheit(low_c),
                     fahrenheit(high_c), kTied);
}

std::string Figures::tied(std::string text) {
  std::string out;
  for (size_t i = 0; i < text.size(); ++i)
    out += text[i] == ' ' && text.compare(i, 2, " (") != 0 ? std::string(kTied) : std::string(1, text[i]);
  return out;
}

std::string Figures::quantity(double value, Unit unit) const {
  switch (unit) {
    case Unit::length:
      return length(value);
    case Unit::temperature:
      return heat(value);
    case Unit::turns_per_length: {
      const std::string in_100 = fmt::format("{:.3g} turns in 100 mm", value / (2 * std::numbers::pi) * 100);
      const std::string in_inch = fmt::format("{:.3g} turns an inch", value / (2 * std::numbers::pi) * kInch);
      return first() == System::inch ? fmt::format("{} ({})", in_inch, in_100)
                                     : fmt::format("{} ({})", in_100, in_inch);
    }
    default:
      return quantity_text(value, unit);
  }
}

std::pair<std::string, std::string> apart(const std::string& both) {
  const size_t at = both.find(" (");
  return at == std::string::npos ? std::pair{both, std::string()}
                                 : std::pair{both.substr(0, at), both.substr(at + 2, both.size() - at - 3)};
}

}  // namespace etchcast
