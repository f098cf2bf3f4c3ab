// A key that has no effect beside another key's value is a fault, not passed over.

#include "base/conditions.hpp"
#include "base/units.hpp"
#include "base/words.hpp"
#include "catch.hpp"
#include "etchcast/forging.hpp"

using namespace etchcast;

namespace {

std::string recipe(const std::string& step, const std::string& more = "") {
  return "[steels]\ndark = \"1084\"\nbright = \"15N20\"\n[[billet]]\nname = \"bar\"\nstack = [\"dark 6 mm\", \"bright 6 mm\"]\nrepeat = 2\nsteps = [\n" +
         step + "\n]\n" + more;
}

/// Messages and hints of all faults.
std::string faults(const std::string& text) {
  std::string all;
  try {
    forge(parse_recipe(text, "test.toml"));
  } catch (const Error& error) {
    for (const Diagnostic& d : error.diagnostics()) all += d.message + "; " + d.hint + "\n";
  }
  return all;
}

/// A value that the key takes, as a recipe writes it.
std::string sample(const Parameter& p) {
  if (p.unit == Unit::word) return in_quotes(split_choices(p.words).front());
  if (p.unit == Unit::flag) return "true";
  const bool plain = p.unit == Unit::count || p.unit == Unit::number;
  if (!p.fallback.empty()) return plain ? std::string(p.fallback) : in_quotes(p.fallback);
  const std::string text = quantity_text(p.least + (p.most - p.least) / 8, p.unit);
  return plain ? text : in_quotes(text);
}

const Parameter* find(const Step& step, std::string_view key) {
  for (const Parameter& p : step.parameters)
    if (p.key == key) return &p;
  return nullptr;
}

std::string line(const Step& step, const Parameter& p, const std::string& beside) {
  return "{ do = \"" + std::string(step.name) + "\", " + std::string(p.key) + " = " + sample(p) + ", " + beside + " }";
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("idle keys: those of every step are faults by name, and none where they have an effect", "[recipe][fault][steps]") {
  int tried = 0;
  for (const Step* step : catalogue())
    for (const Parameter& p : step->parameters)
      for (const Condition& condition : conditions_of(p.only)) {
        const Parameter* other = find(*step, condition.key);
        REQUIRE(other);
        const auto told = std::string(p.key) + " has no effect with ";
        if (condition.words.empty()) {
          CHECK(holds(faults(recipe(line(*step, p, std::string(other->key) + " = " + sample(*other)))), told + std::string(other->key)));
          ++tried;
          continue;
        }
        REQUIRE_FALSE(other->fallback.empty());  // the other key's word is known, given or not
        const auto words = other->unit == Unit::flag ? std::vector<std::string_view>{"true", "false"} : split_choices(other->words);
        for (const std::string_view word : words) {
          const std::string beside = written(condition.key, word);
          const bool works = std::find(condition.words.begin(), condition.words.end(), word) != condition.words.end();
          const std::string found = faults(recipe(line(*step, p, beside)));
          INFO(line(*step, p, beside) << "\n" << found);
          CHECK(holds(found, told + beside + "; take " + std::string(p.key) + " out, or write ") == !works);
          ++tried;
        }
      }
  CHECK(tried >= 30);
}

TEST_CASE("idle keys: beside a word that is misspelt nothing is said of them", "[recipe][fault]") {
  const std::string found = faults(recipe(R"({ do = "press", die = "flatt", land = "3 mm", spacing = "12 mm", depth = "1 mm" })"));
  CHECK(holds(found, "die may be"));
  CHECK(!holds(found, "land"));
}

TEST_CASE("idle keys: steps that are done cold take no heat", "[recipe][fault][steps]") {
  for (const std::string step : {R"(do = "groove", depth = "1 mm", spacing = "9 mm")", R"(do = "drill", depth = "1 mm", spacing = "9 mm")",
                                 R"(do = "grind", thickness = "9 mm")", R"(do = "trim", ends = "9 mm")", R"(do = "turn")",
                                 R"(do = "restack", pieces = 2)", R"(do = "fold")"})
    for (const std::string key : {R"(heat = "1000 C")", R"(soak = "5 min")", "heats = 2"}) {
      INFO(step << ", " << key);
      CHECK(faults(recipe("{ do = \"weld\" }, { " + step + " }")).empty());
      CHECK(holds(faults(recipe("{ do = \"weld\" }, { " + step + ", " + key + " }")),
                  key.substr(0, key.find(' ')) + " has no effect: "));
    }
  CHECK(faults(recipe(R"({ do = "weld", heat = "1250 C", soak = "8 min", heats = 2 }, { do = "draw", thickness = "9 mm", heat = "1000 C" })")).empty());
}

TEST_CASE("idle keys: those of [blade], [hand] and [etch.coupon]", "[recipe][fault]") {
  const std::string weld = R"({ do = "weld" })";
  CHECK(holds(faults(recipe(weld, "[blade]\nbow = \"0.2 mm\"\n")), "bow has no effect with grind = \"flat\"; take bow out, or write grind = \"convex\""));
  CHECK(holds(faults(recipe(weld, "[blade]\ngrind = \"convex\"\nbevel = \"50 %\"\n")), "or write grind = \"sabre\", \"hollow\" or \"single\""));
  CHECK(holds(faults(recipe(weld, "[blade]\ngrind = \"sabre\"\nwheel = \"10 in\"\n")), "wheel has no effect with grind = \"sabre\""));
  CHECK(holds(faults(recipe(weld, "[hand]\neven = true\nwander = \"0.1 mm\"\n")), "wander has no effect with even = true"));
  CHECK(holds(faults(recipe(weld, "[etch.coupon]\nrelief = \"18 um\"\npaper = 220\n")), "paper has no effect with no greys"));
  CHECK(holds(faults(recipe(weld, "[etch.coupon]\ntime = \"20 min\"\npaper = 220\ngreys = { dark = 50 }\n")), "time has no effect with no relief"));
  CHECK(faults(recipe(weld, "[hand]\neven = false\nwander = \"0.1 mm\"\n")).empty());
}
