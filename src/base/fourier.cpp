// Mixed radix, decimation in time (Cooley and Tukey 1965), eight lines of a field side by side.
#include "base/fourier.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast {

namespace {

using Complex = Fourier::Complex;

/// Lines that are transformed together, one a lane: real parts of a place, then imaginary ones.
constexpr int kLines = 8;
constexpr int kPlace = 2 * kLines;

int factor_of(int n) { return n % 4 == 0 ? 4 : n % 2 == 0 ? 2 : n % 3 == 0 ? 3 : 5; }

std::vector<Complex> roots(int n) {
  std::vector<Complex> r;
  for (int i = 0; i < n; ++i) r.push_back(std::polar(1.0, -2 * 3.14159265358979323846 * i / n));
  return r;
}

/// Joins two transforms of `m` places, one after the other, to one of 2 m; `roots` are those of 2 m * stride.
ETCHCAST_CLONES void join_two(double* a, int m, int stride, const Complex* roots) {
  double* b = a + std::ptrdiff_t(m) * kPlace;
  for (int k = 0; k < m; ++k, a += kPlace, b += kPlace) {
    const double c = roots[std::ptrdiff_t(k) * stride].real(), s = roots[std::ptrdiff_t(k) * stride].imag();
    for (int i = 0; i < kLines; ++i) {
      const double re = b[i] * c - b[i + kLines] * s, im = b[i] * s + b[i + kLines] * c;
      b[i] = a[i] - re, b[i + kLines] = a[i + kLines] - im;
      a[i] += re, a[i + kLines] += im;
    }
  }
}

ETCHCAST_CLONES void join_four(double* a, int m, int stride, const Complex* roots) {
  const std::ptrdiff_t next = std::ptrdiff_t(m) * kPlace;
  for (int k = 0; k < m; ++k, a += kPlace) {
    double *b = a + next, *c = b + next, *d = c + next;
    const Complex r1 = roots[std::ptrdiff_t(k) * stride], r2 = roots[std::ptrdiff_t(2 * k) * stride],
                  r3 = roots[std::ptrdiff_t(3 * k) * stride];
    const double c1 = r1.real(), s1 = r1.imag(), c2 = r2.real(), s2 = r2.imag(), c3 = r3.real(), s3 = r3.imag();
    for (int i = 0; i < kLines; ++i) {
      const int j = i + kLines;
      const double bx = b[i] * c1 - b[j] * s1, by = b[i] * s1 + b[j] * c1;
      const double cx = c[i] * c2 - c[j] * s2, cy = c[i] * s2 + c[j] * c2;
      const double dx = d[i] * c3 - d[j] * s3, dy = d[i] * s3 + d[j] * c3;
      const double ex = a[i] + cx, ey = a[j] + cy, fx = a[i] - cx, fy = a[j] - cy;
      const double gx = bx + dx, gy = by + dy, hx = by - dy, hy = dx - bx;  // h: -i (b - d)
      a[i] = ex + gx, a[j] = ey + gy;
      b[i] = fx + hx, b[j] = fy + hy;
      c[i] = ex - gx, c[j] = ey - gy;
      d[i] = fx - hx, d[j] = fy - hy;
    }
  }
}

/// Three or five of them: by the sum itself.
template <int kParts>
ETCHCAST_CLONES void join_odd(double* a, int m, int stride, const Complex* roots) {
  const std::ptrdiff_t next = std::ptrdiff_t(m) * kPlace, turn = std::ptrdiff_t(m) * stride;
  for (int k = 0; k < m; ++k, a += kPlace) {
    double turned[kParts][kPlace];
    for (int r = 0; r < kParts; ++r) {
      const Complex root = roots[std::ptrdiff_t(r) * k * stride];
      const double c = root.real(), s = root.imag(), *from = a + r * next;
      for (int i = 0; i < kLines; ++i)
        turned[r][i] = from[i] * c - from[i + kLines] * s, turned[r][i + kLines] = from[i] * s + from[i + kLines] * c;
    }
    for (int q = 0; q < kParts; ++q) {
      double sum[kPlace];
      for (int i = 0; i < kPlace; ++i) sum[i] = turned[0][i];
      for (int r = 1; r < kParts; ++r) {
        const Complex root = roots[std::ptrdiff_t(r * q % kParts) * turn];
        const double c = root.real(), s = root.imag();
        for (int i = 0; i < kLines; ++i) {
          sum[i] += turned[r][i] * c - turned[r][i + kLines] * s;
          sum[i + kLines] += turned[r][i] * s + turned[r][i + kLines] * c;
        }
      }
      std::copy(sum, sum + kPlace, a + q * next);
    }
  }
}

/// out = transform of n places of `in`, `stride` places apart; `roots` are those of n * stride.
void transform_lines(const double* in, double* out, int n, int stride, const Complex* roots) {
  if (n == 1) {
    std::copy(in, in + kPlace, out);
    return;
  }
  const int parts = factor_of(n), m = n / parts;
  for (int r = 0; r < parts; ++r)
    transform_lines(in + std::ptrdiff_t(r) * stride * kPlace, out + std::ptrdiff_t(r) * m * kPlace, m, stride * parts,
                    roots);
  switch (parts) {
    case 2:
      return join_two(out, m, stride, roots);
    case 3:
      return join_odd<3>(out, m, stride, roots);
    case 4:
      return join_four(out, m, stride, roots);
    default:
      return join_odd<5>(out, m, stride, roots);
  }
}

/// Transforms `lines` lines of n numbers in place; neighbours along a line lie `step` apart, lines `apart`. `sign`: -1
/// takes conjugates before and after, which turns the way.
void transform_all(Complex* values, int n, std::ptrdiff_t step, int lines, std::ptrdiff_t apart, double sign,
                   const std::vector<Complex>& roots) {
  std::vector<double> in(std::size_t(n) * kPlace), out(in.size());
  for (int first = 0; first < lines; first += kLines) {
    const int count = std::min(kLines, lines - first);
    Complex* field = values + first * apart;
    for (int k = 0; k < n; ++k)
      for (int i = 0; i < count; ++i) {
        const Complex v = field[k * step + i * apart];
        in[std::size_t(k) * kPlace + i] = v.real(), in[std::size_t(k) * kPlace + kLines + i] = sign * v.imag();
      }
    transform_lines(in.data(), out.data(), n, 1, roots.data());
    for (int k = 0; k < n; ++k)
      for (int i = 0; i < count; ++i)
        field[k * step + i * apart] = {out[std::size_t(k) * kPlace + i], sign * out[std::size_t(k) * kPlace + kLines + i]};
  }
}

}  // namespace

int smooth_size(int count) {
  for (int n = count;; ++n) {
    int left = n;
    for (const int p : {2, 3, 5})
      while (left % p == 0) left /= p;
    if (left == 1) return n;
  }
}

Fourier::Fourier(int columns, int rows)
    : columns_(columns), rows_(rows), roots_x_(roots(columns)), roots_y_(roots(rows)) {
  assert(smooth_size(columns) == columns && smooth_size(rows) == rows);
  const auto trusted = [](double waves, int count) { return std::exp(-36 * std::pow(std::abs(2 * waves / count), 8)); };
  for (int i = 0; i < columns; ++i) trusted_x_.push_back(trusted(waves_x(i), columns));
  for (int j = 0; j < rows; ++j) trusted_y_.push_back(trusted(waves_y(j), rows));
}

void Fourier::transform(std::vector<Complex>& values, bool backward) const {
  const double sign = backward ? -1 : 1;
  transform_all(values.data(), columns_, 1, rows_, columns_, sign, roots_x_);
  transform_all(values.data(), rows_, columns_, columns_, 1, sign, roots_y_);
}

void Fourier::forward(std::vector<Complex>& values) const {
  transform(values, false);
  const double k = 1 / double(size());
  for (Complex& v : values) v *= k;
}

void Fourier::backward(std::vector<Complex>& values) const { transform(values, true); }

}  // namespace etchcast
