// Peaks of the power spectrum, each with its harmonics, refined between the spectrum's own waves.
#include "measure/repeats.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "base/fourier.hpp"

namespace etchcast {
namespace {

constexpr double kTau = 2 * std::numbers::pi;
constexpr double kShortest = 1.5;  // mm; shorter than that the tensor's own mean takes the wave away
constexpr double kLeastSeen = 3;   // repeats within the picture: fewer are no repeat
constexpr int kHarmonics = 5;
// A comb at n times the distance holds all waves of the nearer one too: it is taken only where its own waves add so
// much.
constexpr double kGain = 0.07;
constexpr double kCrossing = 20;  // deg; a second repeat must turn at least so far from the first
constexpr double kEqual = 0.4;    // of the first one's power: below that it is no net but what is left of other things
// Of all that varies, what a repeat with its harmonics holds at least, and what a net holds: below that stand the peaks
// of plain laminates, of folded ones and of drops strewn at random (tests/test_measure.cpp).
constexpr double kClear = 0.27, kClearNet = 0.4;

// Mean square of the planes below which lines are straight and even, and what is left of them are traces of the pixels.
constexpr double kStraight = 0.003;

/// A wave of the picture, cycles a mm; y counts down as rows do.
struct Wave {
  double x = 0, y = 0;
  double size() const { return std::hypot(x, y); }
};

class Spectrum {
 public:
  explicit Spectrum(const Texture& texture);
  /// Power at any wave: |sum of plane values * exp(-i wave)|² over all planes.
  double at(const Wave& wave) const;
  /// Power at a wave and its harmonics; none where the picture is too small for the wave.
  double comb(const Wave& wave) const;
  /// The wave of most power of the table, of those that `wanted` lets through.
  template <class Wanted>
  Wave strongest(Wanted wanted) const;
  double whole() const { return whole_; }
  /// Nothing varies that is worth a look.
  bool even() const { return even_; }
  bool seen_often(const Wave& wave) const;
  double step() const { return 1 / (std::max(table_.columns(), table_.rows()) * Texture::kCell); }

 private:
  Wave wave_of(int i, int j) const {
    return {table_.waves_x(i) / (table_.columns() * Texture::kCell),
            table_.waves_y(j) / (table_.rows() * Texture::kCell)};
  }
  const Texture& texture_;
  Fourier table_;
  std::vector<double> power_;
  double whole_ = 0;  ///< what a single wave would have if all that varies were that wave
  bool even_ = true;
  double wide_mm_ = 0, high_mm_ = 0;
};

Spectrum::Spectrum(const Texture& t)
    : texture_(t), table_(smooth_size(2 * t.columns), smooth_size(2 * t.rows)), power_(table_.size(), 0.0) {
  std::vector<Fourier::Complex> values(table_.size());
  double square = 0, weight = 0, weight_square = 0;
  for (const auto& plane : t.planes) {
    std::fill(values.begin(), values.end(), Fourier::Complex());
    for (int r = 0; r < t.rows; ++r)
      for (int c = 0; c < t.columns; ++c) {
        const float v = plane[size_t(r) * t.columns + c];
        values[size_t(r) * table_.columns() + c] = v, square += double(v) * v;
      }
    table_.forward(values);
    const double n = double(table_.size());
    for (size_t i = 0; i < power_.size(); ++i) power_[i] += std::norm(values[i]) * n * n;
  }
  int columns_seen = 0, rows_seen = 0;
  std::vector<char> seen(size_t(t.columns), 0);
  for (int r = 0; r < t.rows; ++r) {
    bool any = false;
    for (int c = 0; c < t.columns; ++c) {
      const double w = t.weight[size_t(r) * t.columns + c];
      weight += w, weight_square += w * w;
      if (w <= 0.3) continue;
      any = true, seen[size_t(c)] = 1;
    }
    rows_seen += any;
  }
  columns_seen = int(std::count(seen.begin(), seen.end(), 1));
  wide_mm_ = columns_seen * Texture::kCell, high_mm_ = rows_seen * Texture::kCell;
  // A cosine of mean square q under a weight w has |sum w cos exp|² = q / 2 (sum w)².
  even_ = square <= kStraight * weight_square;
  whole_ = weight_square > 0 ? square / weight_square * weight * weight / 2 : 0;
}

double Spectrum::at(const Wave& wave) const {
  const Texture& t = texture_;
  const std::complex<double> turn = std::polar(1.0, -kTau * wave.x * Texture::kCell);
  std::vector<std::complex<double>> along(static_cast<size_t>(t.columns));
  std::complex<double> now = 1;
  for (auto& a : along) a = now, now *= turn;
  double power = 0;
  for (const auto& plane : t.planes) {
    double re = 0, im = 0;
    for (int r = 0; r < t.rows; ++r) {
      double row_re = 0, row_im = 0;
      const float* values = &plane[size_t(r) * t.columns];
      for (int c = 0; c < t.columns; ++c)
        row_re += values[c] * along[size_t(c)].real(), row_im += values[c] * along[size_t(c)].imag();
      const std::complex<double> down = std::polar(1.0, -kTau * wave.y * Texture::kCell * r);
      re += row_re * down.real() - row_im * down.imag(), im += row_re * down.imag() + row_im * down.real();
    }
    power += re * re + im * im;
  }
  return power;
}

double Spectrum::comb(const Wave& wave) const {
  if (!seen_often(wave)) return 0;
  double sum = 0;
  for (int h = 1; h <= kHarmonics && h * wave.size() < 1 / kShortest; ++h) sum += at({h * wave.x, h * wave.y});
  return sum;
}

bool Spectrum::seen_often(const Wave& w) const {
  return std::abs(w.x) * wide_mm_ + std::abs(w.y) * high_mm_ >= kLeastSeen;
}

template <class Wanted>
Wave Spectrum::strongest(Wanted wanted) const {
  Wave best;
  double most = 0;
  for (int j = 0; j < table_.rows(); ++j)
    for (int i = 0; 2 * i <= table_.columns(); ++i) {
      const double power = power_[size_t(j) * table_.columns() + i];
      if (power <= most) continue;
      const Wave wave = wave_of(i, j);
      if (wave.size() > 1 / kShortest || !seen_often(wave) || !wanted(wave)) continue;
      best = wave, most = power;
    }
  return best;
}

/// Walks to the comb's maximum near a wave, in steps that are halved.
Wave refined(const Spectrum& spectrum, Wave wave) {
  double step = spectrum.step() / 2, best = spectrum.comb(wave);
  while (step > 2e-4 * wave.size()) {
    bool better = false;
    for (const auto& [dx, dy] : {std::pair{1.0, 0.0}, {-1.0, 0.0}, {0.0, 1.0}, {0.0, -1.0}}) {
      const Wave tried{wave.x + dx * step, wave.y + dy * step};
      const double power = spectrum.comb(tried);
      if (power > best) best = power, wave = tried, better = true;
    }
    if (!better) step /= 2;
  }
  return wave;
}

/// The distance at which everything comes again: the wave found, or two, three or four times its length where waves of
/// that comb add what the shorter one has not.
Wave fundamental(const Spectrum& spectrum, const Wave& found) {
  Wave best = refined(spectrum, found);
  double most = spectrum.comb(best);
  for (int n = 2; n <= 4; ++n) {
    const Wave longer{found.x / n, found.y / n};
    if (!spectrum.seen_often(longer)) break;
    const Wave tried = refined(spectrum, longer);
    const double power = spectrum.comb(tried);
    if (power > (1 + kGain) * most) best = tried, most = power;
  }
  return best;
}

double lean_of(const Wave& w) {
  const double lean = std::atan2(w.y, w.x);  // rows count down: a wave toward lower right leans toward the right
  const double folded = std::remainder(lean, std::numbers::pi);
  return folded <= -std::numbers::pi / 2 ? folded + std::numbers::pi : folded;
}

/// Whether two waves turn from one another far enough to be two rows of a net.
bool crossing(const Wave& a, const Wave& b) {
  const double sine = std::abs(a.x * b.y - a.y * b.x) / (a.size() * b.size());
  return sine > std::sin(kCrossing * kTau / 360);
}

/// Of all that varies, what the waves of a net hold, out to the second ones each way.
double net_share(const Spectrum& spectrum, const Wave& a, const Wave& b) {
  double sum = 0;
  for (int m = 0; m <= 2; ++m)
    for (int n = m == 0 ? 1 : -2; n <= 2; ++n) {
      const Wave wave{m * a.x + n * b.x, m * a.y + n * b.y};
      if (wave.size() < 1 / kShortest && spectrum.seen_often(wave)) sum += spectrum.at(wave);
    }
  return sum / spectrum.whole();
}

Repeat repeat_of(const Spectrum& spectrum, const Wave& wave) {
  return {1 / wave.size(), lean_of(wave), std::min(1.0, spectrum.comb(wave) / spectrum.whole())};
}

}  // namespace

std::vector<Repeat> repeats_of(const Texture& texture) {
  const Spectrum spectrum(texture);
  if (spectrum.even()) return {};
  const Wave first = spectrum.strongest([](const Wave&) { return true; });
  if (first.size() == 0) return {};
  const Wave second = spectrum.strongest([&](const Wave& w) { return crossing(w, first); });
  if (second.size() > 0 && spectrum.at(second) > kEqual * spectrum.at(first)) {
    // The waves of a net are all crossing, so harmonics of one row say nothing of another: each is taken as it is.
    const Wave a = refined(spectrum, first), b = refined(spectrum, second);
    if (crossing(a, b) && net_share(spectrum, a, b) > kClearNet)
      return {repeat_of(spectrum, a), repeat_of(spectrum, b)};
  }
  const Repeat one = repeat_of(spectrum, fundamental(spectrum, first));
  if (one.share < kClear) return {};
  return {one};
}

std::vector<double> neighbours_of(const Repeat& a, const Repeat& b) {
  const double ax = std::cos(a.lean_rad) / a.spacing_mm, ay = std::sin(a.lean_rad) / a.spacing_mm,
               bx = std::cos(b.lean_rad) / b.spacing_mm, by = std::sin(b.lean_rad) / b.spacing_mm;
  const double det = ax * by - ay * bx;
  std::vector<double> found;
  for (int m = -2; m <= 2; ++m)
    for (int n = -2; n <= 2; ++n) {
      if (m < 0 || (m == 0 && n <= 0)) continue;
      found.push_back(std::hypot((m * by - n * ay) / det, (n * ax - m * bx) / det));
    }
  std::sort(found.begin(), found.end());
  found.resize(3);
  return found;
}

}  // namespace etchcast
