// How far pictures are from what is true: workload W, then every pattern.
#include <algorithm>

#include <omp.h>

#include "bench.hpp"
#include "hand_kernel.hpp"
#include "reference.hpp"
#include "workload.hpp"

namespace etchcast::bench {

namespace {

constexpr int kPoints = 1024;

struct Named {
  const char* name;
  Crop crop;
};
constexpr Named kCrops[] = {
    {"C, 640 x 400 at (1200, 300)", {1200, 300, 640, 400}},
    {"H1, 480 x 300 at (150, 0)", {150, 0, 480, 300}},
    {"H2, 480 x 300 at (2900, 650)", {2900, 650, 480, 300}},
};

std::vector<float> cut(const std::vector<float>& picture, int columns, const Crop& crop) {
  std::vector<float> out;
  for (int r = 0; r < crop.rows; ++r) {
    const auto from = picture.begin() + size_t(crop.top + r) * columns + crop.left;
    out.insert(out.end(), from, from + crop.columns);
  }
  return out;
}

/// In a quick run every crop is cut down to a tenth of its area about its middle.
Crop shortened(Crop crop, bool quick) {
  if (!quick) return crop;
  const int columns = crop.columns / 4, rows = crop.rows * 2 / 5;
  return {crop.left + (crop.columns - columns) / 2, crop.top + (crop.rows - rows) / 2, columns, rows};
}

void plane_points(int n, const double* right, const double* down, Point<double>* points) {
  for (int i = 0; i < n; ++i) points[i] = PlaneView::at(right[i] * kPixel, kPlateHeight - down[i] * kPixel);
}

}  // namespace

void quality(const Options& options) {
  heading("Workload W: quality");
  paragraph(std::string("Share of the first steel in each pixel against 1024 points a pixel on a golden-ratio lattice, "
                        "taken back in double "
                        "through the same maps; in levels of 255. The reference itself is uneven by some 0.3 rms where "
                        "pixels hold two layers. Beside etchcast the kernel by hand that is among the peers.") +
            (options.quick ? " Quick run: a tenth of each crop." : ""));
  omp_set_num_threads(omp_get_num_procs());
  const Job job(recipe_text());
  const std::vector<float> picture = shares_of_plate(job, kPixel);
  std::vector<float> by_hand(picture.size());
  hand_kernel(by_hand.data());
  columns({"crop", "rms", "worst", "kernel by hand: rms", "kernel by hand: worst"});
  for (const Named& named : kCrops) {
    const Crop crop = shortened(named.crop, options.quick);
    std::vector<float> counted = counted_shares(job.bar(), job.steels(), crop, kPoints, plane_points);
    counted.resize(crop.size());
    Difference own, hand;
    own.add(cut(picture, columns_at(kPixel), crop), counted, 1);
    hand.add(cut(by_hand, columns_at(kPixel), crop), counted, 1);
    row({named.name, figures(own.rms()), figures(own.worst), figures(hand.rms()), figures(hand.worst)});
  }
}

}  // namespace etchcast::bench
