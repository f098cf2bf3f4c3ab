// Peer: plain scalar C++, one virtual call a step and pixel, single precision, -O2.
//   scalar time RUNS FILE                      CPU ns per pixel, the median; the picture as raw floats
//   scalar count LEFT TOP COLUMNS ROWS N FILE  a crop counted in double with N points a pixel on a golden-ratio lattice
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <memory>
#include <vector>

#include "plate.hpp"

namespace {

using Spot = plate::Spot<float>;

struct Step {
  virtual ~Step() = default;
  virtual Spot back(Spot p) const = 0;
};
struct Press : Step {
  Spot back(Spot p) const override { return plate::unpressed(p); }
};
struct Stretch : Step {
  float along, across, through, lift;
  Stretch(double x, double y, double z, double up = 0)
      : along(float(x)), across(float(y)), through(float(z)), lift(float(up)) {}
  Spot back(Spot p) const override {
    p = plate::stretched(p, along, across, through);
    return {p.x, p.y, p.z + lift};
  }
};
struct Round : Step {
  Spot back(Spot p) const override { return plate::disc_from_square(p); }
};
struct Twist : Step {
  Spot back(Spot p) const override { return plate::untwisted(p); }
};
struct Square : Step {
  Spot back(Spot p) const override { return plate::square_from_disc(p); }
};
struct Pile : Step {
  float thickness, length;
  int pieces;
  Pile(double t, double l, int n) : thickness(float(t)), length(float(l)), pieces(n) {}
  Spot back(Spot p) const override { return plate::unpiled(p, thickness, length, pieces); }
};

using Steps = std::vector<std::unique_ptr<Step>>;

Steps schedule() {
  Steps steps;
  steps.emplace_back(new Press);
  steps.emplace_back(new Stretch(450.0 / 484, 22.0 / 50, 22.0 / 9));
  steps.emplace_back(new Round);
  steps.emplace_back(new Twist);
  steps.emplace_back(new Square);
  steps.emplace_back(new Stretch(51.2 / plate::kBarLength, 62.5 / 22, 66.25 / 22, 33.125));
  steps.emplace_back(new Pile(13.25, 51.2, 5));
  steps.emplace_back(new Stretch(1 / 3.2, 0.8, 4));
  steps.emplace_back(new Pile(13.25, 80, 4));
  steps.emplace_back(new Stretch(1 / 3.2, 0.8, 4));
  return steps;
}

double cpu_seconds() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return double(t.tv_sec) + 1e-9 * double(t.tv_nsec);
}

void draw(const Steps& steps, std::vector<float>& picture) {
  for (int row = 0; row < plate::kRows; ++row)
    for (int column = 0; column < plate::kColumns; ++column) {
      Spot p = plate::surface(float(column) + 0.5f, float(row) + 0.5f);
      for (const auto& step : steps) p = step->back(p);
      picture[size_t(row) * plate::kColumns + column] = plate::steel(p.z);
    }
}

int save(const std::vector<float>& values, const char* path) {
  std::FILE* file = std::fopen(path, "wb");
  if (!file) return 1;
  const bool whole = std::fwrite(values.data(), sizeof(float), values.size(), file) == values.size();
  return std::fclose(file) == 0 && whole ? 0 : 1;
}

int time_picture(int runs, const char* path) {
  const Steps steps = schedule();
  std::vector<float> picture(size_t(plate::kColumns) * plate::kRows);
  std::vector<double> spent;
  draw(steps, picture);
  for (int run = 0; run < runs; ++run) {
    const double start = cpu_seconds();
    draw(steps, picture);
    spent.push_back(cpu_seconds() - start);
  }
  std::sort(spent.begin(), spent.end());
  std::printf("%.9g\n", spent[spent.size() / 2] / double(picture.size()));
  return save(picture, path);
}

int count_crop(int left, int top, int columns, int rows, int points, const char* path) {
  std::vector<float> shares;
  for (int row = top; row < top + rows; ++row)
    for (int column = left; column < left + columns; ++column) {
      double sum = 0;
      for (int k = 0; k < points; ++k) {
        const double turn = k * 0.6180339887498949 + 0.5;
        sum += plate::steel_at(column + (k + 0.5) / points, row + turn - std::floor(turn));
      }
      shares.push_back(float(sum / points));
    }
  return save(shares, path);
}

}  // namespace

int main(int count, char** words) {
  if (count == 4 && std::strcmp(words[1], "time") == 0) return time_picture(std::atoi(words[2]), words[3]);
  if (count != 8) return 2;
  return count_crop(std::atoi(words[2]), std::atoi(words[3]), std::atoi(words[4]), std::atoi(words[5]),
                    std::atoi(words[6]), words[7]);
}
