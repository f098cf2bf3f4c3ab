// Text and pictures as HTML.
#include "sheet/html.hpp"

#include <fmt/format.h>

#include "etchcast/output.hpp"

namespace etchcast {

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default: {
        const auto byte = static_cast<unsigned char>(c);
        out += (byte < 0x20 && c != '\n' && c != '\t') || byte == 0x7F ? ' ' : c;
      }
    }
  return out;
}

std::string base64(std::span<const std::uint8_t> bytes) {
  constexpr std::string_view kDigits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (size_t i = 0; i < bytes.size(); i += 3) {
    const auto byte = [&](size_t k) { return i + k < bytes.size() ? std::uint32_t(bytes[i + k]) : 0u; };
    const std::uint32_t three = byte(0) << 16 | byte(1) << 8 | byte(2);
    for (int k = 0; k < 4; ++k) out += i + size_t(k) > bytes.size() ? '=' : kDigits[three >> (18 - 6 * k) & 63];
  }
  return out;
}

std::string picture_html(const Image& image, double scale, std::string_view alt) {
  return fmt::format(
      "<img style=\"width:{:.2f}mm\" width=\"{}\" height=\"{}\" alt=\"{}\" src=\"data:image/png;base64,{}\">",
      image.columns / image.px_per_mm * scale, image.columns, image.rows, escaped(alt), base64(png_bytes(image)));
}

}  // namespace etchcast
