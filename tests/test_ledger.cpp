// The books: figures of the trade, a table that fits a terminal, JSON that others can read.

#include <cstdlib>
#include <filesystem>
#include <sstream>

#include "books/json.hpp"
#include "catch.hpp"
#include "etchcast/check.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

std::string table(const std::string& text) {
  const Recipe recipe = parse_recipe(text, "test.toml");
  return ledger_text(recipe, forge(recipe));
}

std::string json(const std::string& text) {
  const Recipe recipe = parse_recipe(text, "test.toml");
  return ledger_json(recipe, forge(recipe));
}

bool holds(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

size_t longest_line(const std::string& text) {
  std::istringstream lines(text);
  std::string line;
  size_t longest = 0;
  while (std::getline(lines, line)) longest = std::max(longest, line.size());
  return longest;
}

/// A reader of JSON that only judges: RFC 8259, section by section.
class JsonJudge {
 public:
  explicit JsonJudge(const std::string& text) : text_(text) {}
  bool good() {
    const bool fine = value();
    blank();
    return fine && at_ == text_.size();
  }

 private:
  void blank() {
    while (at_ < text_.size() && std::string(" \t\n\r").find(text_[at_]) != std::string::npos) ++at_;
  }
  bool take(char c) {
    blank();
    if (at_ >= text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }
  bool string() {
    if (!take('"')) return false;
    for (; at_ < text_.size() && text_[at_] != '"'; ++at_) {
      if (static_cast<unsigned char>(text_[at_]) < 0x20) return false;
      if (text_[at_] == '\\') ++at_;
    }
    return at_++ < text_.size();
  }
  bool members(char end, bool keyed) {
    if (take(end)) return true;
    do
      if ((keyed && !(string() && take(':'))) || !value()) return false;
    while (take(','));
    return take(end);
  }
  bool value() {
    if (take('{')) return members('}', true);
    if (take('[')) return members(']', false);
    blank();
    if (at_ < text_.size() && text_[at_] == '"') return string();
    for (const std::string word : {"true", "false", "null"})
      if (text_.compare(at_, word.size(), word) == 0) return at_ += word.size(), true;
    char* end = nullptr;
    std::strtod(text_.c_str() + at_, &end);
    const size_t next = size_t(end - text_.c_str());
    return next > at_ ? (at_ = next, true) : false;
  }
  const std::string& text_;
  size_t at_ = 0;
};

const std::string kWeld = "{ do = \"weld\", heat = \"1260 C\", soak = \"8 min\", to = \"60 %\" }";

}  // namespace

TEST_CASE("ledger: a bar of 1 x 1 1/2 x 6 in weighs 1.158 kg", "[ledger]") {
  // Identity: 9 in3 at 7.85 g/cm3 are 1.15775 kg, 2.55 lb.
  const std::string text = exact_recipe("stack = [\"dark 1 in\"]", "{ do = \"grind\", thickness = \"25.4 mm\" }", "",
                                        "width = \"1 1/2 in\"\nlength = \"6 in\"\n");
  const Forging forging = forged(text);
  CHECK(forging.billets[0].rows[0].mass_g == Approx(1157.75).margin(0.01));
  CHECK(holds(table(text), "1.158"));
  CHECK(holds(table(text), "2.55"));
  CHECK(holds(table(text), "6 x 1 1/2 x 1"));
}

TEST_CASE("ledger: seven layers folded five times are 224 in name and 193 in fact", "[ledger]") {
  // Identity: n 2^m layers; where like faces meet and merge, (n - 1) 2^m + 1.
  std::string steps = "{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" }";
  for (int i = 0; i < 5; ++i)
    steps +=
        ",\n{ do = \"fold\" },\n{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" },\n{ do = \"draw\", thickness = \"8 "
        "mm\", width = \"40 mm\" }";
  const std::string text =
      exact_recipe("stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 3\ntop = \"dark 2 mm\"", steps);
  const LedgerRow row = forged(text).billets[0].rows.back();
  CHECK(row.nominal == 224);
  CHECK(row.layers_least == 193);
  CHECK(row.layers_most == 193);
  CHECK(holds(table(text), "224/193"));
}

TEST_CASE("ledger: heats in both scales, scale and soak under the row", "[ledger]") {
  const auto text = [](const std::string& first) {
    return table(first +
                 "[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n[[billet]]\nname = \"bar\"\nstack = [\"dark 3 mm\", \"bright 3 "
                 "mm\"]\nsteps = [{ do = \"weld\", heat = \"1260 C\", soak = \"8 min\", heats = 3 }]\n");
  };
  const std::string metric = text("");
  CHECK(holds(metric, "3x1260"));
  CHECK(holds(metric, "2300"));
  CHECK(holds(metric, "soak 8 min, scale 0.45 mm (0.018 in) a face"));
  CHECK(holds(metric, "2 light heats to set the weld, 1 to squeeze it"));
  CHECK(holds(metric, "Heats in all         3 with a press (estimate)"));
}

TEST_CASE("ledger: an inch shop reads inches, pounds and Fahrenheit first", "[ledger]") {
  // Identity: 1 x 1 1/2 x 6 in of 7.85 g/cm3 are 2.552 lb, 1.158 kg.
  const std::string text =
      table("units = \"inch\"\n" + exact_recipe("stack = [\"dark 1 in\"]", "{ do = \"draw\", thickness = \"0.9 in\", heat = \"2000 F\", heats = 1 }", "",
                                                "width = \"1 1/2 in\"\nlength = \"6 in\"\n"));
  const size_t own = text.find(" 0 stack     6.000  1.500  1.000   2.55"), below = text.find("152.4   38.1  25.40  1.158");
  REQUIRE(own != std::string::npos);
  CHECK(below > own);
  CHECK(holds(text, "1x2000"));
  CHECK(holds(text, "layer, thou"));
  CHECK(holds(text, "1.000 in (25.4 mm) thick: 1 of 6.00 x 1.50 in (152.4 x 38.1 mm)"));
  CHECK(longest_line(text) <= 80);
}

TEST_CASE("ledger: steel of earlier billets is not stacked twice", "[ledger]") {
  const std::string text =
      "losses = false\n[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n"
      "[[billet]]\nname = \"core\"\nwidth = \"40 mm\"\nlength = \"100 mm\"\nstack = [\"dark 5 mm\", \"bright 5 "
      "mm\"]\nsteps = [" +
      kWeld +
      "]\n"
      "[[billet]]\nname = \"clad\"\nwidth = \"40 mm\"\nlength = \"100 mm\"\nstack = [\"bright 2 mm\", \"core\", "
      "\"bright 2 mm\"]\nsteps = [" +
      kWeld + "]\n";
  // 40 x 100 x (10 + 4) mm at 7.85 g/cm3 = 439.6 g.
  CHECK(holds(table(text), "Steel stacked        440 g"));
  CHECK(holds(json(text), "\"piled_g\": 439.6"));
}

TEST_CASE("ledger: no line of the table is wider than 80 columns", "[ledger]") {
  for (const auto& file : std::filesystem::directory_iterator(ETCHCAST_SOURCE_DIR "/patterns")) {
    if (file.path().extension() != ".toml") continue;
    INFO(file.path());
    const Recipe recipe = read_recipe(file.path().string());
    const Forging forging = forge(recipe);
    CHECK(longest_line(ledger_text(recipe, forging)) <= 80);
    const std::string text = ledger_json(recipe, forging);
    CHECK(JsonJudge(text).good());
  }
}

TEST_CASE("json: what RFC 8259 wants escaped is escaped, and what is no UTF-8 replaced", "[ledger]") {
  CHECK(json_string("a\"b\\c") == "\"a\\\"b\\\\c\"");
  CHECK(json_string("line\nfeed\x01") == "\"line\\nfeed\\u0001\"");
  CHECK(json_string("\u00B5m") == "\"\u00B5m\"");
  CHECK(json_string("a\xFFz") == "\"a\uFFFDz\"");
  CHECK(json_string("\xC0\x80") == "\"\uFFFD\uFFFD\"");                  // overlong
  CHECK(json_string("\xED\xA0\x80").find("\xED") == std::string::npos);  // surrogate
  JsonWriter writer;
  writer.begin_object();
  writer.number("nothing", std::nan(""));
  writer.begin_array("empty");
  writer.end_array();
  writer.end_object();
  const std::string text = writer.take();
  CHECK(holds(text, "\"nothing\": null"));
  CHECK(JsonJudge(text).good());
}

TEST_CASE("ledger: JSON keeps a title with quotes and tells a blade that does not fit", "[ledger]") {
  const std::string text =
      json("title = 'so-called \"ladder\"'\n" +
           exact_recipe(kFivePlates, kWeld, "[blade]\nshape = \"petty\"\nlength = \"600 mm\"\nheel = \"30 mm\"\n"));
  CHECK(JsonJudge(text).good());
  CHECK(holds(text, "\"title\": \"so-called \\\"ladder\\\"\""));
  CHECK(holds(text, "\"blade_fits\": false"));
}

TEST_CASE("ledger: the maps of a schedule are told, flat steps worked into the bands", "[ledger]") {
  const Forging flat = forged(exact_recipe(kFivePlates, R"({ do = "weld" }, { do = "fold" }, { do = "weld" })"));
  CHECK(maps_text(flat).find("3 steps came down to 9 bands") != std::string::npos);
  CHECK(maps_text(flat).find("no maps") != std::string::npos);
  const Forging pressed = forged(exact_recipe(kFivePlates, R"({ do = "press", spacing = "14 mm", depth = "1 mm" })"));
  CHECK(maps_text(pressed).find("1  flow") != std::string::npos);
}
