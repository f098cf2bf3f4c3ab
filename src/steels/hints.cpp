// What was meant by a steel's name that is not known: by sense, never by likeness of letters across families.

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "base/words.hpp"
#include "steels/sheets.hpp"

namespace etchcast {
namespace {

/// Words of the trade that name a kind of metal and no one grade; separated by '|'.
struct Sense {
  std::string_view words, hint;
};

constexpr Sense kSenses[] = {
    {"mild|mild steel|low carbon steel|soft steel|structural steel|A36|S235",
     "mild steel is \"1018\". It does not harden"},
    {"carbon steel|high carbon|high carbon steel|plain carbon steel|10xx|steel",
     "the usual dark steels are \"1084\", \"1080\", \"1075\" and \"1095\": write the number it was sold by"},
    {"tool steel|oil hardening steel", "tool steels known here are \"O1\", \"O2\", \"W1\", \"W2\" and \"L6\""},
    {"spring steel|spring|leaf spring|coil spring",
     "spring steel may be \"5160\", \"1075\" or another: write the number it was sold by"},
    {"bearing steel|bearing|ball bearing", "bearing steel mostly is \"52100\": write the number it was sold by"},
    {"scrap|file|old file|saw blade|chain|chainsaw chain|cable|wire rope|rebar|railroad spike",
     "nobody knows what scrap holds. Stack steel that was sold by a number"},
    {"nickel|pure nickel|nickel foil|nickel sheet|Ni|Ni200|Nickel 201|N02201",
     "pure nickel is \"Nickel 200\" (N02200); nickel steels are \"15N20\" (75Ni8) and \"A203E\""},
    {"nickel steel|bright|bright steel", "the usual bright steel is \"15N20\" (75Ni8)"},
    {"stainless|stainless steel|inox|ss",
     "stainless jackets are \"410\", \"420\" or \"304\"; \"AEB-L\" and \"X65Cr13\" harden as a core. Write the number "
     "it was "
     "sold by"},
    {"damascus|damascus steel|damask|pattern welded steel|pattern weld",
     "damascus is no steel but a bar of several: forge it as a [[billet]] of its own, further up, and lay it into the "
     "stack by "
     "that billet's name"},
    {"iron|pure iron|wrought-iron|puddled iron|bloomery iron|bloomery",
     "iron is \"wrought iron\" here. It does not harden"},
    {"cast iron", "cast iron melts at a welding heat and breaks under the hammer: it does not go into a stack"},
    {"brass|bronze|nickel silver|silver|gold|mokume",
     "it melts far below the welding heat of steel. Of such metals only copper (\"C11000\") is known here"},
    {"titanium|aluminium|aluminum", "it does not forge-weld to steel"},
    {"C80|CS80|EN42|EN42J", "strip steels near it are \"1080\", \"C75S\" and \"C85S\""},
    {"01|02", "write it with the letter O: \"O1\", \"O2\""},
};

std::string lower(std::string_view word) {
  std::string text;
  for (const unsigned char c : word)
    if (c != ' ' && c != '-') text += char(std::tolower(c));
  return text;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Words with the same key may be taken for one another: "10" of 1055, "3" of 304L, "1.4" of 1.4301, "#ni#" of 75Ni8.
std::string family_of(std::string_view name) {
  const std::string word = lower(name);
  const size_t digits = std::find_if_not(word.begin(), word.end(), is_digit) - word.begin();
  if (digits == word.size() && (digits == 4 || digits == 5)) return word.substr(0, 2);
  if (digits == 3) return word.substr(0, 1);
  if (digits == 1 && word.size() > 3 && word[1] == '.') return word.substr(0, 3);
  std::string pattern;
  for (const char c : word)
    if (!is_digit(c))
      pattern += c;
    else if (!pattern.ends_with('#'))
      pattern += '#';
  if (pattern.starts_with("c#")) return "c#";
  const bool unified = word.size() == 6 && pattern.size() == 2;  // S30400: a number of the unified system, no family
  return pattern.find('#') == std::string::npos || unified ? "" : pattern;
}

std::string of_its_kind(std::string_view word) {
  const std::string family = family_of(word);
  if (family.empty()) return {};
  std::string known;
  for (const SteelSheet& sheet : steel_sheets())
    for (const std::string_view name : names_of(sheet))
      if (family_of(name) == family) known += fmt::format("{}{}", known.empty() ? "" : ", ", in_quotes(name));
  return known.empty() ? "" : "known of its kind: " + known;
}

/// The hint of a word of the trade, slips of the pen allowed.
std::string by_sense(std::string_view word) {
  std::vector<std::string_view> known;
  for (const Sense& sense : kSenses)
    for (const std::string_view one : split_choices(sense.words)) {
      if (lower(one) == lower(word)) return std::string(sense.hint);
      known.push_back(one);
    }
  if (std::any_of(word.begin(), word.end(), is_digit)) return {};
  for (const SteelSheet& sheet : steel_sheets())
    for (const std::string_view name : names_of(sheet))
      if (std::none_of(name.begin(), name.end(), is_digit)) known.push_back(name);
  const std::string_view nearest = nearest_word(word, known);
  if (nearest.empty()) return {};
  for (const Sense& sense : kSenses)
    for (const std::string_view one : split_choices(sense.words))
      if (one == nearest) return std::string(sense.hint);
  return fmt::format("did you mean {}?", in_quotes(nearest));
}

}  // namespace

std::string steel_hint(std::string_view word, const GradeBook* own) {
  std::vector<std::string_view> mine;
  if (own)
    for (const SteelSheet& sheet : own->sheets())
      for (const std::string_view name : names_of(sheet))
        if (family_of(name) == family_of(word)) mine.push_back(name);
  const std::string_view nearest = nearest_word(word, mine);
  if (!nearest.empty()) return fmt::format("did you mean {}?", in_quotes(nearest));
  const std::string sense = by_sense(word);
  return sense.empty() ? of_its_kind(word) : sense;
}

}  // namespace etchcast
