// restack: cut in pieces, stacked.
#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"pieces", Unit::count, 2, 1000, "", true, "", "Equal pieces the bar is cut into."},
    {"flip", Unit::word, 0, 0, "none", false, "none|over|end|spin",
     "How every second piece is turned: over about its length (top face down), end for end with its top face down, or end for end with its top face up."},
};
constexpr Example kExamples[] = {
    {R"({ do = "restack", pieces = 4 })", "11 layers, the same steel outside, become 41"},
};

Flip flip_of(const std::string& word) {
  return word == "over" ? Flip::over : word == "end" ? Flip::end : word == "spin" ? Flip::spin : Flip::none;
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a);
  const Losses& lost = w.losses();
  const int pieces = int(a.number("pieces"));
  const double piece = (w.length() - 2 * lost.crop_mm - (pieces - 1) * lost.kerf_mm) / pieces;
  if (piece < 2)
    a.refuse("pieces",
             fmt::format("a bar {} long gives no {} pieces once it is cropped and sawn", w.say().length(w.length()), pieces),
             "take fewer pieces, or a longer bar");
  if (w.thickness() <= 2 * lost.clean_mm)
    a.refuse("do", fmt::format("cleaning would take the whole thickness of {}", w.say().length(w.thickness())),
             "start from a thicker bar, or clean less: [losses] clean");
  const std::string many = too_many_bands(double(w.bar().bands.size()) * pieces);
  if (!many.empty()) a.refuse("pieces", many, "take fewer pieces, or leave this step out");
  w.pile(pieces, flip_of(a.word("flip")), lost.crop_mm, lost.kerf_mm, lost.clean_mm);
}

}  // namespace

namespace steps {
extern const Step restack{
    "restack", "Cut into equal pieces and stack them.", Kind::pile, kParameters, kExamples,
    "Crops both ends, saws the bar in pieces, cleans the faces and stacks them: the piece from the heel end at the bottom, the "
    "next on it. Where the same steel meets itself the two layers become one. A note tells whether cleaning takes the skin off that "
    "has lost its carbon in the fire. Weld next.",
    apply};
}  // namespace steps
}  // namespace etchcast
