// The keys of a step line, and the keys every step takes.
#include <stdexcept>

#include <fmt/format.h>

#include "base/units.hpp"
#include "etchcast/step.hpp"

namespace etchcast {

namespace {

constexpr Parameter kCommon[] = {
    {"id", Unit::word, 0, 0, "", false, "", "Your own label for the step, for --at and the shop sheet."},
    {"heat", Unit::temperature, 20, 1450, "", false, "",
     "Temperature of the metal. Default: 1260 C for a weld, else that of the last forging heat, else 1090 C."},
    {"soak", Unit::time, 0, 86400, "", false, "", "Time at heat before the work, in the first heat of the step."},
    {"heats", Unit::count, 0, 200, "", false, "", "How many heats the step takes. Default: an estimate from the bar, the step and the shop's tool."},
};

const Parameter* find(std::span<const Parameter> parameters, std::string_view key) {
  for (const Parameter& p : parameters)
    if (p.key == key) return &p;
  for (const Parameter& p : kCommon)
    if (p.key == key) return &p;
  return nullptr;
}

}  // namespace

std::span<const Parameter> common_parameters() { return kCommon; }

bool Arguments::has(std::string_view key) const {
  asked_heats_ = asked_heats_ || key == "heat" || key == "heats";
  return call_.given.count(std::string(key)) > 0;
}

void Arguments::refuse_idle_heats() const {
  if (asked_heats_) return;
  for (const char* key : {"heat", "soak", "heats"})
    if (call_.given.count(key))
      refuse(key, fmt::format("{} has no effect: {} is done cold", key, call_.name), "take it out, or give it to the next hot step");
}

double Arguments::number(std::string_view key) const {
  const auto given = call_.given.find(std::string(key));
  if (given != call_.given.end()) return given->second.number;
  const Parameter* parameter = find(parameters_, key);
  std::string why;
  if (parameter && !parameter->fallback.empty()) {
    if (parameter->unit == Unit::count || parameter->unit == Unit::number) return std::stod(std::string(parameter->fallback));
    if (const auto value = parse_quantity(parameter->fallback, parameter->unit, why)) return *value;
  }
  throw std::logic_error(fmt::format("step '{}' reads key '{}', which has no default", call_.name, key));
}

std::string Arguments::word(std::string_view key) const {
  const auto given = call_.given.find(std::string(key));
  if (given != call_.given.end()) return given->second.word;
  const Parameter* parameter = find(parameters_, key);
  return parameter ? std::string(parameter->fallback) : std::string();
}

bool Arguments::flag(std::string_view key) const {
  const auto given = call_.given.find(std::string(key));
  return given != call_.given.end() ? given->second.number != 0 : word(key) == "true";
}

void Arguments::refuse(std::string_view key, std::string message, std::string hint) const {
  const auto given = call_.given.find(std::string(key));
  const Place& place = given != call_.given.end() ? given->second.place : call_.place;
  std::string about = call_.name;
  if (given != call_.given.end()) about += "." + std::string(key);
  throw Error(Fault::recipe, {{place, about, std::move(message), std::move(hint), {}}});
}

}  // namespace etchcast
