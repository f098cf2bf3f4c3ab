// fold: cut nearly through, hinged over.
#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr Example kExamples[] = {
    {R"({ do = "fold" })", "11 layers become 21: the two top faces meet and are the same steel"},
};

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a);
  const Losses& lost = w.losses();
  if (w.length() - 2 * lost.crop_mm < 2 || w.thickness() <= 2 * lost.clean_mm)
    a.refuse("do",
             fmt::format("a bar {} long and {} thick is too small to crop, clean and fold", w.say().length(w.length()),
                         w.say().length(w.thickness())),
             "draw it out first, or begin with more steel");
  const std::string many = too_many_bands(2.0 * w.bar().bands.size() - 1);
  if (!many.empty()) a.refuse("do", many, "leave this fold out");
  w.fold(lost.crop_mm, lost.clean_mm);
}

}  // namespace

namespace steps {
extern const Step fold{
    "fold", "Cut nearly through and fold over.", Kind::pile, {}, kExamples,
    "Crops both ends, cleans the faces, and folds the bar over at mid-length: the upper half lies end for end with its old top "
    "face down. Top meets top, so n layers always become 2n-1, with a double one in the middle. A note tells whether cleaning takes "
    "the skin off that has lost its carbon in the fire. Weld next.",
    apply};
}  // namespace steps
}  // namespace etchcast
