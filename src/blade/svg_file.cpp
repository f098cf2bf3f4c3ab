// SVG as drawing programs save it. The only file that knows pugixml.
#include "blade/svg_file.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>

#include <Eigen/Geometry>
#include <fmt/format.h>
#include <pugixml.hpp>

#include "base/words.hpp"
#include "blade/svg_path.hpp"

namespace etchcast {
namespace {

using Eigen::Affine2d;
using Eigen::Vector2d;

constexpr int kDeepest = 200;       // groups within groups
constexpr double kShut = 0.05;      // mm; ends nearer than that meet
constexpr double kUpright = 0.02;   // lean of the heel's line, a degree or so
constexpr double kTangLike = 0.25;  // a left end that high above the edge is no heel

[[noreturn]] void refuse(std::string message, std::string hint) { throw PathFault(std::move(message), std::move(hint)); }

/// Without a prefix: "svg:path" is a path.
std::string_view local_name(pugi::xml_node node) {
  const std::string_view name = node.name();
  const size_t colon = name.find(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

std::string called(pugi::xml_node node) {
  const char* label = node.attribute("inkscape:label").value();
  const std::string name = *label ? label : node.attribute("id").value();
  return fmt::format("<{}>{}", local_name(node), name.empty() ? "" : " " + in_quotes(name));
}

std::string_view trimmed(std::string_view text) {
  const size_t first = text.find_first_not_of(" \t\r\n");
  return first == std::string_view::npos ? "" : text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

/// A property of the style attribute; empty if it is not there.
std::string_view styled(pugi::xml_node node, std::string_view name) {
  std::string_view style = node.attribute("style").value();
  while (!style.empty()) {
    const std::string_view one = style.substr(0, style.find(';'));
    style.remove_prefix(std::min(one.size() + 1, style.size()));
    const size_t colon = one.find(':');
    if (colon != std::string_view::npos && trimmed(one.substr(0, colon)) == name) return trimmed(one.substr(colon + 1));
  }
  return {};
}

bool hidden(pugi::xml_node node) {
  const auto says = [&](const char* name, std::string_view word) {
    return styled(node, name) == word || trimmed(node.attribute(name).value()) == word;
  };
  return says("display", "none") || says("visibility", "hidden");
}

/// All numbers in a list with blanks and commas between them; false if something else stands there.
bool take_numbers(std::string_view text, std::vector<double>& numbers) {
  const char* at = text.data();
  const char* const end = at + text.size();
  while (true) {
    while (at < end && (std::strchr(" \t\r\n,", *at) != nullptr)) ++at;
    if (at == end) return true;
    double value = 0;
    const auto [next, fault] = std::from_chars(*at == '+' ? at + 1 : at, end, value);
    if (fault != std::errc() || !(std::abs(value) < 1e9)) return false;
    numbers.push_back(value);
    at = next;
  }
}

/// One of the functions of a transform; nothing if its numbers do not fit it.
std::optional<Affine2d> transform_of(std::string_view name, const std::vector<double>& n) {
  constexpr double kDegree = 0.017453292519943295;
  Affine2d t = Affine2d::Identity();
  if (name == "matrix" && n.size() == 6) {
    t.matrix() << n[0], n[2], n[4], n[1], n[3], n[5], 0, 0, 1;
  } else if (name == "translate" && (n.size() == 1 || n.size() == 2)) {
    t.translate(Vector2d(n[0], n.size() == 2 ? n[1] : 0));
  } else if (name == "scale" && (n.size() == 1 || n.size() == 2)) {
    t.scale(Vector2d(n[0], n.size() == 2 ? n[1] : n[0]));
  } else if (name == "rotate" && (n.size() == 1 || n.size() == 3)) {
    const Vector2d centre = n.size() == 3 ? Vector2d(n[1], n[2]) : Vector2d::Zero();
    t.translate(centre).rotate(n[0] * kDegree).translate(-centre);
  } else if ((name == "skewX" || name == "skewY") && n.size() == 1) {
    t.matrix()(name == "skewX" ? 0 : 1, name == "skewX" ? 1 : 0) = std::tan(n[0] * kDegree);
  } else {
    return {};
  }
  return t;
}

Affine2d own_transform(pugi::xml_node node) {
  const auto odd = [&] {
    refuse(fmt::format("the transform of {} in the drawing is not understood", called(node)),
           "in the drawing program, ungroup the outline or save as plain SVG");
  };
  if (!styled(node, "transform").empty()) odd();
  std::string_view text = trimmed(node.attribute("transform").value());
  Affine2d all = Affine2d::Identity();
  while (!text.empty()) {
    const size_t open = text.find('('), close = text.find(')');
    if (open == std::string_view::npos || close == std::string_view::npos || close < open) odd();
    std::vector<double> numbers;
    const bool good = take_numbers(text.substr(open + 1, close - open - 1), numbers);
    const auto one = good ? transform_of(trimmed(text.substr(0, open)), numbers) : std::nullopt;
    if (!one) odd();
    all = all * *one;
    text = text.substr(close + 1);
    while (!text.empty() && (text[0] == ',' || trimmed(text.substr(0, 1)).empty())) text.remove_prefix(1);
  }
  return all;
}

/// Millimetres of a length with its unit; nothing for percents, pixels and bare numbers, of which programs have three
/// different ideas.
std::optional<double> millimetres(std::string_view text) {
  constexpr std::pair<std::string_view, double> kUnits[] = {{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"pt", 25.4 / 72}, {"pc", 25.4 / 6}};
  for (const auto& [unit, mm] : kUnits) {
    if (!text.ends_with(unit)) continue;
    std::vector<double> number;
    if (take_numbers(text.substr(0, text.size() - unit.size()), number) && number.size() == 1 && number[0] > 0)
      return number[0] * mm;
  }
  return {};
}

/// Millimetres of the drawing's own units, along x and y.
Vector2d scale_of(pugi::xml_node svg) {
  const auto width = millimetres(trimmed(svg.attribute("width").value())), height = millimetres(trimmed(svg.attribute("height").value()));
  if (!width || !height)
    refuse(fmt::format("the drawing does not say how large its page is: width {}, height {}", in_quotes(svg.attribute("width").value()),
                       in_quotes(svg.attribute("height").value())),
           "in the drawing program, give the page its size in mm or in (pixels have no fixed size) and save again");
  std::vector<double> box;
  if (!take_numbers(svg.attribute("viewBox").value(), box) || box.size() != 4 || !(box[2] > 0 && box[3] > 0))
    refuse("the drawing does not say what its units are: it has no viewBox of four numbers",
           "save it as plain SVG; by hand, width = \"210mm\", height = \"297mm\" and viewBox = \"0 0 210 297\" make a unit a millimetre");
  const Vector2d scale(*width / box[2], *height / box[3]);
  if (trimmed(svg.attribute("preserveAspectRatio").value()).starts_with("none")) return scale;
  return Vector2d::Constant(scale.minCoeff());  // "meet"
}

struct Drawn {
  Stroke stroke;
  std::string name;
};

/// Goes through the drawing and gathers the lines that it shows.
class Gatherer {
 public:
  explicit Gatherer(double tolerance) : tolerance_(tolerance) {}

  void visit(pugi::xml_node node, const Affine2d& outer, int depth) {
    if (depth > kDeepest) refuse("the drawing's groups lie too deep in one another", "ungroup the outline");
    const std::string_view name = local_name(node);
    if (hidden(node)) return;
    if (name == "svg" && depth > 0) refuse("there is a drawing within the drawing", "break it up, or save as plain SVG");
    if (name == "use") refuse(fmt::format("{} is a clone of another shape", called(node)), "unlink the clone first");
    const Affine2d place = outer * own_transform(node);
    if (name == "path") add(node, node.attribute("d").value(), place);
    if (name == "polygon" || name == "polyline") add_points(node, place, name == "polygon");
    if (name == "line") add_line(node, place);
    if (name != "svg" && name != "g" && name != "a" && name != "switch") return;  // definitions, words, pictures
    for (const pugi::xml_node child : node.children())
      if (child.type() == pugi::node_element) visit(child, place, depth + 1);
  }

  std::vector<Drawn> lines;

 private:
  void add(pugi::xml_node node, std::string_view data, const Affine2d& place) {
    const double grows = place.linear().norm();
    if (!(std::abs(place.linear().determinant()) > 1e-12 * grows * grows) || !std::isfinite(grows))
      refuse(fmt::format("{} is squashed flat by its transform", called(node)), "draw it anew, or undo the transform");
    try {
      for (Stroke& stroke : trace_path(data, Vector2d(1, 1), tolerance_ / grows)) {
        for (Vector2d& p : stroke.points) p = place * p;
        if (stroke.points.size() > 2 && (stroke.points.front() - stroke.points.back()).norm() < kShut) stroke.closed = true;
        if (stroke.points.size() > 1) lines.push_back({std::move(stroke), called(node)});
      }
    } catch (const PathFault& fault) {
      refuse(fmt::format("{}: {}", called(node), fault.what()), fault.hint);
    }
  }

  void add_points(pugi::xml_node node, const Affine2d& place, bool closed) {
    std::vector<double> n;
    if (!take_numbers(node.attribute("points").value(), n) || n.size() % 2 != 0 || n.empty())
      refuse(fmt::format("the points of {} cannot be read", called(node)), "save the drawing anew as plain SVG");
    std::string data;
    for (size_t i = 0; i < n.size(); i += 2) data += fmt::format("{} {} {} ", i == 0 ? "M" : "L", n[i], n[i + 1]);
    add(node, data + (closed ? "Z" : ""), place);
  }

  void add_line(pugi::xml_node node, const Affine2d& place) {
    std::vector<double> n;
    for (const char* key : {"x1", "y1", "x2", "y2"})
      if (!take_numbers(node.attribute(key) ? node.attribute(key).value() : "0", n))
        refuse(fmt::format("the ends of {} cannot be read", called(node)), "save the drawing anew as plain SVG");
    if (n.size() == 4) add(node, fmt::format("M {} {} L {} {}", n[0], n[1], n[2], n[3]), place);
  }

  double tolerance_;
};

Drawn single_outline(std::vector<Drawn>& lines) {
  std::vector<Drawn> closed;
  for (Drawn& line : lines)
    if (line.stroke.closed) closed.push_back(std::move(line));
  std::erase_if(lines, [](const Drawn& line) { return line.stroke.closed || line.stroke.points.empty(); });
  if (closed.empty())
    refuse(lines.empty() ? "the drawing has no outline in it" : fmt::format("the drawing has no closed outline: {} is open", lines.front().name),
           "draw the blade as one closed path; turn rectangles, ellipses and words into paths");
  if (closed.size() > 1)
    refuse(fmt::format("the drawing has {} closed lines, among them {} and {}: which one is the blade?", closed.size(), closed[0].name, closed[1].name),
           "leave only the blade's outline, without holes, and hide or remove the rest");
  return std::move(closed.front());
}

/// Where the heel is, by the line that marks it.
std::optional<double> heel_mark(const std::vector<Drawn>& lines, const Polygon& outline) {
  std::optional<double> heel;
  const auto [least, most] = std::ranges::minmax(outline, {}, [](const Vector2d& p) { return p.x(); });
  for (const Drawn& line : lines) {
    const Vector2d a = line.stroke.points.front(), b = line.stroke.points.back();
    const bool upright = line.stroke.points.size() == 2 && std::abs(b.x() - a.x()) <= kUpright * std::abs(b.y() - a.y());
    if (!upright || heel)
      refuse(fmt::format("{} is an open line that means nothing here", line.name),
             "beside the closed outline there may be one straight, upright line: it marks the heel");
    heel = (a.x() + b.x()) / 2;
    if (*heel < least.x() - kShut || *heel > most.x())
      refuse(fmt::format("{}, the line that marks the heel, does not cross the outline", line.name), "move it to where the edge begins");
  }
  return heel;
}

/// Without a mark the outline begins at the heel; one that begins high above the edge begins with a tang.
void need_heel(const Polygon& outline, double left) {
  double right = left, low = 1e9, high = -1e9, low_left = 1e9;
  for (const Vector2d& p : outline) right = std::max(right, p.x()), low = std::min(low, p.y()), high = std::max(high, p.y());
  for (const Vector2d& p : outline)
    if (p.x() < left + 0.05 * (right - left)) low_left = std::min(low_left, p.y());
  if (low_left - low > kTangLike * (high - low))
    refuse("the outline begins with a tang, and no line marks where the edge begins",
           "draw one straight, upright line across the outline at the heel; the tip is on the right, the edge below");
}

}  // namespace

Polygon read_drawing(const std::string& svg, double tolerance) {
  pugi::xml_document document;
  const pugi::xml_parse_result result = document.load_buffer(svg.data(), svg.size());
  if (!result) {
    const auto upto = svg.begin() + std::clamp<std::ptrdiff_t>(result.offset, 0, std::ptrdiff_t(svg.size()));
    refuse(fmt::format("the drawing cannot be read: {} in line {}", result.description(), std::count(svg.begin(), upto, '\n') + 1),
           "save it anew as SVG");
  }
  const pugi::xml_node root = document.document_element();
  if (local_name(root) != "svg") refuse(fmt::format("the file is no SVG drawing: it begins with <{}>", printable(root.name())), "save the drawing as plain SVG");
  const Vector2d scale = scale_of(root);
  Affine2d page = Affine2d::Identity();
  page.scale(Vector2d(scale.x(), -scale.y()));  // a drawing's y counts down
  Gatherer gatherer(tolerance);
  gatherer.visit(root, page, 0);
  Polygon outline = single_outline(gatherer.lines).stroke.points;
  const double left = std::ranges::min(outline, {}, [](const Vector2d& p) { return p.x(); }).x();
  const auto mark = heel_mark(gatherer.lines, outline);
  if (!mark) need_heel(outline, left);
  for (Vector2d& p : outline) p.x() -= mark.value_or(left);
  double lowest = 1e9;
  for (const Vector2d& p : clipped_left(outline, 0)) lowest = std::min(lowest, p.y());
  for (Vector2d& p : outline) p.y() -= lowest;
  return outline;
}

}  // namespace etchcast
