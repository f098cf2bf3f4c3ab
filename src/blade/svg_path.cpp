// SVG path data, read command by command; every fault says the character it was met at.
#include "blade/svg_path.hpp"

#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "base/words.hpp"
#include "blade/curve.hpp"

namespace etchcast {
namespace {

using Eigen::Vector2d;

constexpr double kFarthest = 1e6;      // mm; keeps later sums far from overflow, sizes are judged by who asked
constexpr size_t kMostPoints = 20000;  // a hand-drawn blade has some hundred

bool among(char c, std::string_view set) { return set.find(c) != std::string_view::npos; }
bool is_small(char c) { return c >= 'a'; }
char capital(char c) { return is_small(c) ? char(c - 'a' + 'A') : c; }

/// Takes letters, numbers and flags off the front of the data.
class Scanner {
 public:
  explicit Scanner(std::string_view data) : data_(data) {}

  bool at_end() {
    while (at_ < data_.size() && among(data_[at_], " \t\r\n\f")) ++at_;
    return at_ == data_.size();
  }

  bool at_number() {
    skip_separator();
    return at_ < data_.size() && among(data_[at_], "+-.0123456789");
  }

  char command() {
    if (at_end() || !among(data_[at_], "MmLlHhVvCcSsQqTtAaZz")) {
      fail("a command", "commands are M L H V C S Q T A Z, capital or small");
    }
    ++commands_;
    begun_ = at_;
    return data_[at_++];
  }

  double number() {
    if (!at_number()) fail("a number", "a point is two numbers in mm, e.g. \"L 120 4.5\"");
    const size_t begin = data_[at_] == '+' ? at_ + 1 : at_;  // from_chars knows no plus sign
    double value = 0;
    const auto [end, error] = std::from_chars(data_.data() + begin, data_.data() + data_.size(), value);
    if (error != std::errc() || !(std::abs(value) < kFarthest)) fail("a number of mm", "write it as 12.5 or 1.25e1");
    at_ = size_t(end - data_.data());
    return value;
  }

  /// Flags of an arc are single digits and may stand without a gap, as in "a1 1 0 01 5 0".
  bool flag() {
    if (!at_number() || !among(data_[at_], "01")) fail("0 or 1", "an arc is \"A rx ry tilt large sweep x y\"");
    return data_[at_++] == '1';
  }

  [[noreturn]] void fail(std::string_view expected, std::string hint) const {
    const std::string near(data_.substr(at_, 12));
    const std::string met = near.empty() ? "the path ends" : fmt::format("it says \"{}\"", near);
    throw PathFault(fmt::format("the outline's path cannot be read{}: at character {}, {} is expected, but {}",
                                commands_ > 0 ? " " + which() : "", at_ + 1, expected, met),
                    std::move(hint));
  }

  /// The command being read: `in command 3, "C 55 0"`.
  std::string which() const {
    std::string_view text = data_.substr(begun_, std::max<size_t>(at_ - begun_, 1));
    text = text.substr(0, text.find_last_not_of(" \t\r\n\f,") + 1);
    return fmt::format("in command {}, {}", commands_, in_quotes(text));
  }

 private:
  void skip_separator() {
    at_end();
    if (at_ < data_.size() && data_[at_] == ',') ++at_;
    at_end();
  }

  std::string_view data_;
  size_t at_ = 0, begun_ = 0;  ///< of the command being read
  int commands_ = 0;
};

/// The pen: where it is, and the control point that a smooth curve mirrors.
class Pen {
 public:
  Pen(std::string_view data, double tolerance) : scan_(data), tolerance_(tolerance) {}

  std::vector<Stroke> run() {
    while (!scan_.at_end()) {
      char command = scan_.command();
      if (strokes_.empty() && capital(command) != 'M') {
        throw PathFault("the outline's path does not begin with M", "begin with \"M x y\", the first point in mm");
      }
      draw(command);
      if (capital(command) == 'Z') continue;
      if (capital(command) == 'M') command = char(command - 'M' + 'L');  // figures after a move's point are lines
      while (scan_.at_number()) draw(command);
    }
    return std::move(strokes_);
  }

 private:
  void draw(char command) {
    base_ = is_small(command) ? at_ : Vector2d::Zero();
    const char kind = capital(command);
    const Vector2d mirrored = 2 * at_ - (smooth_with(kind) ? control_ : at_);
    if (kind == 'M') return move();
    if (kind == 'Z') return close();
    if (stroke().closed) begin(at_);  // drawing on after Z starts anew at the closing point
    const Vector2d from = at_;
    switch (kind) {
      case 'L':
        line(point());
        break;
      case 'H':
        line({base_.x() + scan_.number(), from.y()});
        break;
      case 'V':
        line({from.x(), base_.y() + scan_.number()});
        break;
      case 'C': {
        const Vector2d b = point();
        cubic(b, point());
        break;
      }
      case 'S':
        cubic(mirrored, point());
        break;
      case 'Q':
        quadratic(point());
        break;
      case 'T':
        quadratic(mirrored);
        break;
      case 'A':
        arc();
        break;
    }
    last_ = kind;
    if (stroke().points.size() > kMostPoints) {
      throw PathFault("the outline is drawn of too many pieces", "draw it with fewer and smoother curves");
    }
  }

  bool smooth_with(char kind) const {
    return (kind == 'S' && among(last_, "CS")) || (kind == 'T' && among(last_, "QT"));
  }

  void begin(const Vector2d& at) {
    strokes_.push_back({{at}, false});
    at_ = start_ = at;
  }
  void move() {
    begin(point());
    last_ = 'M';
  }
  void close() {
    stroke().closed = true;
    at_ = start_;
    last_ = 'Z';
  }
  void line(const Vector2d& end) {
    stroke().points.push_back(end);
    at_ = end;
  }
  void cubic(const Vector2d& b, const Vector2d& c) {
    const Vector2d end = point();
    append_cubic(stroke().points, at_, b, c, end, tolerance_);
    control_ = c;
    at_ = end;
  }
  void quadratic(const Vector2d& control) {
    const Vector2d end = point();
    append_cubic(stroke().points, at_, (at_ + 2 * control) / 3, (end + 2 * control) / 3, end, tolerance_);
    control_ = control;
    at_ = end;
  }
  void arc() {
    ArcShape shape;
    shape.radii.x() = scan_.number();
    shape.radii.y() = scan_.number();
    shape.tilt_deg = scan_.number();
    shape.large = scan_.flag();
    shape.sweep = scan_.flag();
    const Vector2d end = point();
    append_arc(stroke().points, at_, shape, end, tolerance_);
    at_ = end;
  }
  Vector2d point() {
    const double x = scan_.number();
    return base_ + Vector2d(x, scan_.number());
  }
  Stroke& stroke() { return strokes_.back(); }

  Scanner scan_;
  double tolerance_;
  std::vector<Stroke> strokes_;
  Vector2d at_ = Vector2d::Zero(), start_ = at_, base_ = at_, control_ = at_;
  char last_ = 'M';
};

/// Drops points that repeat their neighbour, and sees that a stroke back at its start is closed.
void tidy(Stroke& stroke, double tolerance) {
  std::vector<Vector2d> kept;
  for (const Vector2d& p : stroke.points) {
    if (kept.empty() || (p - kept.back()).norm() > 1e-3 * tolerance) kept.push_back(p);
  }
  const bool back = kept.size() > 2 && (kept.back() - kept.front()).norm() <= tolerance;
  if (back) kept.pop_back();
  stroke.closed = stroke.closed || back;
  stroke.points = std::move(kept);
}

}  // namespace

std::vector<Stroke> trace_path(std::string_view data, const Vector2d& scale, double tolerance) {
  std::vector<Stroke> strokes = Pen(data, tolerance / scale.maxCoeff()).run();
  for (Stroke& stroke : strokes) {
    for (Vector2d& p : stroke.points) p = p.cwiseProduct(scale);
    tidy(stroke, tolerance);
  }
  return strokes;
}

}  // namespace etchcast
