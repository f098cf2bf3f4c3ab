#pragma once
/// \file text_scan.hpp — what is asked of a recipe's bytes before they are read as TOML.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "recipe/document.hpp"

namespace etchcast {

/// The lines without their ends (LF or CR LF).
std::vector<std::string> split_lines(std::string_view text);

/// The run of comment lines at the top, without '#' and one blank; blank lines before it are passed over.
std::string leading_comment(const std::vector<std::string>& lines);

/// Offset of the first byte that is not part of valid UTF-8.
std::optional<std::size_t> first_bad_utf8(std::string_view text);

/// Offset of the first control character that no recipe needs: all but tabs and the ends of lines. A terminal might take
/// them for commands. Those of two bytes, U+0080 to U+009F, count.
std::optional<std::size_t> first_control(std::string_view text);

/// Offset of the first key with more than `most` dots, outside strings and comments.
std::optional<std::size_t> first_deep_key(std::string_view text, int most);

/// Line and column of an offset.
Spot spot_at(std::string_view text, std::size_t offset);

}  // namespace etchcast
