// Where a setting leads, and what it puts there.

#include "recipe/settings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "base/words.hpp"
#include "recipe/table_reader.hpp"

namespace etchcast {
namespace {

using Names = std::vector<std::string_view>;

Value* find_in(Value& table, std::string_view key) { return const_cast<Value*>(find_value(table, key)); }

bool is_number(std::string_view text) {
  double number = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
  return fault == std::errc() && end == text.data() + text.size();
}

/// What the smith typed: TOML if it begins with a bracket or a quote, else a scalar without quotes.
std::optional<Value> value_of(const std::string& text, Spot spot, std::string& why) {
  if (std::string_view("[{\"'").find(text.front()) != std::string_view::npos) return parse_value(text, spot, why);
  Value value;
  value.spot = spot;
  value.bare = true;
  value.text = text;
  value.shape = Shape::text;
  if (text == "true" || text == "false") {
    value.shape = Shape::flag;
    value.flag = text == "true";
  } else if (is_number(text)) {
    std::from_chars(text.data(), text.data() + text.size(), value.number);
    value.shape = text.find_first_of(".eEn") == std::string::npos ? Shape::whole : Shape::decimal;
  }
  return value;
}

/// One part of a path: a key, and which of a list's entries (from 1) if one is named: "spine[2]".
struct Part {
  std::string_view key;
  std::size_t entry = 0;
};

Part part_of(std::string_view text) {
  const std::size_t bracket = text.rfind('[');
  if (bracket == std::string_view::npos || bracket == 0 || !text.ends_with(']')) return {text};
  std::size_t entry = 0;
  const std::string_view figures = text.substr(bracket + 1, text.size() - bracket - 2);
  const auto [end, fault] = std::from_chars(figures.data(), figures.data() + figures.size(), entry);
  if (fault != std::errc() || end != figures.data() + figures.size() || entry == 0) return {text};
  return {text.substr(0, bracket), entry};
}

/// Takes the first part off a path. A name may hold dots (a steel "1.2767"): the longest that `known` knows is meant,
/// else all before the first dot.
template <class Known>
std::string_view take_head(std::string_view& path, const Known& known) {
  std::size_t end = path.size();
  while (end != std::string_view::npos && !known(part_of(path.substr(0, end)).key)) end = end == 0 ? end - 1 : path.rfind('.', end - 1);
  if (end == std::string_view::npos) end = std::min(path.find('.'), path.size());
  const std::string_view head = path.substr(0, end);
  path.remove_prefix(std::min(end + 1, path.size()));
  return head;
}

/// One setting on its way to its place.
class Placing {
 public:
  Placing(Value& root, const Setting& setting, Spot spot, std::span<const std::string_view> tables, Faults& faults)
      : root_(root), setting_(setting), spot_(spot), tables_(tables), faults_(faults) {}

  void run() {
    std::optional<Value> value;
    std::string why;
    if (!setting_.value.empty()) {
      value = value_of(setting_.value, spot_, why);
      if (!value) return refuse(fmt::format("{} cannot be read: {}", in_quotes(setting_.value), why), "write text as it is, and lists as in the recipe: [\"dark 3.2 mm\"]");
    }
    std::string_view path = setting_.where;
    Value* at = start(path);
    if (at) put(*at, path, std::move(value));
  }

 private:
  void refuse(std::string message, std::string hint = {}) { faults_.add(spot_, setting_.where, std::move(message), std::move(hint)); }

  /// Every step of the billets (or of one), with whether it is called so.
  template <class Called>
  std::vector<Value*> steps_where(std::string_view billet, const Called& called) {
    std::vector<Value*> found;
    each_billet([&](std::string_view name, Value& table) {
      if (!billet.empty() && name != billet) return;
      Value* steps = find_in(table, "steps");
      for (std::size_t i = 0; steps && i < steps->items.size(); ++i)
        if (called(steps->items[i], i + 1)) found.push_back(&steps->items[i]);
    });
    return found;
  }

  template <class Do>
  void each_billet(const Do& act) {
    Value* billets = find_in(root_, "billet");
    for (std::size_t i = 0; billets && i < billets->items.size(); ++i) {
      const Value* name = find_value(billets->items[i], "name");
      act(name && text_in(*name) ? std::string_view(*text_in(*name)) : std::string_view(), billets->items[i]);
    }
  }

  static bool says(const Value& step, std::string_view key, std::string_view word) {
    const Value* value = find_value(step, key);
    return value && text_in(*value) && *text_in(*value) == word;
  }

  /// Steps by id, else by number, else by what they do; as `--at` finds them.
  std::vector<Value*> steps_named(std::string_view billet, std::string_view name) {
    auto found = steps_where(billet, [&](const Value& step, std::size_t) { return says(step, "id", name); });
    if (found.empty() && !name.empty() && name.find_first_not_of("0123456789") == std::string_view::npos) {
      std::string_view in = billet;
      if (in.empty()) each_billet([&](std::string_view last, Value&) { in = last; });
      found = steps_where(in, [&](const Value&, std::size_t number) { return std::to_string(number) == name; });
    }
    if (found.empty()) found = steps_where(billet, [&](const Value& step, std::size_t) { return says(step, "do", name); });
    return found;
  }

  Value* billet_named(std::string_view name) {
    Value* found = nullptr;
    each_billet([&](std::string_view own, Value& billet) { found = own == name ? &billet : found; });
    return found;
  }

  /// The table that the head of the path names; the head is taken off unless it is a key of the recipe's own.
  Value* start(std::string_view& path) {
    std::string_view scope;
    each_billet([&](std::string_view name, Value&) {
      if (path.starts_with(name) && path.substr(name.size()).starts_with(':')) scope = name;
    });
    if (!scope.empty()) path.remove_prefix(scope.size() + 1);
    const auto is_top = [&](std::string_view word) { return scope.empty() && std::ranges::find(tables_, word) != tables_.end(); };
    std::string_view rest = path;
    const std::string_view head = take_head(
        rest, [&](std::string_view word) { return is_top(word) || (scope.empty() && billet_named(word)) || !steps_named(scope, word).empty(); });
    if (is_top(part_of(head).key)) return &root_;
    Value* billet = scope.empty() ? billet_named(head) : nullptr;
    const auto steps = steps_named(scope, head);
    if (!billet && steps.empty()) return refuse_unknown(scope, head), nullptr;
    if (rest.empty())
      return refuse(fmt::format("{} is a {}: say which of its keys", in_quotes(head), billet ? "billet" : "step"),
                    fmt::format("for example {}.{}", setting_.where, billet ? "width" : "thickness")), nullptr;
    if (steps.size() + (billet ? 1 : 0) > 1) return refuse_many(head, billet != nullptr), nullptr;
    path = rest;
    return billet ? billet : steps.front();
  }

  void refuse_many(std::string_view head, bool billet) {
    refuse(fmt::format("{} is more than one step of the recipe{}", in_quotes(head), billet ? ", or a billet" : ""),
           "say which by billet and number, BILLET:NUMBER.key, or give the step an id");
  }

  void refuse_unknown(std::string_view scope, std::string_view head) {
    Names known;
    steps_where(scope, [&](const Value& step, std::size_t) {
      for (const char* key : {"id", "do"})
        if (const Value* word = find_value(step, key); word && text_in(*word)) known.push_back(*text_in(*word));
      return false;
    });
    if (scope.empty()) {
      each_billet([&](std::string_view name, Value&) { known.push_back(name); });
      known.insert(known.end(), tables_.begin(), tables_.end());
    }
    std::ranges::sort(known);
    known.erase(std::unique(known.begin(), known.end()), known.end());
    refuse(fmt::format("there is no step{} {} in the recipe", scope.empty() ? ", billet or table" : "", in_quotes(head)),
           hint_for_unknown(head, known));
  }

  /// Walks on to the last key and sets it there, or takes it out.
  void put(Value& table, std::string_view path, std::optional<Value> value) {
    if (table.shape == Shape::flag && table.flag) {  // losses = true: as usual, like an empty table
      table = {};
      table.shape = Shape::table;
      table.spot = spot_;
    }
    if (table.shape != Shape::table)
      return refuse(fmt::format("there is no key {} in {}", in_quotes(path), shape_name(table.shape)), "give the whole anew, or take it out first");
    const Part part = part_of(take_head(path, [&](std::string_view key) { return find_value(table, key) != nullptr; }));
    if (part.key.empty()) return refuse("a key is missing here", "write STEP.key, BILLET.key or blade.key");
    Value* here = find_in(table, part.key);
    if (part.entry > 0) return put_entry(here, part, path, std::move(value));
    if (!path.empty()) return put(here ? *here : added(table, part.key), path, std::move(value));
    if (!value && !here) return refuse_absent(table, part.key);
    if (!value)
      std::erase_if(table.entries, [&](const Entry& entry) { return entry.key == part.key; });
    else
      (here ? *here : added(table, part.key)) = std::move(*value);
  }

  void refuse_absent(const Value& table, std::string_view key) {
    Names known;
    for (const Entry& entry : table.entries) known.push_back(entry.key);
    refuse(fmt::format("there is no key {} to take out", in_quotes(key)), hint_for_unknown(key, known));
  }

  void put_entry(Value* list, const Part& part, std::string_view path, std::optional<Value> value) {
    if (!list || list->shape != Shape::list || part.entry > list->items.size())
      return refuse(fmt::format("{} has no entry {}", part.key, part.entry),
                    list && list->shape == Shape::list ? fmt::format("it has {}", list->items.size()) : "it is no list");
    Value& item = list->items[part.entry - 1];
    if (!path.empty()) return put(item, path, std::move(value));
    if (value)
      item = std::move(*value);
    else
      list->items.erase(list->items.begin() + std::ptrdiff_t(part.entry - 1));
  }

  Value& added(Value& table, std::string_view key) {
    Value empty;
    empty.shape = Shape::table;
    empty.spot = spot_;
    table.entries.push_back({std::string(key), spot_, std::move(empty)});
    return table.entries.back().value;
  }

  Value& root_;
  const Setting& setting_;
  Spot spot_;
  std::span<const std::string_view> tables_;
  Faults& faults_;
};

}  // namespace

Value with_settings(const Value& root, std::span<const Setting> settings, std::span<const std::string_view> tables,
                    Faults& faults) {
  Value changed = root;
  for (std::size_t i = 0; i < settings.size(); ++i)
    Placing(changed, settings[i], {-1 - static_cast<int>(i), 0}, tables, faults).run();
  return changed;
}

}  // namespace etchcast
