// A file of the smith's own grades: TOML, one table a grade, the same figures as the built-in table.

#include <fmt/format.h>

#include <filesystem>

#include "base/words.hpp"
#include "recipe/check.hpp"
#include "recipe/grades.hpp"

namespace etchcast {
namespace {

constexpr Range kShare{Unit::number, 0, 1};
constexpr Range kDensity{Unit::number, 1, 23};        // g/cm3, as in a recipe
constexpr Range kHeat{Unit::temperature, 400, 1600};  // nothing is forged or hardened outside
constexpr Range kMelting{Unit::temperature, 900, 1700};

const Value* find_value(const Value& table, std::string_view key) {
  for (const Entry& entry : table.entries)
    if (entry.key == key) return &entry.value;
  return nullptr;
}

/// One grade while it is read.
struct Reading {
  TableReader& reader;
  GradeBook& book;
  SteelSheet& sheet;
  Faults& faults;
};

/// A share alone, [least, most], or [least, most, nominal]; without a nominal the middle is reckoned with.
std::optional<Content> content(const ElementKey& element, const Value& value, const std::string& path, Faults& faults) {
  const Range range{Unit::number, 0, element.most};
  if (value.shape != Shape::list) {
    const auto share = read_quantity(value, range, element.key, path, faults);
    return share ? std::optional(Content{element.element, *share, *share, *share}) : std::nullopt;
  }
  const std::string way =
      fmt::format("write: {0} = [0.70, 0.80, 0.75], least, most and what to reckon with", element.key);
  if (value.items.size() < 2 || value.items.size() > 3) {
    faults.add(value.spot, path, fmt::format("{} needs two or three shares, not {}", element.key, value.items.size()),
               way);
    return {};
  }
  double shares[3] = {};
  for (size_t i = 0; i < value.items.size(); ++i) {
    const auto share = read_quantity(value.items[i], range, element.key, path, faults);
    if (!share) return {};
    shares[i] = *share;
  }
  const double nominal = value.items.size() == 3 ? shares[2] : (shares[0] + shares[1]) / 2;
  if (shares[0] > shares[1] || nominal < shares[0] || nominal > shares[1]) {
    faults.add(value.spot, path, fmt::format("the shares of {} are out of order", element.key), way);
    return {};
  }
  return Content{element.element, shares[0], shares[1], nominal};
}

void check_contents(const Reading& r) {
  double sum = 0;
  for (const ElementKey& element : kElementKeys) {
    const Value* value = r.reader.find(element.key);
    if (!value) {
      if (element.element == Element::carbon)
        r.reader.miss("c", "its carbon in weight %: c = 0.80, or c = [0.75, 0.85, 0.80]; 0 for pure nickel");
      continue;
    }
    if (const auto one = content(element, *value, r.reader.path_of(element.key), r.faults)) {
      r.sheet.contents.add(*one);
      sum += one->nominal;
    }
  }
  if (sum > 100)
    r.faults.add(r.reader.table().spot, r.reader.path_of("c"),
                 fmt::format("the elements add up to {} %, more than the whole steel", number_text(sum)));
}

std::optional<Window> check_window(const Reading& r, std::string_view key, std::string_view example) {
  const Value* value = r.reader.find(key);
  if (!value) return {};
  const std::string path = r.reader.path_of(key), way = fmt::format("write: {} = {}", key, example);
  if (value->shape != Shape::table) {
    r.faults.add(value->spot, path, fmt::format("{} must be a table, not {}", key, shape_name(value->shape)), way);
    return {};
  }
  TableReader inner(*value, path, std::string(key), r.faults);
  const auto from = inner.quantity("from", kHeat), to = inner.quantity("to", kHeat);
  const auto source = inner.word("source");
  if (!find_value(*value, "from")) inner.miss("from", way);
  if (!find_value(*value, "to")) inner.miss("to", way);
  inner.finish();
  if (!from || !to) return {};
  if (*from > *to) {
    r.faults.add(value->spot, path, fmt::format("{} goes from {:.0f} C down to {:.0f} C", key, *from, *to), way);
    return {};
  }
  return Window{*from, *to, source ? r.book.keep(*source) : r.sheet.source};
}

void check_words(const Reading& r) {
  const auto text = [&](std::string_view key, std::string_view otherwise) {
    const auto word = r.reader.word(key);
    return word ? r.book.keep(*word) : otherwise;
  };
  r.sheet.also = text("also", "");
  r.sheet.standard = text("standard", "none told");
  r.sheet.source = text("source", "");
  if (!r.reader.find("source"))
    r.reader.miss("a source", "where its figures come from: source = \"mill certificate\", or \"from memory\"");
}

void check_etching(const Reading& r) {
  const Steel steel = steel_of({std::shared_ptr<const SteelSheet>(), &r.sheet});
  const Etched guess = estimated_etch(steel.manganese, steel.chromium, steel.nickel);
  r.sheet.tone = r.reader.quantity("tone", kShare).value_or(guess.tone);
  r.sheet.attack = r.reader.quantity("attack", kShare).value_or(guess.attack);
  if (!r.reader.find("tone") || !r.reader.find("attack"))
    r.sheet.source = r.book.keep(fmt::format("{}; tone or attack estimated from the elements", r.sheet.source));
}

void check_grade(const Entry& entry, GradeBook& book, Faults& faults) {
  if (entry.value.shape != Shape::table)
    return faults.add(
        entry.value.spot, entry.key,
        fmt::format("{} must be a table of its figures, not {}", in_quotes(entry.key), shape_name(entry.value.shape)),
        "write [\"C125W\"] on a line of its own, and c = 1.25 and the rest below");
  TableReader reader(entry.value, entry.key, "grade " + in_quotes(entry.key), faults);
  if (book.find(entry.key))
    faults.add(entry.spot, entry.key, fmt::format("there is a grade {} in this file already", in_quotes(entry.key)),
               "names under `also` count too, and case does not");
  SteelSheet& sheet = book.add();
  sheet.grade = book.keep(entry.key);
  const Reading r{reader, book, sheet, faults};
  check_words(r);
  check_contents(r);
  keep(sheet.density, reader.quantity("density", kDensity));
  keep(sheet.solidus_c, reader.quantity("melts", kMelting));
  sheet.forge = check_window(r, "forge", "{ from = \"845 C\", to = \"1095 C\" }, not below and not above");
  sheet.harden = check_window(r, "harden", "{ from = \"790 C\", to = \"815 C\" }");
  sheet.normalise = check_window(r, "normalise", "{ from = \"845 C\", to = \"870 C\" }");
  check_etching(r);
  reader.finish();
}

/// Beside the recipe, unless the path stands by itself. A recipe from standard input looks in the folder one stands in.
std::filesystem::path beside(const std::string& recipe, const std::string& file) {
  return std::filesystem::path(recipe).parent_path() / file;  // an absolute `file` replaces what stands before it
}

}  // namespace

std::shared_ptr<const GradeBook> parse_grades(std::string_view text, const std::string& file) {
  const Document document = parse_document(text, file);
  auto book = std::make_shared<GradeBook>();
  book->file = file;
  Faults faults(document);
  for (const Entry& entry : document.root.entries) check_grade(entry, *book, faults);
  if (document.root.entries.empty())
    faults.add({1, 1}, "", "there is no grade in this file", "write [\"C125W\"] and its figures below: c = 1.25 …");
  faults.throw_if_any();
  return book;
}

std::shared_ptr<const GradeBook> read_grades(const std::string& path) {
  return parse_grades(read_file(path, "a file of grades", "docs/guide.md shows how one is written"), path);
}

void check_grades(const Value& value, Recipe& recipe, Faults& faults) {
  const auto file = read_word(value, {}, "grades", "grades", faults);
  if (!file) return;
  const std::string path = beside(recipe.file, *file).string();
  try {
    recipe.own_grades = read_grades(path);
  } catch (const Error& error) {
    if (error.fault() == Fault::recipe) return faults.take(error);
    const Diagnostic& why = error.diagnostics().front();
    faults.add(value.spot, "grades", why.message, "the path counts from the recipe's own folder");
  }
}

}  // namespace etchcast
