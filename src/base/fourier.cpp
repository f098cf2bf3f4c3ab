// Mixed radix, decimation in time (Cooley and Tukey 1965).
#include "base/fourier.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace etchcast {

namespace {

using Complex = Fourier::Complex;

int factor_of(int n) { return n % 4 == 0 ? 4 : n % 2 == 0 ? 2 : n % 3 == 0 ? 3 : n % 5 == 0 ? 5 : n; }

std::vector<Complex> roots(int n) {
  std::vector<Complex> r;
  for (int i = 0; i < n; ++i) r.push_back(std::polar(1.0, -2 * 3.14159265358979323846 * i / n));
  return r;
}

Complex times(Complex a, Complex b) {  // the library's product looks for infinities
  return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// out[0 .. n-1] = transform of in[0], in[stride], ...; `roots` are those of n * stride.
void step(const Complex* in, Complex* out, int n, int stride, const std::vector<Complex>& roots) {
  if (n == 1) {
    out[0] = in[0];
    return;
  }
  const int p = factor_of(n), m = n / p, total = int(roots.size());
  for (int r = 0; r < p; ++r) step(in + std::ptrdiff_t(r) * stride, out + std::ptrdiff_t(r) * m, m, stride * p, roots);
  Complex part[5];
  for (int k = 0; k < m; ++k) {
    for (int r = 0; r < p; ++r) part[r] = times(out[r * m + k], roots[std::size_t(r) * k * stride]);
    if (p == 2) {
      out[k] = part[0] + part[1], out[m + k] = part[0] - part[1];
    } else if (p == 4) {
      const Complex a = part[0] + part[2], b = part[0] - part[2], c = part[1] + part[3], d = part[1] - part[3];
      const Complex turned{d.imag(), -d.real()};
      out[k] = a + c, out[m + k] = b + turned, out[2 * m + k] = a - c, out[3 * m + k] = b - turned;
    } else {
      for (int q = 0; q < p; ++q) {
        Complex sum = part[0];
        for (int r = 1; r < p; ++r) sum += times(part[r], roots[std::size_t(r * q % p) * (total / p)]);
        out[q * m + k] = sum;
      }
    }
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
}

void Fourier::transform(std::vector<Complex>& values, bool backward) const {
  // Backward is forward between two conjugations.
  if (backward)
    for (Complex& v : values) v = std::conj(v);
  std::vector<Complex> line(static_cast<std::size_t>(std::max(columns_, rows_))), out(line.size());
  for (int j = 0; j < rows_; ++j) {
    Complex* row = values.data() + std::size_t(j) * columns_;
    std::copy(row, row + columns_, line.begin());
    step(line.data(), row, columns_, 1, roots_x_);
  }
  for (int i = 0; i < columns_; ++i) {
    for (int j = 0; j < rows_; ++j) line[std::size_t(j)] = values[std::size_t(j) * columns_ + i];
    step(line.data(), out.data(), rows_, 1, roots_y_);
    for (int j = 0; j < rows_; ++j) values[std::size_t(j) * columns_ + i] = out[std::size_t(j)];
  }
  if (backward)
    for (Complex& v : values) v = std::conj(v);
}

double Fourier::trusted(int i, int j) const {
  const double share = std::max(std::abs(2.0 * waves_x(i) / columns_), std::abs(2.0 * waves_y(j) / rows_));
  return std::exp(-36 * std::pow(share, 8));
}

void Fourier::forward(std::vector<Complex>& values) const {
  transform(values, false);
  const double k = 1 / double(size());
  for (Complex& v : values) v *= k;
}

void Fourier::backward(std::vector<Complex>& values) const { transform(values, true); }

}  // namespace etchcast
