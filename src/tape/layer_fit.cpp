// Principal depth functions, and a few rounds of correction.
#include "tape/layer_fit.hpp"

#include <algorithm>
#include <cmath>

#include "tape/layer_map.hpp"

namespace etchcast {

namespace {

constexpr int kLevels = LayerTarget::kLevels;
constexpr double kPi = 3.14159265358979323846;
constexpr double kNear = 0.002;  ///< share of the highest rise that may be missed, root mean square
constexpr int kRounds = 4;
constexpr size_t kLarge = 20000;  ///< nodes; from there on one correction must do, for they are rough for other reasons
constexpr double kFew = 0.003;  ///< share of it, root mean square, that no depth function need tell

using Square = std::array<std::array<double, kLevels>, kLevels>;

/// Faces weigh more: they are seen and measured.
double weight(int l) { return l == 0 || l == kLevels - 1 ? 4 : 1; }

/// Eigenvectors (columns of `v`) of a symmetric matrix, left diagonal: Jacobi's rotations.
void diagonalise(Square& a, Square& v) {
  for (int i = 0; i < kLevels; ++i)
    for (int j = 0; j < kLevels; ++j) v[i][j] = i == j;
  for (int sweep = 0; sweep < 30; ++sweep)
    for (int p = 0; p < kLevels; ++p)
      for (int q = p + 1; q < kLevels; ++q) {
        if (std::abs(a[p][q]) < 1e-300) continue;
        const double theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
        const double t = (theta < 0 ? -1 : 1) / (std::abs(theta) + std::sqrt(theta * theta + 1));
        const double c = 1 / std::sqrt(t * t + 1), s = t * c;
        for (int k = 0; k < kLevels; ++k) {
          const double x = a[k][p], y = a[k][q];
          a[k][p] = c * x - s * y, a[k][q] = s * x + c * y;
        }
        for (int k = 0; k < kLevels; ++k) {
          const double x = a[p][k], y = a[q][k];
          a[p][k] = c * x - s * y, a[q][k] = s * x + c * y;
        }
        for (int k = 0; k < kLevels; ++k) {
          const double x = v[k][p], y = v[k][q];
          v[k][p] = c * x - s * y, v[k][q] = s * x + c * y;
        }
      }
}

/// Coefficients of the polynomial in 2c - 1 through values at the levels, by Newton's divided differences.
std::vector<double> through_levels(const std::array<double, kLevels>& values) {
  std::array<double, kLevels> u, d = values;
  for (int l = 0; l < kLevels; ++l) u[size_t(l)] = 2 * LayerTarget::level(l) - 1;
  for (int k = 1; k < kLevels; ++k)
    for (int l = kLevels - 1; l >= k; --l)
      d[size_t(l)] = (d[size_t(l)] - d[size_t(l) - 1]) / (u[size_t(l)] - u[size_t(l - k)]);
  std::vector<double> p(size_t(kLevels), 0.0);
  for (int k = kLevels - 1; k >= 0; --k) {  // p = p * (u - u_k) + d_k
    for (int n = kLevels - 1; n > 0; --n) p[size_t(n)] = p[size_t(n) - 1] - u[size_t(k)] * p[size_t(n)];
    p[0] = d[size_t(k)] - u[size_t(k)] * p[0];
  }
  return p;
}

struct Ways {
  std::vector<std::array<double, kLevels>> at_levels;  ///< orthonormal with the weights
  std::vector<double> polynomials;
};

/// Share of the plan where anything rises: tools that stand far apart must be told as well as those that stand close.
double share_moved(const LayerTarget& target, double highest) {
  size_t moved = 0;
  for (size_t i = 0; i < target.grid.size(); ++i) {
    double most = 0;
    for (const auto& level : target.rise) most = std::max(most, std::abs(level[i]));
    moved += most > 0.02 * highest;
  }
  return std::max(1e-4, double(moved) / double(target.grid.size()));
}

Ways principal_ways(const LayerTarget& target, double highest, double share) {
  Square a{}, v;
  const double nodes = share * double(target.grid.size());
  for (int l = 0; l < kLevels; ++l)
    for (int m = 0; m <= l; ++m) {
      double sum = 0;
      for (size_t i = 0; i < target.grid.size(); ++i) sum += target.rise[size_t(l)][i] * target.rise[size_t(m)][i];
      a[l][m] = a[m][l] = std::sqrt(weight(l) * weight(m)) * sum / nodes;
    }
  diagonalise(a, v);
  std::array<int, kLevels> order;
  for (int i = 0; i < kLevels; ++i) order[size_t(i)] = i;
  std::sort(order.begin(), order.end(), [&](int x, int y) { return a[x][x] > a[y][y]; });
  double left = 0;
  for (int i = 0; i < kLevels; ++i) left += a[i][i];
  Ways ways;
  for (int k = 0; k < LayerTable::kMostWays; ++k) {
    const int column = order[size_t(k)];
    std::array<double, kLevels> f;
    for (int l = 0; l < kLevels; ++l) f[size_t(l)] = v[l][column] / std::sqrt(weight(l));
    ways.at_levels.push_back(f);
    const auto p = through_levels(f);
    ways.polynomials.insert(ways.polynomials.end(), p.begin(), p.end());
    left -= a[column][column];
    // What goes beyond four looks up twice the numbers: only for those that miss much.
    const double enough = (k + 1 == LayerTable::kFewWays ? 2 : 1) * kFew * highest;
    if (left / kLevels < enough * enough) break;
  }
  return ways;
}

std::vector<std::vector<double>> projected(const Ways& ways, const LayerTarget& target) {
  std::vector<std::vector<double>> rise(ways.at_levels.size(), std::vector<double>(target.grid.size(), 0.0));
  for (size_t way = 0; way < rise.size(); ++way)
    for (int l = 0; l < kLevels; ++l) {
      const double k = weight(l) * ways.at_levels[way][size_t(l)];
      for (size_t i = 0; i < target.grid.size(); ++i) rise[way][i] += k * target.rise[size_t(l)][i];
    }
  return rise;
}

/// What the motion misses of the target's heights at every `stride`-th node and all levels; elsewhere 0.
LayerTarget missed(const LayerTarget& target, const std::shared_ptr<const LayerTable>& table, size_t stride) {
  const MapPtr map = layer_map(table, {1, 0.5, 1});  // z is then the table's own, c - 1/2 comes out
  LayerTarget rest(target.grid);
  const size_t nodes = target.grid.size(), last = (nodes - 1) / stride * stride;
  auto b = std::make_unique<Batch<float>>();
  for (int l = 0; l < kLevels; ++l)
    for (size_t from = 0; from < nodes; from += kLanes * stride) {
      *b = {};
      for (int i = 0; i < kLanes; ++i) {
        const size_t node = std::min(from + size_t(i) * stride, last);
        b->x[i] = float(target.grid.x(node)), b->y[i] = float(target.grid.y(node));
        b->z[i] = float(LayerTarget::level(l) + target.rise[size_t(l)][node]), b->zp[i] = 1;
      }
      map->before_from_after(*b);
      for (size_t i = 0; i < kLanes && from + i * stride < nodes; ++i)
        rest.rise[size_t(l)][from + i * stride] =
            (double(b->z[i]) + 0.5 - LayerTarget::level(l)) / std::max(double(b->zp[i]), 0.1);
    }
  return rest;
}

void take_measure(const LayerTarget& rest, size_t stride, double highest, double share, LayerFit& fit) {
  double squares = 0;
  fit.worst = 0;
  for (const auto& level : rest.rise)
    for (const double v : level) squares += v * v, fit.worst = std::max(fit.worst, std::abs(v) / highest);
  const size_t asked = (rest.grid.size() - 1) / stride + 1;
  fit.rms = std::sqrt(squares / (share * double(kLevels * asked))) / highest;
}

}  // namespace

double LayerTarget::level(int l) { return 0.5 - 0.5 * std::cos(kPi * l / (kLevels - 1)); }

LayerTarget::LayerTarget(const Grid2& grid) : grid(grid) {
  for (auto& level : rise) level.assign(grid.size(), 0);
}

LayerFit fit_layers(LayerTarget target) {
  double highest = 1e-9;
  for (auto& level : target.rise) {
    double mean = 0;
    for (const double v : level) mean += v / double(level.size());
    for (double& v : level) v -= mean, highest = std::max(highest, std::abs(v));
  }
  const double share = share_moved(target, highest);
  const Ways ways = principal_ways(target, highest, share);
  auto table = std::make_shared<LayerTable>(target.grid, int(ways.at_levels.size()), ways.polynomials);
  table->add(projected(ways, target));
  LayerFit fit;
  const bool large = target.grid.size() >= kLarge;
  const int most = large ? 1 : kRounds;
  for (int round = 0;; ++round) {
    const double before = round == 0 ? 1 : fit.rms;
    const size_t stride = large && round == most ? 7 : 1;  // only to be told, not to be mended
    const LayerTarget rest = missed(target, table, stride);
    take_measure(rest, stride, highest, share, fit);
    if (round == most || fit.rms < kNear / 2 || fit.rms > 0.8 * before) break;
    table->add(projected(ways, rest));
  }
  fit.table = table;
  return fit;
}

}  // namespace etchcast
