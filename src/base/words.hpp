#pragma once
/// \file words.hpp — words in messages: quoting what was written, and finding the word that was meant.

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace etchcast {

/// The text in double quotes, cut to a readable length, control characters shown as '?'.
std::string in_quotes(std::string_view text);

/// The text with control characters shown as '?', tabs as blanks: a terminal must not take them for commands.
std::string printable(std::string_view text);

/// A path as one word of a shell's command line: in single quotes if it needs them.
std::string shell_word(std::string_view path);

/// "a, b or c", cut after thirty words.
std::string one_of(std::span<const std::string_view> words);

/// The known word most like `word`, or an empty view if none is near. Letters' case does not count; neighbours swapped
/// count as one slip.
std::string_view nearest_word(std::string_view word, std::span<const std::string_view> known);

/// A hint for a word that is not known: `did you mean "depth"?`, or the list of what is known.
std::string hint_for_unknown(std::string_view word, std::span<const std::string_view> known);

/// "a|b|c" as three words. The views point into `choices`.
std::vector<std::string_view> split_choices(std::string_view choices);

/// A plain number as a smith writes it: no exponent below 10^15 for whole ones, at most six figures otherwise.
std::string number_text(double number);

}  // namespace etchcast
