#pragma once
/// \file html.hpp — text and pictures as HTML.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "etchcast/picture.hpp"

namespace etchcast {

/// Safe between tags and within quotes: & < > " ' written out, control characters but line feed and tab as a blank.
std::string escaped(std::string_view text);

/// RFC 4648, section 4.
std::string base64(std::span<const std::uint8_t> bytes);

/// An <img> with the picture within, as wide on paper as what it shows is, times `scale`.
std::string picture_html(const Image& image, double scale, std::string_view alt);

/// A square to tick.
inline constexpr std::string_view kBox = "<span class=\"box\"></span>";

}  // namespace etchcast
