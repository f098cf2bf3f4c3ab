// Words in messages: quoting, lists, and the nearest known word by edit distance.

#include "base/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace etchcast {
namespace {

constexpr std::size_t kLongestQuote = 60;
constexpr std::size_t kLongestWord = 40;  // longer ones are no slips of the finger; keeps the comparison bounded
constexpr std::size_t kLongestList = 30;

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& letter : result) letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  return result;
}

// Optimal string alignment: insert, delete, replace, or swap two neighbours.
int edit_distance(const std::string& a, const std::string& b) {
  std::vector<int> before_last, last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = static_cast<int>(j);
  before_last = last;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
    before_last.swap(last);
    last.swap(row);
  }
  return last[b.size()];
}

}  // namespace

std::string in_quotes(std::string_view text) {
  std::string shown(text.substr(0, kLongestQuote));
  if (text.size() > kLongestQuote) {
    // Never cut inside a UTF-8 character.
    while (!shown.empty() && (static_cast<unsigned char>(text[shown.size()]) & 0xC0) == 0x80) shown.pop_back();
    shown += "...";
  }
  return "\"" + printable(shown) + "\"";
}

std::string printable(std::string_view text) {
  std::string shown;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const auto next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0;
    const bool high_control = byte == 0xC2 && next >= 0x80 && next < 0xA0;  // U+0080 to U+009F, "C1" to a terminal
    if (high_control) ++i;
    shown += byte == '\t' ? ' ' : byte < 0x20 || byte == 0x7F || high_control ? '?' : text[i];
  }
  return shown;
}

std::string shell_word(std::string_view path) {
  constexpr std::string_view kPlain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_./:@%+=,-";
  const auto plain = [&](char c) { return static_cast<unsigned char>(c) >= 0x80 || kPlain.find(c) != std::string_view::npos; };
  const std::string head = path.starts_with('-') && path != "-" ? "./" : "";  // else it would be taken for an option
  if (!path.empty() && std::all_of(path.begin(), path.end(), plain)) return printable(head + std::string(path));
  std::string word = "'" + head;
  for (const char c : path) word += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return printable(word + "'");
}

std::string one_of(std::span<const std::string_view> words) {
  std::string list;
  const std::size_t shown = std::min(words.size(), kLongestList);
  for (std::size_t i = 0; i < shown; ++i) {
    if (i > 0) list += i + 1 == words.size() ? " or " : ", ";
    list += words[i].substr(0, kLongestWord);
  }
  if (shown < words.size()) list += " ...";
  return list;
}

std::string_view nearest_word(std::string_view word, std::span<const std::string_view> known) {
  if (word.size() > kLongestWord) return {};
  const std::string sought = lower(word);
  int best = 2 + static_cast<int>(word.size()) / 3;
  std::string_view nearest;
  for (const std::string_view candidate : known) {
    if (candidate.size() > kLongestWord) continue;
    const int distance = edit_distance(sought, lower(candidate));
    // A word of which every letter is changed is not meant, however short.
    if (distance >= best || distance >= static_cast<int>(std::max(word.size(), candidate.size()))) continue;
    best = distance;
    nearest = candidate;
  }
  return nearest;
}

std::string hint_for_unknown(std::string_view word, std::span<const std::string_view> known) {
  const std::string_view nearest = nearest_word(word, known);
  if (!nearest.empty()) return fmt::format("did you mean {}?", in_quotes(nearest));
  return known.empty() ? std::string() : "known here: " + one_of(known);
}

std::vector<std::string_view> split_choices(std::string_view choices) {
  std::vector<std::string_view> words;
  while (!choices.empty()) {
    const std::size_t end = std::min(choices.find('|'), choices.size());
    words.push_back(choices.substr(0, end));
    choices.remove_prefix(std::min(end + 1, choices.size()));
  }
  return words;
}

std::string number_text(double number) {
  const bool whole = std::abs(number) < 1e15 && std::floor(number) == number;
  return whole ? fmt::format("{:.0f}", number) : fmt::format("{:.6g}", number);
}

}  // namespace etchcast
