// The sheet by the forge: whole, in order, in both systems, safe to open, true to scale, and it prints.

#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/check.hpp"
#include "etchcast/render.hpp"
#include "etchcast/sheet.hpp"
#include "forge_helpers.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"

using namespace etchcast;
namespace fs = std::filesystem;

namespace {

std::string sheet(const std::string& text) {
  const Recipe recipe = parse_recipe(text, "test.toml");
  return sheet_html(recipe, forge(recipe));
}

const std::string& ladder_sheet() {
  static const std::string page = [] {
    const Recipe recipe = read_recipe(ETCHCAST_SOURCE_DIR "/patterns/ladder-petty.toml");
    return sheet_html(recipe, forge(recipe));
  }();
  return page;
}

/// Eleven plates, 26 mm high.
const std::string kPlates = "stack = [\"dark 3 mm\", \"bright 1.6 mm\"]\nrepeat = 5\ntop = \"dark 3 mm\"";
const std::string kSteps =
    "{ do = \"weld\", heat = \"1260 C\", soak = \"8 min\", to = \"60 %\" },\n"
    "{ do = \"draw\", thickness = \"10 mm\", width = \"40 mm\", heat = \"1090 C\" },\n"
    "{ do = \"restack\", pieces = 2 },\n{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" },\n"
    "{ do = \"draw\", thickness = \"6.4 mm\", width = \"40 mm\" },\n"
    "{ do = \"press\", spacing = \"12.7 mm\", depth = \"1.5 mm\" },\n{ do = \"grind\", thickness = \"3 mm\" }";

std::string blade_of(const std::string& length) {
  return "[blade]\nshape = \"petty\"\nlength = \"" + length + "\"\nheel = \"30 mm\"\nspine = \"2 mm\"\n";
}

size_t count(const std::string& text, const std::string& words) {
  size_t n = 0;
  for (size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++n;
  return n;
}

bool holds(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

/// The page without its pictures' data.
std::string without_data(std::string page) {
  for (size_t at; (at = page.find("base64,")) != std::string::npos;) page.erase(at, page.find('"', at) - at);
  return page;
}

/// Widths in mm and in pixels of every picture.
std::vector<std::pair<double, double>> widths(const std::string& page) {
  static const std::regex picture("<img style=\"width:([0-9.]+)mm\" width=\"([0-9]+)\"");
  const std::string text = without_data(page);
  std::vector<std::pair<double, double>> all;
  for (std::sregex_iterator at(text.begin(), text.end(), picture), end; at != end; ++at)
    all.emplace_back(std::stod((*at)[1]), std::stod((*at)[2]));
  return all;
}

}  // namespace

TEST_CASE("sheet: what HTML wants escaped is escaped", "[sheet]") {
  CHECK(escaped("a < b & \"c\" > 'd'") == "a &lt; b &amp; &quot;c&quot; &gt; &#39;d&#39;");
  CHECK(escaped(std::string("a\0b\x1b\n", 5)) == "a b \n");
  CHECK(escaped("\u00B5m") == "\u00B5m");
}

TEST_CASE("sheet: base64 as in RFC 4648, section 10", "[sheet]") {
  const auto coded = [](std::string_view text) {
    return base64({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  };
  CHECK(coded("") == "");
  CHECK(coded("f") == "Zg==");
  CHECK(coded("fo") == "Zm8=");
  CHECK(coded("foo") == "Zm9v");
  CHECK(coded("foobar") == "Zm9vYmFy");
  CHECK(coded("\xff\xfe\xfd") == "//79");
}

TEST_CASE("sheet: figures in both systems", "[sheet]") {
  const auto plain = [](std::string text) { return std::regex_replace(text, std::regex("\u00A0"), " "); };
  CHECK(plain(both_lengths(25.4)) == "25.4 mm (1.000 in)");
  CHECK(plain(both_lengths(8)) == "8 mm (0.315 in)");
  CHECK(plain(both_lengths(0.025)) == "25 \u00B5m (0.98 thou)");
  CHECK(plain(both_heats(1260)) == "1260 \u00B0C (2300 \u00B0F)");
  CHECK(plain(Figures(System::metric).mass(1157.75)) == "1.16 kg (2.55 lb)");
  CHECK(Figures(System::inch).lengths({10, 40}) == "0.39\u00A0x\u00A01.57\u00A0in (10.0\u00A0x\u00A040.0\u00A0mm)");
  CHECK(sentence("it holds") == "It holds.");
}

TEST_CASE("sheet: every step in the order of work, each with a box, sizes and a picture", "[sheet]") {
  const std::string page = without_data(sheet(exact_recipe(kPlates, kSteps, blade_of("120 mm"))));
  size_t at = page.find("The stack");
  REQUIRE(at != std::string::npos);
  for (const char* heading : {"1. Weld", "2. Draw", "3. Restack", "4. Weld", "5. Draw", "6. Press", "7. Grind",
                              "Lay out and grind", "Hardening", "Etch"}) {
    const size_t next = page.find(heading, at);
    INFO(heading);
    REQUIRE(next != std::string::npos);
    at = next;
  }
  CHECK(count(page, "<section class=\"step\">") == 9);  // the stack, seven steps, the blade
  CHECK(count(page, "<table class=\"sizes\">") == 9);
  CHECK(count(page, "<img ") == 9);  // eight end-crops and the blade
  CHECK(count(page, "data:image/png;") == 9);
  CHECK(count(page, "<h3><span class=\"box\">") == 9);
  CHECK(holds(page, "1260\u00A0C (2300\u00A0F)</b>, soak 8 min, 3 heats"));
  CHECK(holds(page, "<b>depth 1.50\u00A0mm (0.059\u00A0in)</b>"));
  CHECK(holds(page, "<td>3.00</td><td>~1/8</td><td>0.118</td>"));
}

TEST_CASE("sheet: the first page is enough at the anvil", "[sheet]") {
  const std::string page = without_data(sheet(exact_recipe(kPlates, kSteps, blade_of("120 mm"))));
  const size_t begin = page.find("<section class=\"anvil"), end = page.find("</section>", begin);
  REQUIRE(end != std::string::npos);
  const std::string first = page.substr(begin, end - begin);
  size_t at = 0;
  for (const char* words : {"6 x dark", "5 x bright", "<b>Stack</b>: from the bottom <b>5 times</b> dark", "then dark", "<b>1 Weld</b>",
                            "2 light heats", "60 % of the height", "<b>2 Draw</b>", "<b>10.0\u00A0x\u00A040.0\u00A0mm</b>",
                            "<b>1090\u00A0C</b>", "<b>3 Restack</b>", "cut in <b>2</b>", "<b>4 Weld</b>", "<b>5 Draw</b>", "<b>6 Press</b>",
                            "spacing <b>12.7\u00A0mm</b>", "<b>7 Grind</b>", "both faces", "Care.", "Bar no."}) {
    INFO(words);
    const size_t next = first.find(words, at);
    REQUIRE(next != std::string::npos);
    at = next;
  }
  CHECK(count(first, "<tr>") == 9);  // head, stack, seven steps
  CHECK(count(first, "<img") == 0);
}

TEST_CASE("sheet: an inch shop reads inches and Fahrenheit first", "[sheet]") {
  const std::string page = without_data(sheet("units = \"inch\"\n" + exact_recipe(kPlates, kSteps, blade_of("120 mm"))));
  CHECK(holds(page, "<b>2300\u00A0F</b><br><small>1260\u00A0C"));
  CHECK(holds(page, "<b>0.39\u00A0x\u00A01.57\u00A0in</b><br><small>10.0\u00A0x\u00A040.0\u00A0mm"));
  CHECK(holds(page, "<td>0.118</td><td>~1/8</td><td>3.00</td>"));
  CHECK(holds(page, "<td>in</td><td>1/16 in</td><td>mm</td>"));
  CHECK(holds(page, "0.118\u00A0in (3\u00A0mm)"));
}

TEST_CASE("sheet: a step that check() warns of says so on the first page", "[sheet]") {
  const auto warned = [](const std::string& heat) {
    const std::string page = sheet(exact_recipe(kPlates, "{ do = \"weld\", heat = \"" + heat + "\" }"));
    return holds(page.substr(0, page.find("</section>")), "Read the warning");
  };
  CHECK(warned("1000 C"));
  CHECK(!warned("1260 C"));
}

TEST_CASE("sheet: names and ids are escaped on the first page too", "[sheet]") {
  std::string text = exact_recipe("stack = [\"a&b 3 mm\", \"bright 3 mm\"]", "{ do = \"weld\", id = \"<i>\" }");
  text.replace(text.find("dark = "), 7, "\"a&b\" = ");
  const std::string page = without_data(sheet(text));
  CHECK(count(page, "<i>") == 0);
  CHECK(count(page, "a&b") == 0);
  CHECK(count(page, "a&amp;b") >= 3);
}

TEST_CASE("sheet: cautions of every stage, in full once", "[sheet]") {
  const std::string page = without_data(sheet(exact_recipe(kPlates, kSteps, blade_of("120 mm"))));
  CHECK(count(page, "Flux and scale fly at the first blow") == 1);
  CHECK(count(page, "nobody opposite the first blow") == 2);  // the reminders on the first page and at the second weld
  for (const char* words :
       {"ocal codes", "carbon monoxide", "fingers out of dies", "P100 respirator", "Hot oil can catch fire",
        "Pour acid into water", "Tape the edge", "Mark the top and the heel end", "baking soda", "Kerosene"})
    CHECK(count(page, words) >= 1);
  for (const char* words : {"araffin", "oda water", "raught on"})
    CHECK(count(page, words) == 0);  // taken otherwise by half
}

TEST_CASE("sheet: what check() says stands on it, nothing lost", "[sheet]") {
  const Recipe recipe = read_recipe(ETCHCAST_SOURCE_DIR "/patterns/clad-gyuto.toml");
  const Forging forging = forge(recipe);
  const std::string page = without_data(sheet_html(recipe, forging));
  for (const Warning& warning : check(recipe, forging)) {
    INFO(warning.text);
    CHECK(count(page, escaped(sentence(warning.text))) == 1);
  }
}

TEST_CASE("sheet: needs nothing but itself and runs nothing", "[sheet]") {
  const std::string page = without_data(ladder_sheet());
  CHECK_FALSE(
      std::regex_search(page, std::regex("<script|https?:|//[a-z]|@import|url\\(|<link|javascript:|\\son[a-z]+=")));
  CHECK(page.starts_with("<!DOCTYPE html>"));
  CHECK(holds(page, "<meta name=\"viewport\""));
  CHECK(holds(page, "break-inside: avoid"));
  for (const char* tag : {"section", "div", "ul", "ol", "table", "figure", "p", "h2", "h3", "li", "span"})
    CHECK(count(page, fmt::format("<{}>", tag)) + count(page, fmt::format("<{} ", tag)) ==
          count(page, fmt::format("</{}>", tag)));
}

TEST_CASE("sheet: a title with <, & and quotes comes out as written", "[sheet]") {
  const std::string page =
      without_data(sheet("title = 'Tom & \"Jerry\" <script>alert(1)</script>'\n" + exact_recipe(kPlates, kSteps)));
  CHECK(count(page, "Tom &amp; &quot;Jerry&quot; &lt;script&gt;alert(1)&lt;/script&gt;") == 2);
  CHECK_FALSE(holds(page, "<script"));
}

TEST_CASE("sheet: pictures are as wide as what they show, or the scale is told", "[sheet]") {
  const auto all = widths(ladder_sheet());
  REQUIRE(all.size() == 12);
  for (const auto& [mm, px] : all) CHECK(mm == Approx(px / 10).margin(0.006));  // 10 px/mm, true size
  CHECK(all[0].first == Approx(150 + 30 + 1).margin(1));  // blade, tang, half a mm of rim each side
  CHECK(holds(ladder_sheet(), "true to scale"));
  CHECK(count(ladder_sheet(), "End-crop, true size") == 11);
  const auto small = sheet(
      exact_recipe(kFivePlates, "{ do = \"weld\", to = \"60 %\" }", "", "width = \"8 mm\"\nlength = \"100 mm\"\n"));
  CHECK(holds(small, "three times its size"));
  // The weld of 8 mm spreads to 8 / sqrt(0.6) = 10.33 mm: three times that and a rim of 0.5 mm each side.
  CHECK(widths(small).back().first == Approx(3 * (8 / std::sqrt(0.6) + 1)).margin(0.2));
}

TEST_CASE("sheet: a blade too long for a page is turned, or made smaller and the scale told", "[sheet]") {
  const std::string size = "width = \"40 mm\"\nlength = \"600 mm\"\n";
  const auto page = [&](const std::string& length) {
    return without_data(sheet(exact_recipe(kFivePlates, "{ do = \"weld\", to = \"60 %\" }", blade_of(length), size)));
  };
  const std::string wide = page("210 mm");
  CHECK(holds(wide, "<figure class=\"blade wide\""));
  CHECK(widths(wide)[0].first == Approx(widths(wide)[0].second / 10).margin(0.006));
  const std::string large = page("400 mm");
  CHECK_FALSE(holds(large, "<figure class=\"blade wide\""));
  CHECK(holds(large, "The page is too small for it. It is shown at 43 % of its size."));  // 186 / 431
  CHECK(widths(large)[0].first == Approx(186).margin(0.01));
}

TEST_CASE("sheet: no blade, no quench; a blade that does not fit is refused", "[sheet]") {
  const std::string page = without_data(sheet(exact_recipe(kPlates, kSteps)));
  CHECK_FALSE(holds(page, "<h2>Hardening"));
  CHECK_FALSE(holds(page, "Forecast of both sides"));
  CHECK_THROWS_AS(sheet(exact_recipe(kPlates, kSteps, blade_of("900 mm"))), Error);
}

TEST_CASE("sheet: every pattern has one, with as many steps as its recipe", "[sheet][patterns]") {
  for (const char* name : {"twist", "clad-gyuto", "raindrop-drilled", "ladder-cut"}) {
    const Recipe recipe = read_recipe(fmt::format("{}/patterns/{}.toml", ETCHCAST_SOURCE_DIR, name));
    size_t steps = 1;
    for (const BilletPlan& billet : recipe.billets) steps += billet.steps.size() + 1;
    INFO(name);
    CHECK(count(sheet_html(recipe, forge(recipe)), "<section class=\"step\">") == steps);
  }
}

namespace {

/// Pages that a browser prints of it, on paper of that size; 0 if it cannot.
int pages_printed(std::string page, const std::string& paper) {
  page.replace(page.find("@page {"), 7, "@page { size: " + paper + ";");
  std::string name = (fs::temp_directory_path() / "etchcast-sheet-XXXXXX").string();
  const fs::path folder = mkdtemp(name.data());
  std::ofstream(folder / "sheet.html") << page;
  const std::string line = fmt::format(
      "cd '{0}' && timeout 90 chromium --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking "
      "--disable-component-update --disable-sync --user-data-dir='{0}/profile' --no-pdf-header-footer "
      "--print-to-pdf=sheet.pdf 'file://{0}/sheet.html' >/dev/null 2>&1",
      folder.string());
  CHECK(std::system(line.c_str()) == 0);
  std::ifstream stream(folder / "sheet.pdf", std::ios::binary);
  std::stringstream pdf;
  pdf << stream.rdbuf();
  fs::remove_all(folder);
  static const std::regex pages("/Count ([0-9]+)");
  std::smatch found;
  const std::string text = pdf.str();
  CHECK(text.starts_with("%PDF-"));
  return std::regex_search(text, found, pages) ? std::stoi(found[1]) : 0;
}

}  // namespace

TEST_CASE("sheet: a browser prints it to a few pages, and the first one holds the work at the anvil", "[sheet][browser]") {
  if (std::system("command -v chromium >/dev/null 2>&1") != 0) {
    WARN("skipped: there is no chromium on this machine to print the sheet with (apt-get install chromium)");
    return;
  }
  CHECK(pages_printed(ladder_sheet(), "A4") <= 10);
  for (const char* name : {"ladder-petty", "clad-gyuto", "fold-by-fold"}) {
    const Recipe recipe = read_recipe(fmt::format("{}/patterns/{}.toml", ETCHCAST_SOURCE_DIR, name));
    std::string page = sheet_html(recipe, forge(recipe, {.preview = true}));
    page = page.substr(0, page.find("</section>")) + "</section></body></html>";
    for (const char* paper : {"A4", "Letter"}) {
      INFO(name << " on " << paper);
      CHECK(pages_printed(page, paper) == 1);
    }
  }
}
