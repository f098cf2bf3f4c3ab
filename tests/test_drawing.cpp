// Outlines from drawings: files as drawing programs save them, and what is refused.
// Expected sizes are those of the same outline written as a path by hand; the arithmetic of transforms is SVG 1.1, 7.6.

#include <filesystem>
#include <fstream>
#include <unistd.h>

#include "blade/polygon.hpp"
#include "blade_helpers.hpp"

using namespace etchcast;

namespace {

BladePlan drawn(const std::string& svg) {
  BladePlan plan = own("outline.svg");
  plan.drawing = svg;
  return plan;
}

/// kStraight on a page, heel at 40 mm, edge line 100 mm down, and the line that marks the heel.
constexpr const char* kOutline = R"(d="M 40,100 H 200 L 230,88 C 220,78 210,70 200,70 H 20 V 86 H 40 Z")";
constexpr const char* kMark = R"(<path d="M 40,60 V 110"/>)";

std::string page(const std::string& inside, const std::string& size = R"(width="300mm" height="200mm" viewBox="0 0 300 200")") {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" " + size + ">\n" + inside + "\n</svg>\n";
}

std::string path(const std::string& data) { return "<path " + data + "/>"; }

void is_straight(const Blade& blade) {
  const Blade by_hand(own());
  CHECK(blade.length() == Approx(190).margin(2e-3));
  CHECK(blade.tang() == Approx(20).margin(2e-3));
  CHECK(blade.height() == Approx(30).margin(2e-3));
  CHECK(signed_area(blade.outline()) == Approx(signed_area(by_hand.outline())).epsilon(1e-5));
  for (const double x : {5.0, 90.0, 170.0, 185.0}) {
    CHECK(blade.edge_y(x) == Approx(by_hand.edge_y(x)).margin(3e-3));
    CHECK(blade.spine_y(x) == Approx(by_hand.spine_y(x)).margin(3e-3));
  }
}

}  // namespace

TEST_CASE("drawing: a path on a page in millimetres is that outline, edge down, heel at the line that marks it", "[blade][path]") {
  is_straight(Blade(drawn(page(path(kOutline) + kMark))));
  is_straight(Blade(drawn(page(path(kOutline) + R"(<line x1="40" y1="65" x2="40" y2="105"/>)"))));
  is_straight(Blade(drawn(page(path(kOutline) + R"(<polyline points="40,65 40,105"/>)"))));
}

TEST_CASE("drawing: as a program saves it, with layers, groups, transforms and hidden templates", "[blade][path]") {
  const std::string inside = R"svg(
  <sodipodi:namedview id="base" pagecolor="#ffffff" inkscape:document-units="mm"><sodipodi:guide position="3,4" orientation="1,0"/></sodipodi:namedview>
  <defs id="defs2"><path d="M 0,0 L 5,5 L 9,0 Z" id="marker"/><linearGradient id="g"/></defs>
  <metadata><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/></metadata>
  <g inkscape:label="photo" inkscape:groupmode="layer" style="display:none"><image href="knife.jpg"/><path d="M 1 1 L 2 2 L 3 1 Z"/></g>
  <g inkscape:label="Layer 1" inkscape:groupmode="layer" id="layer1" transform="translate(10,-5)" style="display:inline">
    <g transform="matrix(0,-1,1,0,-30,45) rotate(90)"><g transform="translate(-20 -40) scale(0.5)">
      <path style="fill:none;stroke:#000;text-transform:none" inkscape:label="blade" id="path10"
        d="m 160,280 h 320 l 60,-24 c -20,-20 -40,-40 -60,-40 h -360 v 32 h 40 z"/>
    </g></g>
    <path d="m 30,90 0,90" id="heel"/>
    <text x="3" y="4">my petty</text>
  </g>)svg";
  const std::string size =
      R"(width="300mm" height="200mm" viewBox="0 0 300 200" xmlns:inkscape="http://i" xmlns:sodipodi="http://s")";
  // translate(10,-5) matrix(0,-1,1,0,-30,45) rotate(90) is translate(-20,40): the heel comes to 160 / 2 - 40 mm.
  const Blade blade(drawn(page(inside, size)));
  CHECK(blade.length() == Approx(190).margin(2e-3));
  CHECK(blade.tang() == Approx(20).margin(2e-3));
  CHECK(blade.height() == Approx(32).margin(2e-3));
}

TEST_CASE("drawing: points, inches and other units of the page, its own entities and prefixes", "[blade][path]") {
  // 25.4 mm to the inch, 72 points to the inch. A document type with entities, as one program writes it.
  const std::string plain = page(path(kOutline) + kMark, R"(width="11.811023622in" height="566.929133858pt" viewBox="0 0 300 200")");
  is_straight(Blade(drawn(plain)));
  std::string prefixed = "<?xml version=\"1.0\"?><!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"svg11.dtd\" [ <!ENTITY ns \"http://x/\"> ]>\n"
                         "<svg:svg xmlns:svg=\"http://www.w3.org/2000/svg\" xmlns:x=\"&ns;\" width=\"30cm\" height=\"20cm\" viewBox=\"0 0 3000 2000\">"
                         "<svg:style><![CDATA[ .a { fill: none } ]]></svg:style><svg:g><svg:polygon class=\"a\" points=\"400,1000 2000,1000 2300,880 2000,700 200,700 "
                         "200,860 400,860\"/><svg:rect width=\"3000\" height=\"2000\"/></svg:g><svg:line x1='400' x2='400' y1='650' y2='1050'/></svg:svg>";
  const Blade blade(drawn(prefixed));
  CHECK(blade.length() == Approx(190));
  CHECK(blade.tang() == Approx(20));
  CHECK(blade.height() == Approx(30));
}

TEST_CASE("drawing: a blade without a tang needs no mark", "[blade][path]") {
  const Blade blade(drawn(page(path(R"(d="M 40,100 H 200 L 230,88 C 220,78 210,70 200,70 H 40 Z")"))));
  CHECK(blade.length() == Approx(190));
  CHECK(blade.tang() == 0);
}

TEST_CASE("drawing: what is no outline is refused in plain words", "[blade][path][error]") {
  const std::string good = path(kOutline);
  const std::pair<std::string, const char*> bad[] = {
      {"", "cannot be read"},
      {"<svg width='3mm'", "cannot be read"},
      {"<html/>", "it begins with <html>"},
      {page(good, R"(width="300" height="200" viewBox="0 0 300 200")"), "does not say how large its page is"},
      {page(good, R"(width="300px" height="200px" viewBox="0 0 300 200")"), "does not say how large its page is"},
      {page(good, R"(width="100%" height="100%" viewBox="0 0 300 200")"), "does not say how large its page is"},
      {page(good, R"(viewBox="0 0 300 200")"), "does not say how large its page is"},
      {page(good, R"(width="300mm" height="200mm")"), "does not say what its units are"},
      {page(good, R"(width="300mm" height="200mm" viewBox="0 0 0 200")"), "does not say what its units are"},
      {page(""), "has no outline in it"},
      {page("<rect width='100' height='30'/>"), "has no outline in it"},
      {page(path(R"(d="M 40,100 H 200 L 230,88" id="a")")), "no closed outline: <path> \"a\" is open"},
      {page(good + path(R"(id="hole" d="M 60 80 h 5 v 5 z")")), "2 closed lines"},
      {page(path(R"(id="b" d="M 40,100 H 200 L 230,88 V 70 H 40 Z M 60 80 h 5 v 5 z")")), "2 closed lines"},
      {page(good), "begins with a tang, and no line marks where the edge begins"},
      {page(good + "<line x1='40' y1='60' x2='60' y2='110'/>"), "an open line that means nothing here"},
      {page(good + kMark + kMark), "an open line that means nothing here"},
      {page(good + "<line x1='4' y1='60' x2='4' y2='110'/>"), "does not cross the outline"},
      {page("<use href='#a'/>"), "is a clone"},
      {page("<svg>" + good + "</svg>"), "a drawing within the drawing"},
      {page("<g transform='perspective(3)'>" + good + "</g>"), "transform of <g> in the drawing is not understood"},
      {page("<g transform='scale(1'>" + good + "</g>"), "not understood"},
      {page("<g transform='matrix(1 2 3)'>" + good + "</g>"), "not understood"},
      {page("<g style='transform: scale(2)'>" + good + "</g>"), "not understood"},
      {page("<g transform='scale(1 0)'>" + good + "</g>"), "squashed flat"},
      {page(path(R"(id="b" d="M 40,100 H 200 L 230")")), "<path> \"b\": the outline's path cannot be read in command 3, \"L 230\""},
      {page("<polygon points='1,2 3'/>"), "points of <polygon> cannot be read"},
  };
  for (const auto& [svg, words] : bad) {
    const Diagnostic d = fault_of(drawn(svg));
    INFO(svg << "\n" << d.message << "\n" << d.hint);
    CHECK(d.key == "blade.path");
    CHECK(d.message.starts_with("\"outline.svg\": "));
    CHECK(says(d, words));
  }
}

TEST_CASE("drawing: hostile files are refused, not fatal", "[blade][path][error]") {
  std::string deep, wide = "<g>";
  for (int i = 0; i < 200000; ++i) deep += "<g>";
  for (int i = 0; i < 20000; ++i) wide += "<path d='M 0 0 H 9 V 9 Z'/>";
  CHECK_FALSE(faults_of(drawn(page(deep))).empty());
  std::string closed = deep;
  for (int i = 0; i < 200000; ++i) closed += "</g>";
  CHECK(says(fault_of(drawn(page(closed))), "too deep"));
  CHECK(says(fault_of(drawn(page(wide + "</g>"))), "20000 closed lines"));
  CHECK_FALSE(faults_of(drawn(std::string("<svg\0 width='1mm'/>", 18))).empty());
  CHECK_FALSE(faults_of(drawn(page("<path d='M nan inf L 1e308 1e308 Z'/>"))).empty());
  CHECK_FALSE(faults_of(drawn(page("<g transform='scale(1e300)'><path d='M 0 0 H 9 V 9 Z'/></g>"))).empty());
}

TEST_CASE("drawing: a recipe reads it beside itself, and its faults point at the path", "[recipe][path]") {
  namespace fs = std::filesystem;
  const fs::path folder = fs::temp_directory_path() / ("etchcast-drawing-" + std::to_string(getpid()));
  fs::create_directories(folder);
  const std::string recipe =
      "[steels]\ndark = \"1084\"\n[[billet]]\nname = \"bar\"\nwidth = \"50 mm\"\nlength = \"300 mm\"\nstack = [\"dark 4 mm\"]\n[blade]\nspine = \"2 mm\"\n  path = \"outline.svg\"\n";
  std::ofstream(folder / "a.toml") << recipe;
  std::ofstream(folder / "outline.svg") << page(path(kOutline) + kMark);
  const Recipe read = read_recipe((folder / "a.toml").string());
  CHECK(Blade(*read.blade).length() == Approx(190).margin(2e-3));
  CHECK(read.files == std::vector<std::string>{(folder / "a.toml").string(), (folder / "outline.svg").string()});
  const auto place_of = [&](const Error& error) {
    const Diagnostic& d = error.diagnostics().at(0);
    return std::to_string(d.place.line) + ":" + std::to_string(d.place.column) + " " + d.message;
  };
  std::ofstream(folder / "outline.svg") << page(path(kOutline));
  try {
    const Blade blade(*read_recipe((folder / "a.toml").string()).blade);
    FAIL("no mark, no blade");
  } catch (const Error& error) {
    CHECK(place_of(error).starts_with("10:10 \"outline.svg\": the outline begins with a tang"));
  }
  fs::remove(folder / "outline.svg");
  try {
    read_recipe((folder / "a.toml").string());
    FAIL("there is no such file");
  } catch (const Error& error) {
    CHECK(place_of(error).starts_with("10:10 there is no file"));
  }
  fs::remove_all(folder);
}
