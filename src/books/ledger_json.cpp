// The ledger for other programs.
#include <numbers>

#include "books/json.hpp"
#include "books/summary.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

void write_row(JsonWriter& json, const LedgerRow& row) {
  json.begin_object();
  json.number("number", row.number);
  json.text("step", row.step);
  if (!row.id.empty()) json.text("id", row.id);
  json.number("line", row.place.line);
  json.text("section", row.section == Section::round ? "round" : "rect");
  json.number("length_mm", row.length_mm);
  json.number("width_mm", row.width_mm);
  json.number("thickness_mm", row.thickness_mm);
  json.number("volume_mm3", row.volume_mm3);
  json.number("mass_g", row.mass_g);
  json.number("yield", row.yield);
  json.number("layers_nominal", double(row.nominal));
  json.number("layers_least", row.layers_least);
  json.number("layers_most", row.layers_most);
  json.number("layer_thinnest_mm", row.thinnest_mm);
  json.number("layer_mean_mm", row.mean_mm);
  json.number("layer_thickest_mm", row.thickest_mm);
  json.number("heats", row.heats);
  if (row.setting > 0) json.number("setting_heats", row.setting);
  if (row.heats > 0) json.number("heat_c", row.heat_c);
  json.number("soak_s", row.soak_s);
  json.number("scale_mm", row.scale_mm);
  json.number("removed_mm3", row.removed_mm3);
  json.number("reduction", row.reduction);
  json.number("drawn_out_along", row.along);
  json.number("drawn_out_across", row.across);
  if (row.rung_spacing_mm > 0) {
    json.number("rung_spacing_mm", row.rung_spacing_mm);
    json.number("rung_angle_deg", row.rung_angle_rad * 180 / std::numbers::pi);
  }
  json.text("rough", row.rough);
  json.begin_array("notes");
  for (const std::string& note : row.notes) json.text({}, note);
  json.end_array();
  json.end_object();
}

void write_summary(JsonWriter& json, const Summary& sum) {
  json.begin_object("summary");
  json.number("piled_g", sum.piled_g);
  json.number("finished_g", sum.finished_g);
  json.text("finished_bar", sum.finished);
  json.number("heats", sum.heats);
  if (sum.has_blade) {
    json.flag("blade_fits", sum.blade_fault.empty());
    if (sum.blade_fault.empty()) {
      json.number("layers_heel", sum.layers_heel);
      json.number("layers_middle", sum.layers_middle);
      json.number("layers_tip", sum.layers_tip);
    } else {
      json.text("blade_fault", sum.blade_fault);
    }
  }
  json.end_object();
}

void write_cuts(JsonWriter& json, const CutLine& line) {
  json.begin_array("plates");
  for (const CutPieces& one : line.pieces) {
    json.begin_object();
    json.text("billet", one.billet);
    json.number("count", one.count);
    json.number("length_mm", one.length_mm);
    json.end_object();
  }
  json.end_array();
  json.begin_array("bars");
  for (const CutBars& one : line.bars) {
    json.begin_object();
    json.number("count", one.count);
    json.number("over_mm", one.over_mm);
    json.end_object();
  }
  json.end_array();
}

void write_stock(JsonWriter& json, const Recipe& recipe, const CutList& list) {
  json.begin_object("stock");
  json.flag("told", list.told);
  json.number("kerf_mm", list.kerf_mm);
  json.begin_array("cuts");
  for (const CutLine& line : list.lines) {
    json.begin_object();
    json.text("steel", recipe.steels[size_t(line.steel)].name);
    json.number("thickness_mm", line.thickness_mm);
    json.number("width_mm", line.width_mm);
    json.number("bar_mm", line.bar_mm);
    json.number("too_long", line.too_long);
    json.number("mass_g", line.mass_g);
    write_cuts(json, line);
    json.end_object();
  }
  json.end_array();
  json.end_object();
}

}  // namespace

std::string ledger_json(const Recipe& recipe, const Forging& forging) {
  JsonWriter json;
  json.begin_object();
  json.text("file", recipe.file);
  json.text("title", recipe.title);
  json.begin_array("settings");
  for (const Setting& setting : recipe.settings) {
    json.begin_object();
    json.text("where", setting.where);
    json.text("value", setting.value);
    json.end_object();
  }
  json.end_array();
  json.text("tool", word_of(recipe.shop.tool));
  json.begin_array("billets");
  for (const BilletStory& story : forging.billets) {
    json.begin_object();
    json.text("name", story.name);
    json.begin_array("rows");
    for (const LedgerRow& row : story.rows) write_row(json, row);
    json.end_array();
    json.end_object();
  }
  json.end_array();
  write_stock(json, recipe, cut_list(recipe, forging));
  write_summary(json, summed_up(recipe, forging));
  json.end_object();
  return json.take();
}

}  // namespace etchcast
