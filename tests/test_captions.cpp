// What is written on a plate: counts that say what they count, both systems, titles of any length.
#include <algorithm>

#include "catch.hpp"
#include "forge_helpers.hpp"
#include "plate/captions.hpp"
#include "plate/layout.hpp"

using namespace etchcast;

namespace {

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const std::string kSteps =
    R"({ do = "weld", to = "60 %" }, { do = "press", id = "ladder", spacing = "12 mm", depth = "1 mm" },
  { do = "grind", thickness = "4 mm" })";

struct Plate {
  Recipe recipe;
  Forging forging;
  explicit Plate(const std::string& text) : recipe(parse_recipe(text, "t")), forging(forge(recipe)) {}
  std::string under(const std::string& at) const {
    std::string text;
    for (const std::string& part : subtitle(recipe, forging, find_moment(forging, at))) text += part + "; ";
    return text;
  }
  Layout laid(Looking view, double px_per_mm) const {
    RenderOptions options;
    options.view = view, options.px_per_mm = px_per_mm;
    return lay_out(recipe, forging, options);
  }
};

/// Whether the words of two captions, or words and metal, lie over one another; and whether any leave the picture.
int overlaps(const Layout& l) {
  struct Box {
    double left, top, right, foot;
  };
  std::vector<Box> boxes;
  for (const Caption& c : l.captions)
    if (!c.text.empty())
      boxes.push_back(
          {c.x, c.y - 0.75 * c.style.size_px, c.x + text_width(c.text, c.style), c.y + 0.2 * c.style.size_px});
  for (const Panel& p : l.panels)
    boxes.push_back({double(p.column), double(p.row), double(p.column + panel_columns(p, l.image.px_per_mm)),
                     double(p.row + panel_rows(p, l.image.px_per_mm))});
  int count = 0;
  for (size_t i = 0; i < boxes.size(); ++i) {
    const Box& a = boxes[i];
    count += a.left < 0 || a.right > l.image.columns || a.top < 0 || a.foot > l.image.rows;
    for (size_t k = 0; k < i; ++k) {
      const Box& b = boxes[k];
      count += a.left < b.right && b.left < a.right && a.top < b.foot && b.top < a.foot;
    }
  }
  return count;
}

}  // namespace

TEST_CASE("captions: layers are counted once while they lie flat, then through the thickness", "[captions]") {
  const Plate plate(exact_recipe(kFivePlates, kSteps));
  CHECK(holds(plate.under("1"), "; 5 layers; "));
  CHECK(holds(plate.under("2"), "5 layers before step 2 (press), 5 through the thickness at this step"));
  CHECK(holds(plate.under(""), "5 layers before step 2 (press), "));
  CHECK(holds(plate.under(""), " through the thickness of the finished bar"));
  const Plate twisted(
      exact_recipe("stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 10",
                   R"({ do = "weld", to = "50 %" }, { do = "draw", thickness = "15 mm", width = "15 mm" },
    { do = "twist", rate = "1 turns/in" }, { do = "draw", thickness = "6 mm", width = "30 mm" })"));
  CHECK(holds(twisted.under(""), "20 layers before step 3 (twist), "));
}

TEST_CASE("captions: only the steels of the bar are named", "[captions]") {
  std::string text = exact_recipe(kFivePlates, kSteps);
  text.insert(text.find("dark ="), "core = \"52100\"\n");
  CHECK(Plate(text).under("").starts_with("1084 + 75Ni8; "));
}

TEST_CASE("captions: an inch shop reads inches first", "[captions]") {
  const std::string text = exact_recipe(kFivePlates, kSteps);
  const Plate metric(text), inch("units = \"inch\"\n" + text);
  CHECK(holds(metric.under(""), "etch 15 µm (0.0006 in) deep"));
  CHECK(holds(inch.under(""), "etch 0.0006 in (15 µm) deep"));
  CHECK(sizes_text(metric.recipe, {40, 10}) == "40.0 × 10.0 mm (1.57 × 0.39 in)");
  CHECK(sizes_text(inch.recipe, {40, 10}) == "1.57 × 0.39 in (40.0 × 10.0 mm)");
}

TEST_CASE("captions: a scale bar is round in the smith's own system", "[captions]") {
  CHECK(scale_length(40, System::metric).text == "25 mm (0.98 in)");
  CHECK(scale_length(40, System::inch).text == "1 in (25.4 mm)");
  CHECK(scale_length(60, System::inch).text == "2 in (50.8 mm)");
  CHECK(scale_length(13, System::inch).text == "1/2 in (12.7 mm)");
  CHECK(scale_length(6, System::inch).text == "1/4 in (6.35 mm)");
  CHECK(scale_length(0.1, System::inch).text == "1/16 in (1.59 mm)");
  for (double wanted = 1.5; wanted < 1000; wanted *= 1.1)
    for (const System system : {System::metric, System::inch}) {
      CHECK(scale_length(wanted, system).mm <= 1.15 * wanted + 0.1);
      CHECK(scale_length(wanted, system).mm >= 0.4 * wanted);
    }
}

TEST_CASE("captions: a long title is broken into lines as large as those of a short one", "[captions]") {
  const std::string blade = "[blade]\nshape = \"petty\"\nlength = \"120 mm\"\nheel = \"28 mm\"\nspine = \"2.4 mm\"\n";
  const std::string text = exact_recipe(kFivePlates, kSteps, blade);
  std::string words;
  while (words.size() < 400) words += "a knife for the kitchen ";
  const Plate brief("title = \"Knife\"\n" + text), wordy("title = \"" + words + "\"\n" + text),
      unbroken("title = \"" + std::string(400, 'w') + "\"\n" + text);
  for (const Looking view : {Looking::blade, Looking::end, Looking::top, Looking::side, Looking::stages})
    for (const double px : {2.0, 12.0}) {
      INFO(int(view) << " at " << px);
      const double size = brief.laid(view, px).captions[0].style.size_px;
      CHECK(overlaps(brief.laid(view, px)) == 0);
      for (const Plate* plate : {&wordy, &unbroken}) {
        const Layout l = plate->laid(view, px);
        CHECK(overlaps(l) == 0);
        const auto lines = std::ranges::count_if(l.captions, [&](const Caption& c) { return c.style.size_px == size; });
        CHECK(lines > 1);
        CHECK(l.image.rows > brief.laid(view, px).image.rows);
      }
    }
}

TEST_CASE("captions: what no typeface has is told", "[captions]") {
  const Plate plate("title = \"牛刀 Ω, 牛\"\n" + exact_recipe(kFivePlates, kSteps));
  CHECK(letters_without_shape(plate.recipe, plate.forging, {}) == std::vector<std::string>{"牛", "刀"});
}
