// groove: grooves cut into the faces.
#include <fmt/format.h>

#include "workpiece/tools.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"profile", Unit::word, 0, 0, "vee", false, "vee|round|square", "Shape of the cutter."},
    {"depth", Unit::length, 0.01, 200, "", true, "", "Depth below the untouched face."},
    {"spacing", Unit::length, 0.5, 500, "", true, "", "Groove to groove along the normal."},
    {"flank", Unit::angle, 0.0873, 1.5708, "45 deg", false, "", "Angle of the wall from the bar's face: 45 for a 90 degree vee."},
    {"radius", Unit::length, 0.05, 100, "", false, "", "Rounding of the floor. Default: 0.5 mm vee, 3.2 mm round.",
     "profile=vee|round"},
    {"floor", Unit::length, 0.1, 200, "3 mm", false, "", "Width of a square groove's floor.", "profile=square"},
    {"sides", Unit::word, 0, 0, "offset", false, "top|bottom|aligned|offset", "Faces that are cut; offset: the lower grooves half a spacing on."},
    {"phase", Unit::share, -10, 10, "0 %", false, "", "Place of the first top groove from the heel end, as a share of the spacing."},
    {"angle", Unit::angle, -1.5708, 1.5708, "0 deg", false, "", "0 for grooves straight across."},
};
constexpr Example kExamples[] = {
    {R"({ do = "groove", profile = "vee", depth = "1 mm", spacing = "8 mm" })", "to be forged flat after"},
};

/// Grooves as wide as their spacing leave no land: the cutter would plane the whole face.
void refuse_overlap(const Arguments& a, const Measures& say, const Profile& p, double spacing, double depth) {
  const double wide = 2 * p.reach(depth), deepest = p.rise(spacing / 2);
  if (wide < spacing) return;
  const std::string shallower =
      deepest > 0.01 ? fmt::format(", or cut them less than {} deep", say.length(deepest)) : ", or take a narrower cutter";
  a.refuse("spacing",
           fmt::format("grooves {} apart are {} wide at the face: they overlap, and nothing of the face is left between them",
                       say.length(spacing), say.length(wide)),
           fmt::format("set them more than {} apart", say.length(wide)) + shallower);
}

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().section == Section::round) w.need_even(a);
  const double spacing = a.number("spacing"), depth = a.number("depth");
  const std::string shape = a.word("profile"), sides = a.word("sides");
  Profile p;
  p.kind = shape == "square" ? Profile::Kind::flat : Profile::Kind::nose;
  p.radius = a.has("radius") ? a.number("radius") : shape == "vee" ? 0.5 : 3.2;
  p.flank_rad = a.has("flank") || shape == "vee" ? a.number("flank") : 1.4835;  // 85 deg: a round or square cutter's wall
  p.land = a.number("floor");
  refuse_overlap(a, w.say(), p, spacing, depth);
  ToolPair tools;
  if (sides != "bottom") tools.top = ridges(p, spacing, a.number("phase"), a.number("angle"), depth);
  if (sides != "top") tools.bottom = ridges(p, spacing, a.number("phase") + (sides == "offset" ? 0.5 : 0), a.number("angle"), depth);
  const double phase = a.number("phase"), angle = a.number("angle");
  std::optional<Repeat> repeat;
  if (w.bar().even()) repeat = Repeat{spacing, phase * spacing, angle, true, spacing};
  if (w.repeat())  // the cutter does not give: a spacing that is a little off is off by much at the other end
    if (const auto both = joined(*w.repeat(), spacing, phase, angle, 0.003)) repeat = both->repeat;
  cut_faces(w, tools, a, "depth");
  w.set_repeat(repeat);
}

}  // namespace

namespace steps {
extern const Step groove{
    "groove", "Cut grooves into the faces.", Kind::cut, kParameters, kExamples,
    "Takes metal out along parallel grooves; no metal moves. Forge flat next ('flatten'): deep layers then show where the "
    "grooves were. A third of the thickness is customary, a quarter safe; vees are less apt to fold shut than slots.",
    apply};
}  // namespace steps
}  // namespace etchcast
