// Squares of pixels, tried and quartered.
#include "coverage/survey.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>

#include "coverage/ask.hpp"

namespace etchcast {

namespace {

constexpr int kLargest = 16, kSmallest = 4;  // pixels a side
/// Points asked for stand no farther apart than this, mm, so that no die's nose or stud's rim falls between them. Pictures
/// of 4 px/mm and less are asked pixel by pixel.
constexpr double kClosest = 0.49;

/// A batch's answer in pixels. What lies beyond the bar has no metal.
Told told_of(const Answers& a, int i, float px) {
  Told t{a.s[i], a.sp[i] * px, -a.sq[i] * px, a.right[i], a.up[i], a.leaf[i]};
  if (!std::isfinite(float(t.s) + t.sp + t.sq)) t.s = t.sp = t.sq = 0, t.leaf = -1;
  return t;
}

}  // namespace

void Survey::lay_out(Field& field) {
  const size_t n = field.s.size();
  left_mm_ = field.left_mm, top_mm_ = field.top_mm, mm_per_px_ = field.mm_per_px;
  all_wanted_ = std::memchr(wanted_->data(), 0, n) == nullptr;
  sp.resize(n), sq.resize(n);
  leaf.assign(n, -1);
  if (!all_wanted_)  // where nobody asks there must be numbers all the same
    for (auto* plane : {&field.s, &sp, &sq, &field.slope_right, &field.slope_up}) std::fill(plane->begin(), plane->end(), 0.0f);
  planes_ = {field.s.data(), sp.data(), sq.data(), field.slope_right.data(), field.slope_up.data(), leaf.data(), field.columns, field.rows};
  const auto places = [](int pixels) { return (pixels + kLargest - 1) / kLargest * kLargest / 2 + 1; };
  places_across_ = places(field.columns);
  places_.assign(size_t(places_across_) * size_t(places(field.rows)), -1);
  told_.clear(), spots_.clear(), pixels_.clear(), asked.clear(), bent.clear(), open_.clear();
  for (auto& squares : ready_) squares.clear();
}

bool Survey::wanted_in(const Square& q) const {
  if (q.row >= planes_.rows || q.column >= planes_.columns) return false;
  if (all_wanted_) return true;
  const int last = std::min(q.column + q.side, planes_.columns);
  for (int r = q.row; r < std::min(q.row + q.side, planes_.rows); ++r)
    if (std::memchr(&(*wanted_)[size_t(r) * planes_.columns + q.column], 1, size_t(last - q.column))) return true;
  return false;
}

Survey::Steps Survey::steps_of(int side) const {
  Steps steps;
  for (int k = 0; k < Squares::kPoints; ++k) steps[size_t(k)] = Squares::kPlaces[k][0] * side / 4 * places_across_ + Squares::kPlaces[k][1] * side / 4;
  return steps;
}

/// The points that the open squares need and nobody wanted yet.
void Survey::want_squares(int side, bool corners) {
  const Steps steps = steps_of(side);
  for (const Square& q : open_) {
    const int first = place(q);
    for (int k = corners ? 0 : Squares::kCorners; k < Squares::kPoints; ++k) {
      int& at = places_[size_t(first + steps[size_t(k)])];
      if (at >= 0) continue;
      at = int(spots_.size());
      spots_.push_back({q.row + Squares::kPlaces[k][0] * side / 2, q.column + Squares::kPlaces[k][1] * side / 2});
    }
  }
}

namespace {

/// Asks for pixels' middles, a batch at a time: use(index, what was told).
template <class Use>
void ask_each(const Bar& bar, const View& view, double left_mm, double top_mm, double px, bool precise, const Survey::Spot* spots, size_t count, Use use) {
  Answers answers;
  double u[kLanes], v[kLanes];
  for (size_t first = 0; first < count; first += kLanes) {
    const size_t n = std::min<size_t>(kLanes, count - first);
    for (size_t i = 0; i < kLanes; ++i) {
      const Survey::Spot& spot = spots[first + std::min(i, n - 1)];
      u[i] = left_mm + (spot.column + 0.5) * px, v[i] = top_mm - (spot.row + 0.5) * px;
    }
    ask(bar, view, u, v, precise, answers);
    for (size_t i = 0; i < n; ++i) use(first + i, told_of(answers, int(i), float(px)));
  }
}

}  // namespace

void Survey::ask_spots(const View& view) {
  const size_t known = told_.size(), count = spots_.size() - known;
  told_.resize(spots_.size());
  ask_each(bar_, view, left_mm_, top_mm_, mm_per_px_, fit_.precise, spots_.data() + known, count, [&](size_t i, const Told& t) { told_[known + i] = t; });
  questions_ += long(count);
}

void Survey::ask_pixels(const View& view) {
  const auto put = [&](const Spot& spot, const Told& t) {
    const size_t at = size_t(spot.row) * planes_.columns + spot.column;
    planes_.s[at] = float(t.s), sp[at] = t.sp, sq[at] = t.sq, planes_.right[at] = t.right, planes_.up[at] = t.up;
    leaf[at] = short(t.leaf);
  };
  for (const Spot& spot : asked) {
    const int known = spot.row % 2 == 0 && spot.column % 2 == 0 ? places_[size_t(place(spot.row, spot.column))] : -1;
    known >= 0 ? put(spot, told_[size_t(known)]) : pixels_.push_back(spot);
  }
  ask_each(bar_, view, left_mm_, top_mm_, mm_per_px_, fit_.precise, pixels_.data(), pixels_.size(), [&](size_t i, const Told& t) { put(pixels_[i], t); });
  questions_ += long(pixels_.size());
}

/// Whether all points of a square come from one band list, and from none of its insets.
bool Survey::alike(int place, const Steps& steps) const {
  const int own = told(place).leaf;
  if (own < 0) return false;
  for (const int step : steps)
    if (told(place + step).leaf != own) return false;
  return insets_[size_t(own)].empty() || !meets_inset(place, steps);
}

bool Survey::meets_inset(int place, const Steps& steps) const {
  double low = told(place).s, high = low;
  for (const int step : steps) low = std::min(low, told(place + step).s), high = std::max(high, told(place + step).s);
  const Told& middle = told(place + steps[Squares::kCorners]);
  const double reach = (high - low) / 4 + std::abs(middle.sp) + std::abs(middle.sq);
  const std::vector<double>& insets = insets_[size_t(told(place).leaf)];
  for (size_t i = 0; i < insets.size(); i += 2)
    if (high + reach >= insets[i] && low - reach <= insets[i + 1]) return true;
  return false;
}

/// Sorts squares of one size: good ones, and quarters of those that are good when halved, are ready to be filled.
void Survey::try_all(int side) {
  harder_.clear();
  const Steps steps = steps_of(side);
  const int half = side / 2;
  Squares squares;
  int found[kSquares];
  bool same[kSquares];
  for (size_t first = 0; first < open_.size(); first += kSquares) {
    const size_t n = std::min<size_t>(kSquares, open_.size() - first);
    for (size_t i = 0; i < n; ++i) {
      const int at = place(open_[first + i]);
      same[i] = alike(at, steps);
      const double s = told(at).s;
      for (int k = 0; k < Squares::kPoints; ++k) squares.put(int(i), k, told(at + steps[size_t(k)]), s);
    }
    try_squares(squares, side, fit_.narrow_mm, found);
    for (size_t i = 0; i < n; ++i) {
      const Square& q = open_[first + i];
      const int good = same[i] ? found[i] : 0;
      if (good & kWhole) {
        ready(side).push_back(q);
        continue;
      }
      for (int k = 0; k < 4; ++k)
        if (const Square quarter{q.row + k / 2 * half, q.column + k % 2 * half, half}; wanted_in(quarter)) (good >> k & 1 ? ready(half) : harder_).push_back(quarter);
    }
  }
  open_.swap(harder_);
}

/// Squares of one size.
void Survey::fill_all(const std::vector<Square>& ready) {
  Squares squares;
  Bends bends;
  for (size_t first = 0; first < ready.size(); first += kSquares) {
    const size_t n = std::min<size_t>(kSquares, ready.size() - first);
    const int side = ready[first].side;
    const Steps steps = steps_of(side);
    for (size_t i = 0; i < n; ++i) {
      const int at = place(ready[first + i]);
      const double s = told(at).s;
      for (int k = 0; k < Squares::kCorners; ++k) squares.put(int(i), k, told(at + steps[size_t(k)]), s);
    }
    find_bends(squares, side, bends);
    for (size_t i = 0; i < n; ++i) {
      const Square& q = ready[first + i];
      const Told& corner = told(place(q));
      fill_square(squares, int(i), corner.s, short(corner.leaf), side, q.row, q.column, planes_);
      if (!(bends.bend[i] <= fit_.may_bend(bends.footprint[i]))) bent.push_back({q, bends.bend[i]});
    }
  }
}

void Survey::leave_to_pixels(const Square& q) {
  for (int r = q.row; r < std::min(q.row + q.side, planes_.rows); ++r)
    for (int c = q.column; c < std::min(q.column + q.side, planes_.columns); ++c)
      if (all_wanted_ || (*wanted_)[size_t(r) * planes_.columns + c]) asked.push_back({r, c});
}

void Survey::run(const View& view, Field& field, const std::vector<char>& wanted) {
  wanted_ = &wanted;
  lay_out(field);
  int side = kLargest;
  while (side >= kSmallest && side / 2 * field.mm_per_px > kClosest) side /= 2;
  for (int r = 0; r < field.rows; r += side)
    for (int c = 0; c < field.columns; c += side)
      if (const Square q{r, c, side}; wanted_in(q)) open_.push_back(q);
  for (bool corners = true; side >= kSmallest; side /= 2, corners = false) {
    want_squares(side, corners);
    ask_spots(view);
    try_all(side);
  }
  for (const auto& squares : ready_) fill_all(squares);
  for (const Square& q : open_) leave_to_pixels(q);
  ask_pixels(view);
}

}  // namespace etchcast
