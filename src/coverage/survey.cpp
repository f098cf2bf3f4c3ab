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
  const auto places = [](int pixels) { return size_t((pixels + kLargest - 1) / kLargest * kLargest / 2 + 1); };
  places_across_ = places(field.columns);
  places_.assign(places_across_ * places(field.rows), -1);
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

void Survey::want(int row, int column) {
  int& at = place(row, column);
  if (at >= 0) return;
  at = int(spots_.size());
  spots_.push_back({row, column});
}

void Survey::want_square(const Square& q, bool corners) {
  for (int k = corners ? 0 : Squares::kCorners; k < Squares::kPoints; ++k)
    want(q.row + Squares::kPlaces[k][0] * q.side / 2, q.column + Squares::kPlaces[k][1] * q.side / 2);
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
    const int known = spot.row % 2 == 0 && spot.column % 2 == 0 ? place(spot.row, spot.column) : -1;
    known >= 0 ? put(spot, told_[size_t(known)]) : pixels_.push_back(spot);
  }
  ask_each(bar_, view, left_mm_, top_mm_, mm_per_px_, fit_.precise, pixels_.data(), pixels_.size(), [&](size_t i, const Told& t) { put(pixels_[i], t); });
  questions_ += long(pixels_.size());
}

/// Whether all points of a square come from one band list, and from none of its insets.
bool Survey::alike(const Square& q) const {
  const int own = told(q, 0).leaf;
  if (own < 0) return false;
  for (int k = 1; k < Squares::kPoints; ++k)
    if (told(q, k).leaf != own) return false;
  return own != 0 || inset_edges_.empty() || !meets_inset(q);
}

bool Survey::meets_inset(const Square& q) const {
  double low = told(q, 0).s, high = low;
  for (int k = 1; k < Squares::kPoints; ++k) low = std::min(low, told(q, k).s), high = std::max(high, told(q, k).s);
  const Told& middle = told(q, Squares::kCorners);
  const double reach = (high - low) / 4 + std::abs(middle.sp) + std::abs(middle.sq);
  for (size_t i = 0; i < inset_edges_.size(); i += 2)
    if (high + reach >= inset_edges_[i] && low - reach <= inset_edges_[i + 1]) return true;
  return false;
}

/// Sorts squares of one size: good ones, and quarters of those that are good when halved, are ready to be filled.
void Survey::try_all() {
  harder_.clear();
  Squares squares;
  Verdict verdict[kSquares];
  for (size_t first = 0; first < open_.size(); first += kSquares) {
    const size_t n = std::min<size_t>(kSquares, open_.size() - first);
    for (size_t i = 0; i < n; ++i)
      for (int k = 0; k < Squares::kPoints; ++k) squares.put(int(i), k, told(open_[first + i], k), told(open_[first + i], 0).s);
    try_squares(squares, open_[first].side, float(fit_.band_mm), verdict);
    for (size_t i = 0; i < n; ++i) {
      const Square& q = open_[first + i];
      const Verdict found = alike(q) ? verdict[i] : Verdict::no;
      if (found == Verdict::good) {
        ready(q.side).push_back(q);
        continue;
      }
      const int half = q.side / 2;
      for (const int r : {0, half})
        for (const int c : {0, half})
          if (const Square quarter{q.row + r, q.column + c, half}; wanted_in(quarter)) (found == Verdict::halved ? ready(half) : harder_).push_back(quarter);
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
    for (size_t i = 0; i < n; ++i)
      for (int k = 0; k < Squares::kCorners; ++k) squares.put(int(i), k, told(ready[first + i], k), told(ready[first + i], 0).s);
    find_bends(squares, side, bends);
    for (size_t i = 0; i < n; ++i) {
      const Square& q = ready[first + i];
      const Told& corner = told(q, 0);
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
    for (const Square& q : open_) want_square(q, corners);
    ask_spots(view);
    try_all();
  }
  for (const auto& squares : ready_) fill_all(squares);
  for (const Square& q : open_) leave_to_pixels(q);
  ask_pixels(view);
}

}  // namespace etchcast
