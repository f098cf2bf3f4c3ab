// The built-in outlines, drawn as a smith draws them on the steel: edge first, then the spine, then what is behind.
#include <array>

#include "blade/outline.hpp"
#include "blade/svg_path.hpp"

namespace etchcast {
namespace {

using Eigen::Vector2d;

constexpr double kFineness = 0.001;  // mm; chords this close to the curve leave no facets in the light on the faces

/// Usual sizes are common trade practice; finished drawings are proportions of them.
constexpr std::array<Shape, 7> kShapes = {{
    {"petty", "Small kitchen knife with a narrow, pointed blade.", 150, 0.200, {2.0, 1.6, 0.7}, 0.15},
    {"gyuto",
     "Tall, pointed cook's knife: flat near the heel, quick belly near the tip.",
     210,
     0.229,
     {3.0, 2.2, 0.9},
     0.20},
    {"chef", "Cook's knife for rocking: belly from the heel to a high tip.", 200, 0.225, {2.8, 2.2, 0.9}, 0.30},
    {"santoku", "Nearly straight edge, the spine drops to a low tip.", 170, 0.271, {2.5, 1.8, 0.8}, 0.20},
    {"slicer", "Long and narrow, for one drawing cut.", 270, 0.141, {2.5, 2.0, 0.8}, 0.20},
    {"hunter", "Drop-point belt knife with a ricasso.", 105, 0.276, {3.5, 3.2, 1.8}, 0.50},
    {"bowie", "Large clip-point knife with a ricasso.", 230, 0.174, {5.5, 4.8, 2.2}, 0.60},
}};

/// Edge from the heel to the tip and spine back to the heel, x in blade lengths and y in heel heights; same order.
constexpr std::array<const char*, 7> kBlades = {
    "M 0 0 L .20 0 C .55 0 .83 .12 1 .42 C .91 .71 .77 .89 .56 .95 C .39 .99 .18 1 0 1",
    "M 0 0 L .20 0 C .54 0 .82 .09 1 .37 C .925 .645 .79 .865 .58 .935 C .41 .985 .18 1 0 1",
    "M 0 0 C .42 0 .80 .12 1 .46 C .93 .66 .80 .83 .60 .91 C .42 .975 .20 1 0 1",
    "M 0 0 L .25 0 C .60 0 .86 .03 1 .16 C .985 .55 .90 .90 .70 .95 C .50 .985 .25 1 0 1",
    "M 0 0 L .30 0 C .62 0 .86 .12 1 .50 C .93 .77 .82 .93 .62 .965 C .42 .99 .20 1 0 1",
    "M 0 0 L .35 0 C .66 0 .88 .14 1 .57 C .88 .82 .70 1 .42 1.015 C .30 1.02 .14 1.01 0 1",
    "M 0 0 L .40 0 C .70 0 .89 .18 1 .70 C .88 .69 .73 .79 .60 1 L 0 1",
};

/// From the spine at the heel back round the tang to the heel, x and y in heel heights so that round things stay round.
constexpr const char* kNeck =
    "M 0 1 L -.40 1 C -.42 1 -.43 .99 -.43 .97 L -.43 .91 C -.43 .88 -.445 .865 -.475 .865 "
    "L -2.65 .78 C -2.80 .775 -2.80 .685 -2.65 .68 L -.475 .585 C -.445 .585 -.43 .57 -.43 .54 "
    "L -.43 .49 C -.43 .47 -.42 .46 -.40 .46 L -.33 .455 C -.14 .445 -.03 .36 -.012 .20 L 0 .014";
constexpr const char* kRicasso =
    "M 0 1 L -.40 1 L -.40 .78 C -.40 .74 -.42 .72 -.46 .72 L -2.65 .62 C -2.80 .615 -2.80 .515 -2.65 .51 "
    "L -.46 .30 C -.42 .30 -.40 .28 -.40 .24 L -.40 .01 L -.11 .01 C -.11 .085 0 .085 0 .014";

constexpr Plunge kNeckPlunge = {50, 0.8};    // blended by hand over about 12 mm
constexpr Plunge kRicassoPlunge = {3, 0.2};  // a belt run over the edge of the platen

bool has_ricasso(const Shape& shape) { return shape.name == "hunter" || shape.name == "bowie"; }

}  // namespace

std::span<const Shape> shapes() { return kShapes; }

const Shape* find_shape(std::string_view name) {
  for (const Shape& shape : kShapes) {
    if (shape.name == name) return &shape;
  }
  return nullptr;
}

Outline draw_shape(const Shape& shape, double length_mm, double heel_mm, double tang_mm) {
  const bool ricasso = has_ricasso(shape);
  const auto trace = [](const char* data, double sx, double sy) {
    return trace_path(data, Vector2d(sx, sy), kFineness).front().points;
  };
  Polygon polygon = trace(kBlades[size_t(&shape - kShapes.data())], length_mm, heel_mm);
  const Polygon behind = trace(ricasso ? kRicasso : kNeck, heel_mm, heel_mm);
  polygon.insert(polygon.end(), behind.begin() + 1, behind.end());
  // The heel's corner is eased, as it would be on a used stone.
  const double ease = behind.back().y();
  polygon.front() = {ease, 0};
  for (const double t : {0.25, 0.5, 0.75}) polygon.push_back({ease * t * t, ease * (1 - t) * (1 - t)});
  polygon = clipped_left(polygon, -tang_mm);
  double tang = 0;
  for (const Vector2d& p : polygon) tang = std::max(tang, -p.x());
  return {std::move(polygon), length_mm, tang, ricasso ? kRicassoPlunge : kNeckPlunge};
}

}  // namespace etchcast
