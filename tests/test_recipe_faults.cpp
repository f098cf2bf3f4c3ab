// Recipes that are wrong: every kind of fault, its message, its line and its column.

#include <algorithm>

#include "catch.hpp"
#include "etchcast/recipe.hpp"

using namespace etchcast;

namespace {

const std::string kSteels = "[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n";
const std::string kBar = kSteels + "[[billet]]\nname = \"bar\"\nstack = \"dark 3 mm\"\n";

std::vector<Diagnostic> faults_of(const std::string& text) {
  try {
    parse_recipe(text, "test.toml");
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    return error.diagnostics();
  }
  return {};
}

// The only fault of a text. An '@' in the text marks where it must point, and is taken out before reading.
Diagnostic fault_at_mark(std::string text) {
  const std::size_t mark = text.find('@');
  REQUIRE(mark != std::string::npos);
  text.erase(mark, 1);
  const std::size_t line_start = mark == 0 ? 0 : text.rfind('\n', mark - 1) + 1;
  const auto faults = faults_of(text);
  INFO(text);
  for (const Diagnostic& fault : faults) UNSCOPED_INFO(to_text(fault));
  REQUIRE(faults.size() == 1);
  const Place& place = faults[0].place;
  CHECK(place.file == "test.toml");
  CHECK(place.line == std::count(text.begin(), text.begin() + static_cast<long>(mark), '\n') + 1);
  CHECK(place.column == static_cast<int>(mark - line_start) + 1);
  CHECK(faults[0].excerpt == text.substr(line_start, text.find('\n', line_start) - line_start));
  return faults[0];
}

std::string message_at_mark(const std::string& text) { return fault_at_mark(text).message; }

std::string step_message(const std::string& step) { return message_at_mark(kBar + "steps = [\n  " + step + ",\n]\n"); }

std::string stack_message(const std::string& stack) {
  return message_at_mark(kSteels + "[[billet]]\nname = \"bar\"\nstack = " + stack + "\n");
}

std::string blade_message(const std::string& lines) { return message_at_mark(kBar + "[blade]\n" + lines + "\n"); }

}  // namespace

TEST_CASE("fault: an unknown key anywhere names the nearest known one", "[recipe][fault]") {
  const auto hint = [](const std::string& text) { return fault_at_mark(text).hint; };
  CHECK(hint("@titel = \"x\"\n" + kBar) == "did you mean \"title\"?");
  CHECK(hint(kBar + "@widht = \"3 mm\"\n") == "did you mean \"width\"?");
  CHECK(hint(kBar + "[blade]\n@spien = \"3 mm\"\n") == "did you mean \"spine\"?");
  CHECK(hint(kBar + "[etch]\n@colour = \"blue\"\n") == "known here: bath, finish, time, depth or coupon");
  CHECK(hint(kBar + "[hand]\n@sead = 3\n") == "did you mean \"seed\"?");
  CHECK(hint("[losses]\n@kref = \"2 mm\"\n" + kBar) == "did you mean \"kerf\"?");
  CHECK(hint("[steels]\ndark = { @mm = 1, c = 1 }\n[[billet]]\nname = \"b\"\nstack = \"dark 3 mm\"\n") ==
        "did you mean \"mn\"?");
  CHECK(hint(kBar + "steps = [{ do = \"draw\", thickness = \"3 mm\", @widht = \"1 in\" }]\n") ==
        "did you mean \"width\"?");
  CHECK(message_at_mark(kBar + "[blade]\n@colour = 1\n") == "[blade] has no key \"colour\"");
  CHECK(fault_at_mark(kBar + "[blade]\n@colour = 1\n").key == "blade.colour");
}

TEST_CASE("fault: an unknown step names the nearest known one", "[recipe][fault]") {
  const Diagnostic fault = fault_at_mark(kBar + "steps = [\n  { do = @\"drwa\" },\n]\n");
  CHECK(fault.message == "there is no step \"drwa\"");
  CHECK(fault.hint == "did you mean \"draw\"?");
  CHECK(fault.key == "billet.bar.steps[1].do");
  CHECK(step_message("@{ thickness = \"3 mm\" }") == "a step must say what to do");
  CHECK(step_message("@\"draw\"") == "a step must be a table, not text");
  CHECK(step_message("{ do = @3 }") == "do must be text in quotes, not a whole number");
  CHECK(message_at_mark(kBar + "steps = @\"draw\"\n") == "steps must be a list, not text");
}

TEST_CASE("fault: a number without its unit is answered with what to write", "[recipe][fault]") {
  CHECK(step_message("{ do = \"draw\", thickness = @1.5 }") ==
        "thickness needs a unit: write \"1.5 mm\" or \"1/16 in\"");
  CHECK(step_message("{ do = \"draw\", thickness = @\"1.5\" }") ==
        "thickness needs a unit: write \"1.5 mm\" or \"1/16 in\"");
  CHECK(step_message("{ do = \"weld\", heat = @2300 }") == "heat needs a unit: write \"2300 C\" or \"2300 F\"");
  CHECK(step_message("{ do = \"weld\", to = @0.6 }") == "to needs a percent sign: write \"60 %\"");
  CHECK(step_message("{ do = \"draw\", thickness = @\"8 min\" }") ==
        "thickness must be a length, but \"8 min\" is a time: write \"9.5 mm\" or \"3/8 in\"");
  CHECK(step_message("{ do = \"draw\", thickness = @true }") ==
        "thickness must be a length such as \"9.5 mm\" or \"3/8 in\", in quotes, not true or false");
  CHECK(step_message("{ do = \"draw\", thickness = @nan }") ==
        "thickness must be a length such as \"9.5 mm\" or \"3/8 in\", in quotes, not nan");
}

TEST_CASE("fault: counts, words and flags of a step are held to their kind", "[recipe][fault]") {
  CHECK(step_message("{ do = \"restack\", pieces = @\"4\" }") ==
        "pieces must be a whole number without quotes, not \"4\"");
  CHECK(step_message("{ do = \"restack\", pieces = @4.5 }") == "pieces must be a whole number, not 4.5");
  CHECK(step_message("{ do = \"restack\", pieces = @-4 }").starts_with("pieces = -4 is too small: it may be "));
  CHECK(step_message("@{ do = \"restack\" }") == "a restack step needs pieces");
  CHECK(step_message("{ do = \"draw\", thickness = @\"600 m\" }").starts_with("thickness = \"600 m\" is too large: "));
  CHECK(step_message("{ do = \"restack\", pieces = 4, flip = @\"ovre\" }").ends_with(", not \"ovre\""));
  CHECK(fault_at_mark(kBar + "steps = [{ do = \"restack\", pieces = 4, flip = @\"ovre\" }]").hint ==
        "did you mean \"over\"?");
}

TEST_CASE("fault: an id stands for one step of a billet", "[recipe][fault]") {
  const std::string draw = "{ do = \"draw\", thickness = \"2 mm\", id = ";
  CHECK(step_message(draw + "\"a\" }, " + draw + "@\"a\" }") == "there is a step with the id \"a\" already");
  CHECK(step_message(draw + "@\"\" }") == "id is empty: write text in quotes or leave it out");
  CHECK(faults_of(kBar + "steps = [" + draw + "\"a\" }]\n[[billet]]\nname = \"two\"\nstack = \"bar\"\nsteps = [" +
                  draw + "\"a\" }]\n")
            .empty());
}

TEST_CASE("fault: a stack entry says which part of it is wrong", "[recipe][fault]") {
  CHECK(stack_message("[@\"dark\"]") == "steel \"dark\" needs a thickness");
  CHECK(stack_message("[\"dark 3 mm\", @\"brihgt 3 mm\"]") == "\"brihgt\" is neither a steel nor an earlier billet");
  CHECK(stack_message("[@\"dark 3\"]") == "thickness of \"dark\" needs a unit: write \"3 mm\" or \"1/8 in\"");
  CHECK(stack_message("[@\"dark 3 mm upside\"]") ==
        "thickness of \"dark\" has an unknown unit \"mm upside\": write \"9.5 mm\" or \"3/8 in\"");
  CHECK(stack_message("[@\"dark 1 m\"]") == "thickness of \"dark\" = \"1 m\" is too large: it may be 5 um to 500 mm");
  CHECK(stack_message("[@3]") == "a stack entry must be text in quotes, not a whole number");
  CHECK(stack_message("@[]") == "the stack is empty");
  CHECK(stack_message("\"dark 3 mm\"\ntop = @\"brite 3 mm\"") == "\"brite\" is neither a steel nor an earlier billet");
  CHECK(fault_at_mark(kSteels + "[[billet]]\nname = \"bar\"\nstack = [@\"brihgt 3 mm\"]\n").hint ==
        "did you mean \"bright\"?");
  CHECK(fault_at_mark(kSteels + "[[billet]]\nname = \"bar\"\nstack = [@\"O1 3 mm\"]\n").hint ==
        "give the grade a name under [steels] first: \"O1\" = \"O1\"");
}

TEST_CASE("fault: a billet may only be laid after it is made", "[recipe][fault]") {
  CHECK(stack_message("[@\"bar 3 mm\"]") == "billet \"bar\" cannot be laid in its own stack");
  CHECK(stack_message("[@\"core 3 mm\"]\n[[billet]]\nname = \"core\"\nstack = \"bar\"") ==
        "billet \"core\" is not made yet: it stands further down");
  CHECK(message_at_mark(kBar + "[[billet]]\nname = @\"bar\"\nstack = \"dark 3 mm\"\n") ==
        "there is a billet \"bar\" already");
  CHECK(message_at_mark(kBar + "[[billet]]\nname = @\"dark\"\nstack = \"dark 3 mm\"\n") ==
        "\"dark\" is a steel already; a billet needs a name of its own");
  CHECK(message_at_mark(kBar + "[[billet]]\nname = @\"two words\"\nstack = \"dark 3 mm\"\n") ==
        "\"two words\" cannot be a name");
  CHECK(message_at_mark(kBar + "@[[billet]]\nstack = \"dark 3 mm\"\n") == "a billet needs a name");
  CHECK(message_at_mark(kBar + "@[[billet]]\nname = \"b\"\n") == "a billet needs a stack");
}

TEST_CASE("fault: absurd sizes are refused, with what is possible", "[recipe][fault]") {
  CHECK(message_at_mark(kBar + "length = @\"1000 m\"\n") == "length = \"1000 m\" is too large: it may be 1 mm to 20 m");
  CHECK(message_at_mark(kBar + "repeat = @1000000000\n") == "repeat = 1000000000 is too large: it may be 1 to 10000");
  CHECK(message_at_mark(kBar + "repeat = @0\n") == "repeat = 0 is too small: it may be 1 to 10000");
  CHECK(message_at_mark(kSteels + "[[billet]]\nname = \"b\"\nstack = @\"dark 3 mm\"\nrepeat = 10000\n") ==
        "the pile would stand 30 m high: it may be 2000 mm at most");
  std::string many = kBar + "[[billet]]\nname = \"b\"\nrepeat = 10000\nstack = @[";
  for (int i = 0; i < 101; ++i) many += "\"bar\",";
  CHECK(message_at_mark(many + "]\n") == "1010001 plates are too many: a recipe may lay 1000000");
}

TEST_CASE("fault: the steels are held to grades and to weight per cent", "[recipe][fault]") {
  const auto steel_fault = [](const std::string& steel) {
    return fault_at_mark("[steels]\ndark = " + steel + "\n[[billet]]\nname = \"b\"\nstack = \"dark 3 mm\"\n");
  };
  CHECK(steel_fault("@\"75Ni9\"").message == "\"75Ni9\" is not a steel known here");
  CHECK(steel_fault("@\"75Ni9\"").hint.starts_with("known of its kind: \"75Ni8\". Or "));
  CHECK(steel_fault("@1084").message == "dark must be a grade in quotes or a table, not 1084");
  CHECK(steel_fault("@1084").hint == "write: dark = \"1084\"");
  CHECK(steel_fault("{ grade = @\"1085\" }").message == "\"1085\" is not a steel known here");
  CHECK(steel_fault("{ c = @9 }").message == "c = 9 is too large: it may be 0 to 3");
  CHECK(steel_fault("{ c = @\"0.8 %\" }").message == "c must be a plain number without quotes, not \"0.8 %\"");
  CHECK(steel_fault("{ tone = @inf }").message == "tone must be a plain number, not inf");
  // Copper in iron: a metal whose melting nobody told is refused, not taken for iron that melts at 1495 C.
  CHECK(steel_fault("@{ c = 0, cu = 99 }").message == "it is not told at what heat this metal begins to melt");
  CHECK(steel_fault("@{ ni = 90, cr = 20 }").message == "the elements add up to 110 %, more than the whole steel");
  CHECK(message_at_mark("[steels]\ndark = \"1084\"\n@\"two words\" = \"1084\"\n[[billet]]\nname = \"b\"\nstack = "
                        "\"dark 3 mm\"\n") == "\"two words\" cannot be a name");
}

TEST_CASE("fault: a blade's sizes and words are checked", "[recipe][fault]") {
  CHECK(blade_message("spine = @[\"2 mm\", \"1 mm\"]") == "spine needs three thicknesses or one, not 2");
  CHECK(blade_message("spine = [\"2 mm\", @\"1\", \"1 mm\"]") ==
        "spine[2] needs a unit: write \"1 mm\" or \"1/16 in\"");
  CHECK(blade_message("spine = @2").starts_with("spine needs a unit: "));
  CHECK(blade_message("spine = [\"2 mm\", \"1 mm\", \"0.1 mm\"]\nedge = @\"0.2 mm\"") ==
        "the edge, 0.2 mm, is thicker than the spine, 0.1 mm");
  CHECK(blade_message("grind = @\"hollw\"\nwheel = \"10 in\"") ==
        "grind may be flat, sabre, hollow, convex or single, not \"hollw\"");
  CHECK(blade_message("grind = \"flat\"\nwheel = @\"10 in\"") == "wheel has no effect with grind = \"flat\"");
  CHECK(blade_message("from = @\"bra\"") == "there is no billet \"bra\"");
  CHECK(blade_message("flip = @\"yes\"") == "flip must be true or false, without quotes, not \"yes\"");
  CHECK(blade_message("bevel = @0.6\ngrind = \"sabre\"") == "bevel needs a percent sign: write \"60 %\"");
  CHECK(message_at_mark(kBar + "@[blade]\nshape = \"path\"\n") == "[blade] needs a path");
  CHECK(message_at_mark(kBar + "[blade]\nshape = \"petty\"\npath = @\"M 0 0\"\n") ==
        "a path is only read with shape = \"path\"");
}

TEST_CASE("fault: the small tables are checked", "[recipe][fault]") {
  CHECK(message_at_mark(kBar + "[etch]\nfinish = @\"oxid\"\n") == "finish may be bare, oxide or coffee, not \"oxid\"");
  CHECK(message_at_mark(kBar + "[etch]\ndepth = @\"2 mm\"\n") ==
        "depth = \"2 mm\" is too large: it may be 0 mm to 0.5 mm");
  CHECK(message_at_mark(kBar + "[hand]\nseed = @-1\n") == "seed = -1 is too small: it may be 0 to 4294967295");
  CHECK(message_at_mark(kBar + "[hand]\neven = @\"true\"\n") ==
        "even must be true or false, without quotes, not \"true\"");
  CHECK(message_at_mark("losses = @\"none\"\n" + kBar) == "losses must be true, false or a table [losses], not text");
  CHECK(message_at_mark("title = @1084\n" + kBar) == "title must be text in quotes, not a whole number");
  CHECK(message_at_mark(kBar + "@[[hand]]\nseed = 1\n") == "hand must be a table, not [[hand]]");
}

TEST_CASE("fault: a recipe without steels or billets says what is missing", "[recipe][fault]") {
  CHECK(faults_of("").size() == 2);
  CHECK(message_at_mark("@" + kSteels) == "the recipe needs [[billet]]");
  CHECK(message_at_mark(kSteels + "@[billet]\nname = \"bar\"\n") == "billet must be a list of tables, not a table");
  CHECK(message_at_mark("billet = @[]\n" + kSteels) == "there is no billet");
}

TEST_CASE("fault: what is not TOML is told in plain words with its place", "[recipe][fault]") {
  CHECK(fault_at_mark("depth = 1.5 @mm\n").hint ==
        "words and quantities with a unit stand in double quotes: thickness = \"10 mm\"");
  CHECK(message_at_mark("depth = 1.5 @mm\n") ==
        "the recipe cannot be read as TOML: expected a comment or whitespace, saw 'm'");
  CHECK(fault_at_mark("title = \"a\"\ntitle = @\"b\"\n").hint == "each key is given once; take one of the two away");
  CHECK(fault_at_mark("[billet]\nname = \"a\"\n@[[billet]]\n").hint.starts_with("each billet begins with [[billet]]"));
  CHECK(fault_at_mark("a = { b = 1,@\nc = 2 }\n").hint ==
        "a step { ... } stands on one line, its keys parted by commas");
}

TEST_CASE("fault: text that is not UTF-8 is refused at its first bad byte", "[recipe][fault]") {
  for (const char* bad : {"\xFF", "\xC0\x80", "\xED\xA0\x80", "\xF5\x80\x80\x80", "\xE2\x82"}) {
    const auto faults = faults_of("# fine \u00E9\ntitle = \"" + std::string(bad) + "\"\n");
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].message == "this is not UTF-8 text");
    CHECK(faults[0].place.line == 2);
    CHECK(faults[0].place.column == 10);
  }
}

TEST_CASE("fault: control characters are refused, as they are or spelled out, wherever they stand", "[recipe][fault]") {
  // A terminal takes them for commands: ECMA-48, the sets C0 and C1.
  CHECK(message_at_mark("title = @\"a \\u001B[2J\"\n" + kBar) == "there is a control character here, U+001B");
  CHECK(message_at_mark("title = @\"a \\u0000\"\n" + kBar) == "there is a control character here, U+0000");
  CHECK(message_at_mark("title = @\"a \\u009B2J\"\n" + kBar) == "there is a control character here, U+009B");
  CHECK(message_at_mark("title = \"a @\xC2\x9B 2J\"\n" + kBar) == "there is a control character here, U+009B");
  CHECK(message_at_mark("# a @\x1B[2J\n" + kBar) == "there is a control character here, U+001B");
  CHECK(message_at_mark("@\"a\\u007F\" = 1\n" + kBar) == "there is a control character here, U+007F");
  CHECK(message_at_mark(kBar + "steps = [{ do = \"weld\", id = @\"a\\u0008\" }]\n") ==
        "there is a control character here, U+0008");
  for (const char* inside : {"a\\nb", "a\\tb", "a\\rb"})
    CHECK(message_at_mark("title = @\"" + std::string(inside) + "\"\n" + kBar) ==
          "title must stand on one line, without tabs");
  CHECK(faults_of("# caf\u00E9, \u00A0 30 \u00B5m\ntitle = \"\u00B5m \u00E9\"\n" + kBar).empty());
}

TEST_CASE("fault: a title of more than 500 letters is refused", "[recipe][fault]") {
  std::string title;
  for (int i = 0; i < 500; ++i) title += "\u00E9";
  CHECK(faults_of("title = \"" + title + "\"\n" + kBar).empty());
  CHECK(message_at_mark("title = @\"" + title + "e\"\n" + kBar) == "the title has more than 500 letters");
}

TEST_CASE("fault: a recipe of absurd size or depth is refused", "[recipe][fault]") {
  const auto large = faults_of(kBar + std::string(5 << 20, '#'));
  REQUIRE(large.size() == 1);
  CHECK(large[0].message == "the recipe is larger than 4 MB");
  std::string deep = "a";
  for (int i = 0; i < 1000000; ++i) deep += ".a";
  CHECK(faults_of(deep + " = 1\n")[0].message == "a key with more than 20 dots has no meaning here");
  CHECK(faults_of("a = " + std::string(1000000, '[') + "\n").size() == 1);
}

TEST_CASE("fault: all faults are told at once, in the order of the text", "[recipe][fault]") {
  const auto faults =
      faults_of("titel = 1\n" + kBar + "width = 3\nlength = 4\n[etch]\ndepth = 5\n[hand]\nseed = 0.5\n");
  REQUIRE(faults.size() == 5);
  for (std::size_t i = 1; i < faults.size(); ++i) CHECK(faults[i - 1].place.line < faults[i].place.line);
}

TEST_CASE("fault: very many faults are counted, not all printed", "[recipe][fault]") {
  std::string text = kBar;
  for (int i = 0; i < 20000; ++i) text += "k" + std::to_string(i) + " = 1\n";
  const auto faults = faults_of(text);
  CHECK(faults.size() == 201);
  CHECK(faults.back().message == "and 19800 more faults");
}
