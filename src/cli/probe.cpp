// probe: what stands at single points, as CSV (RFC 4180 without carriage returns).
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/render.hpp"

namespace etchcast::cli {
namespace {

std::string cell(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + '"';
}

std::string pick_cells(const Recipe& recipe, const Bar& bar, const Pick& pick) {
  return fmt::format("{:.6f},{},{},{}", pick.s, cell(bar.leaves()[size_t(pick.leaf)]->billet), pick.layer,
                     cell(recipe.steels[size_t(pick.steel)].name));
}

/// A recipe with its work done, and the bar that is asked.
struct Job {
  Recipe recipe;
  Forging forging;
  const Bar* bar = nullptr;

  explicit Job(const ProbeCall& call) : recipe(read(call)), forging(forge(recipe)) {
    const bool of_blade = recipe.blade && !recipe.blade->from.empty();
    bar = of_blade ? forging.story(recipe.blade->from).bars.back().get() : &forging.last();
    if (call.step.empty()) return;
    const Moment moment = find_moment(forging, call.step);
    bar = forging.billets[moment.billet].bars[moment.step].get();
  }
};

constexpr const char* kPointHeading = "blade_x_mm,blade_y_mm,x_mm,y_mm,z_mm,stack_mm,billet,layer,steel\n";

bool on_blade(const Blade& blade, const Eigen::Vector2d& p) {
  return p.x() >= -blade.tang() && p.x() <= blade.length() && p.y() >= blade.edge_y(p.x()) &&
         p.y() <= blade.spine_y(p.x());
}

std::vector<Eigen::Vector2d> line_points(const ProbeCall& call) {
  const size_t colon = call.line.find(':');
  if (colon == std::string::npos)
    throw Error(Fault::use, fmt::format("--line \"{}\" is not understood", call.line),
                "write X0,Y0:X1,Y1, e.g. 0,10:150,10");
  const auto a = read_numbers("--line", call.line.substr(0, colon), 2),
             b = read_numbers("--line", call.line.substr(colon + 1), 2);
  std::vector<Eigen::Vector2d> points;
  const int count = call.count.value_or(100);
  for (int i = 0; i < count; ++i) {
    const double t = count == 1 ? 0 : double(i) / (count - 1);
    points.emplace_back(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]));
  }
  return points;
}

void need_on_blade(const Blade& blade, const Eigen::Vector2d& p) {
  if (on_blade(blade, p)) return;
  if (p.x() < -blade.tang() || p.x() > blade.length())
    throw Error(Fault::use,
                fmt::format("there is no blade at X = {:g} mm: it reaches from {:.1f} mm (tang) to {:.1f} mm (tip)",
                            p.x(), -blade.tang(), blade.length()));
  throw Error(Fault::use,
              fmt::format("there is no blade at X = {:g}, Y = {:g} mm: there it reaches from Y = {:.2f} to {:.2f} mm",
                          p.x(), p.y(), blade.edge_y(p.x()), blade.spine_y(p.x())));
}

/// Points on a side of the blade; those of a line that miss the blade keep empty cells.
std::string side_rows(const ProbeCall& call, const Job& job) {
  if (!job.recipe.blade)
    throw Error(Fault::use, "the recipe has no [blade] to probe", "use --section or --inside for the bar");
  if (!call.step.empty())
    throw Error(Fault::use, "--step goes with --section and --inside: the blade is ground after the last step");
  const BladePlan& plan = *job.recipe.blade;
  const Blade blade(plan);
  const Fit fit = fit_blade(*job.bar, blade, plan);
  if (!fit.problems.empty())
    throw Error(Fault::recipe,
                {{plan.place, "blade", "the blade does not fit its bar: " + fit.problems.front(), "", ""}});
  std::vector<Eigen::Vector2d> points;
  for (const std::string& text : call.at) {
    const auto p = read_numbers("--at", text, 2);
    points.emplace_back(p[0], p[1]);
    need_on_blade(blade, points.back());
  }
  if (!call.line.empty())
    for (const auto& p : line_points(call)) points.push_back(p);
  const auto at = bar_from_blade(*job.bar, blade, plan, call.side == "left" ? Side::left : Side::right, points);
  const auto picks = job.bar->picks(at);
  std::string text;
  for (size_t i = 0; i < points.size(); ++i) {
    text += fmt::format("{:.4f},{:.4f},", points[i].x(), points[i].y());
    text += on_blade(blade, points[i]) ? fmt::format("{:.4f},{:.4f},{:.6f},{}\n", at[i].x, at[i].y, at[i].z,
                                                     pick_cells(job.recipe, *job.bar, picks[i]))
                                       : std::string(",,,,,,\n");
  }
  return text;
}

void need_in_bar(const Bar& bar, double x, double y) {
  if (x >= 0 && x <= bar.length_mm && std::abs(y) <= bar.width_mm / 2) return;
  throw Error(
      Fault::use,
      fmt::format("x = {:g}, y = {:g} mm lies outside the bar: x runs from 0 to {:.2f} mm, y from {:.2f} to {:.2f} mm",
                  x, y, bar.length_mm, -bar.width_mm / 2, bar.width_mm / 2));
}

std::string inside_rows(const ProbeCall& call, const Job& job) {
  const Bar& bar = *job.bar;
  std::string text;
  for (const std::string& place : call.inside) {
    const auto p = read_numbers("--inside", place, 3);
    need_in_bar(bar, p[0], p[1]);
    const double low = bar.bottom_at(p[0], p[1]), high = bar.top_at(p[0], p[1]);
    if (p[2] < low - 1e-9 || p[2] > high + 1e-9)
      throw Error(Fault::use, fmt::format("z = {:g} mm lies outside the bar: there it reaches from {:.4f} to {:.4f} mm",
                                          p[2], low, high));
    text += fmt::format(",,{:.4f},{:.4f},{:.6f},{}\n", p[0], p[1], p[2],
                        pick_cells(job.recipe, bar, bar.picks({{p[0], p[1], p[2]}})[0]));
  }
  return text;
}

/// Height at which the layer changes between z0 and z1, to a nanometre.
double seam_between(const Bar& bar, double x, double y, double z0, double z1, const Pick& lower) {
  while (z1 - z0 > 1e-6) {
    const double z = (z0 + z1) / 2;
    const Pick pick = bar.picks({{x, y, z}})[0];
    (pick.leaf == lower.leaf && pick.layer == lower.layer ? z0 : z1) = z;
  }
  return (z0 + z1) / 2;
}

/// All layers through the thickness at (x, y), bottom to top. `number` counts as the ledger does: neighbours of the
/// same steel are one layer.
std::string section_rows(const ProbeCall& call, const Job& job) {
  const Bar& bar = *job.bar;
  const double x = *call.section, y = call.across.value_or(0);
  need_in_bar(bar, x, y);
  const double low = bar.bottom_at(x, y), high = bar.top_at(x, y);
  int bands = 0;
  for (const BandList* list : bar.leaves()) bands += list->size();
  const int n = std::clamp(bands * 32, 1024, 1 << 18);
  std::vector<Point<double>> points(static_cast<size_t>(n));
  for (int i = 0; i < n; ++i) points[size_t(i)] = {x, y, low + (high - low) * (i + 0.5) / n};
  const auto picks = bar.picks(points);
  std::string text = "number,x_mm,y_mm,from_z_mm,to_z_mm,thick_mm,stack_mm,billet,layer,steel\n";
  int number = 0, last_steel = -1;
  double from = low;
  for (size_t i = 0; i < picks.size(); ++i) {
    const bool ends =
        i + 1 == picks.size() || picks[i + 1].layer != picks[i].layer || picks[i + 1].leaf != picks[i].leaf;
    if (!ends) continue;
    const double to = i + 1 == picks.size() ? high : seam_between(bar, x, y, points[i].z, points[i + 1].z, picks[i]);
    if (picks[i].steel != last_steel) ++number;
    last_steel = picks[i].steel;
    const Pick middle = bar.picks({{x, y, (from + to) / 2}})[0];
    text += fmt::format("{},{:.4f},{:.4f},{:.6f},{:.6f},{:.6f},{}\n", number, x, y, from, to, to - from,
                        pick_cells(job.recipe, bar, middle));
    from = to;
  }
  return text;
}

}  // namespace

int probe_command(const ProbeCall& call) {
  const bool side = !call.at.empty() || !call.line.empty(), points = side || !call.inside.empty();
  if (!points && !call.section)
    throw Error(Fault::use, "nothing to probe",
                "give --at, --line, --inside or --section; 'etchcast probe --help' has examples");
  if (points && call.section)
    throw Error(Fault::use, "--section is a table of its own: ask for points in another call");
  goes_with(!call.side.empty(), "--side", side, "--at or --line");
  goes_with(call.count.has_value(), "--count", !call.line.empty(), "--line");
  goes_with(call.across.has_value(), "--across", call.section.has_value(), "--section");
  const Job job(call);
  std::string text = points ? kPointHeading : "";
  if (side) text += side_rows(call, job);
  if (!call.inside.empty()) text += inside_rows(call, job);
  if (call.section) text += section_rows(call, job);
  print(text);
  return 0;
}

}  // namespace etchcast::cli
