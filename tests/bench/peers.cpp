// General-purpose programs at the same work, in the same minutes.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <sstream>

#include <omp.h>

#include "bench.hpp"
#include "files.hpp"
#include "hand_kernel.hpp"
#include "reference.hpp"
#include "stages.hpp"

namespace etchcast::bench {

namespace {

constexpr double kPixels = 3840.0 * 1000;
constexpr Crop kCrop{1200, 300, 640, 400};
const std::string kPeers = ETCHCAST_SOURCE_DIR "/tests/bench/peers/";

/// What a peer took; 0 where it was not there.
struct Peer {
  double trace = 0;    ///< CPU s a pixel: its own word for the picture alone
  double process = 0;  ///< CPU s a pixel of the whole process, its file written
  double wall = 0;     ///< likewise, by the clock
  double rms = 0;      ///< on crop C against the peers' own reference, levels
};

/// Share of the first steel on crop C, counted with 256 points a pixel through the peers' own maps.
const std::vector<float>& counted() {
  static const std::vector<float> shares = [] {
    const std::string file = scratch("counted.raw");
    run_child({ETCHCAST_PEER_SCALAR, "count", "1200", "300", "640", "400", "256", file});
    return floats_of(file);
  }();
  return shares;
}

std::vector<float> crop_of(const std::vector<float>& picture) {
  if (picture.size() == kCrop.size()) return picture;
  std::vector<float> out;
  for (int r = 0; r < kCrop.rows && picture.size() == size_t(kPixels); ++r)
    for (int c = 0; c < kCrop.columns; ++c) out.push_back(picture[size_t(kCrop.top + r) * 3840 + kCrop.left + c]);
  return out;
}

double rms_of(const std::vector<float>& picture) {
  const std::vector<float> crop = crop_of(picture);
  if (crop.empty() || crop.size() != counted().size()) return 0;
  Difference difference;
  difference.add(crop, counted(), 1);
  return difference.rms();
}

/// "(2.976 seconds)" and, on the line below, "with 2.953 CPU-seconds total", after "Trace Time:".
double trace_seconds(const std::string& text) {
  const size_t at = text.rfind("Trace Time:"), with = at == std::string::npos ? at : text.find("with ", at);
  return with == std::string::npos ? 0 : std::atof(text.c_str() + with + 5);
}

/// The whole plate, or crop C only; `more` are switches of anti-aliasing.
Peer pov_ray(const std::vector<std::string>& more, bool crop_only) {
  const std::string png = scratch("pov.png");
  std::vector<std::string> words = {"povray",        "+I" + kPeers + "plate.pov", "+O" + png, "+WT1", "-D", "+FN",
                                    "File_Gamma=1.0"};
  words.insert(words.end(), more.begin(), more.end());
  if (crop_only)
    words.insert(words.end(),
                 {"+W640", "+H400", "Declare=Left=60", "Declare=Top=15", "Declare=Wide=32", "Declare=High=20"});
  else
    words.insert(words.end(), {"+W3840", "+H1000"});
  const double pixels = crop_only ? double(kCrop.size()) : kPixels;
  const Child child = run_child(words);
  if (!child.ran) return {};
  return {trace_seconds(child.text) / pixels, child.spent.cpu / pixels, child.spent.wall / pixels,
          rms_of(grey_of(png))};
}

/// The best of the chunk sizes, in the sum of whose lines the process's own time has no meaning.
Peer arrays(std::string& chunk) {
  const std::string raw = scratch("arrays.raw");
  Child child;
  for (const char* python : {"python3", "/usr/bin/python3"})
    if (!child.ran) child = run_child({python, kPeers + "arrays.py", raw});
  if (!child.ran) return {};
  Peer peer;
  std::istringstream lines(child.text);
  int rows = 0;
  for (double ns = 0; lines >> rows >> ns;)
    if (peer.trace == 0 || ns < 1e9 * peer.trace) peer.trace = 1e-9 * ns, chunk = std::to_string(rows);
  peer.rms = rms_of(floats_of(raw));
  return peer;
}

Peer scalar(int runs) {
  const std::string raw = scratch("scalar.raw");
  const Child child = run_child({ETCHCAST_PEER_SCALAR, "time", std::to_string(runs), raw});
  return child.ran ? Peer{std::atof(child.text.c_str()), 0, 0, rms_of(floats_of(raw))} : Peer{};
}

/// Share of the first steel on crop C, counted through etchcast's own maps.
std::vector<float> counted_by_own(const Job& job, int points) {
  omp_set_num_threads(omp_get_num_procs());
  std::vector<float> reference =
      counted_shares(job.bar(), job.steels(), kCrop, points,
                     [](int n, const double* right, const double* down, Point<double>* points) {
                       for (int i = 0; i < n; ++i)
                         points[i] = PlaneView::at(right[i] * kPixel, kPlateHeight - down[i] * kPixel);
                     });
  reference.resize(kCrop.size());
  return reference;
}

double rms_against(const std::vector<float>& reference, const std::vector<float>& picture) {
  Difference difference;
  difference.add(crop_of(picture), reference, 1);
  return difference.rms();
}

Peer by_hand(int runs, const std::vector<float>& reference) {
  std::vector<float> picture(size_t(kPixels), 0.0f);
  const Spent spent = median_of(runs, [&] { hand_kernel(picture.data()); });
  return {spent.cpu / kPixels, 0, 0, rms_against(reference, picture)};
}

/// The picture in a process of its own, from recipe text to PNG; medians of five.
Peer own(const char* threads) {
  std::vector<double> cpu, wall;
  setenv("OMP_NUM_THREADS", threads, 1);
  for (int run = 0; run < 5; ++run) {
    const Child child = run_child({"/proc/self/exe", "draw", scratch("own.png")});
    cpu.push_back(child.spent.cpu), wall.push_back(child.spent.wall);
  }
  unsetenv("OMP_NUM_THREADS");
  std::sort(cpu.begin(), cpu.end()), std::sort(wall.begin(), wall.end());
  return {0, cpu[2] / kPixels, wall[2] / kPixels, 0};
}

/// Share of pixels in which two peers see different steels.
double share_apart(const std::vector<float>& a, const std::vector<float>& b) {
  size_t apart = 0;
  for (size_t i = 0; i < a.size(); ++i) apart += std::abs(a[i] - b[i]) > 0.5f;
  return double(apart) / double(a.size());
}

void add(const std::string& name, const Peer& p) {
  const auto cell = [](double seconds) { return seconds > 0 ? ns_text(seconds, 1) : std::string("-"); };
  if (p.trace <= 0 && p.process <= 0) return row({name, "not installed", "-", "-", "-"});
  row({name, cell(p.trace), cell(p.process), cell(p.wall), p.rms > 0 ? figures(p.rms) : "-"});
}

void add_ratio(const std::string& what, double theirs, double ours) {
  row({what, theirs > 0 && ours > 0 ? figures(theirs / ours) : "not installed"});
}

struct All {
  Peer ours, hand, plain, smooth, numpy, scalar;
  double maps = 0;  ///< etchcast's maps alone
};

All measure(const Options& options) {
  All all;
  const Job job(recipe_text());
  const Stages stages = stages_of(job, 1, options.runs());
  all.maps = stages.maps.cpu / kPixels;
  all.ours = own("1");
  const std::vector<float> reference = counted_by_own(job, options.quick ? 256 : 1024);
  all.ours.trace = stages.coverage.cpu / kPixels, all.ours.rms = rms_against(reference, shares_of_plate(job, kPixel));
  all.hand = by_hand(options.runs(), reference);
  columns({"program", "picture alone, CPU ns/px", "process, CPU ns/px", "process, wall ns/px", "rms on C"});
  add("etchcast, areas integrated, lit", all.ours);
  add("the same on two threads", own("2"));
  add("a kernel written by hand for W", all.hand);
  all.plain = pov_ray({"-A"}, false);
  const std::vector<float> traced = grey_of(scratch("pov.png"));
  add("POV-Ray, one point a pixel", all.plain);
  all.smooth = pov_ray({"+A0.1", "+AM2", "+R3"}, options.quick);
  add("POV-Ray, +A0.1 +AM2 +R3", all.smooth);
  std::string chunk;
  all.numpy = arrays(chunk);
  add("numpy, float32" + (chunk.empty() ? "" : ", " + chunk + " rows at a time"), all.numpy);
  all.scalar = scalar(3);
  add("scalar C++, a virtual call a step, -O2", all.scalar);
  const std::vector<float> plain = floats_of(scratch("scalar.raw")), rows = floats_of(scratch("arrays.raw"));
  for (const auto& [name, other] : {std::pair{"POV-Ray", &traced}, std::pair{"numpy", &rows}})
    if (other->size() == plain.size() && !plain.empty())
      paragraph("Pixels in which " + std::string(name) +
                " and scalar C++ see different steel: " + figures(100 * share_apart(plain, *other)) + " %.");
  return all;
}

}  // namespace

void peers(const Options& options) {
  heading("Peers");
  paragraph(
      "Workload W by general-purpose programs (`tests/bench/peers`) and by a kernel made for it, one thread unless "
      "said. The programs square sections by the plain map on square rings and press ridges of squared sine; "
      "etchcast's squaring map is smooth and dearer, its ridges come from a table whatever their shape. The kernel "
      "(`tests/bench/hand_kernel.cpp`) shows what specialising buys: etchcast's own geometry, areas integrated, but "
      "for this plate alone, with its constants compiled in, multiplications and additions fused, what repeats from "
      "ridge to ridge found once, heights of rings in a table, and layers in closed form. The others, but for the anti-aliased POV-Ray, take one "
      "point a pixel. Picture alone: maps and coverage (etchcast), shares of steel (kernel), trace (POV-Ray, flat "
      "finish, its own word), best chunk of rows (numpy). Process: from start to the PNG written; kernel, numpy and "
      "scalar C++ write none. Only etchcast lights the metal. rms: on crop C, in levels of 255, against many points a"
      " pixel through the program's own maps; the kernel's through etchcast's.");
  if (options.quick) paragraph("Quick run: anti-aliased POV-Ray draws crop C only.");
  const All all = measure(options);
  columns({"ratio, CPU time in this run", "times"});
  const Peer& ours = all.ours;
  add_ratio("etchcast's maps and coverage / the kernel by hand", ours.trace, all.hand.trace);
  add_ratio("POV-Ray, one point, trace / etchcast's maps and coverage", all.plain.trace, ours.trace);
  add_ratio("POV-Ray +A0.1, trace / etchcast's maps and coverage", all.smooth.trace, ours.trace);
  add_ratio("POV-Ray +A0.1, rms / etchcast's", all.smooth.rms, ours.rms);
  add_ratio("numpy, its best / etchcast's maps and coverage", all.numpy.trace, ours.trace);
  add_ratio("numpy, its best / etchcast's maps alone: both one point", all.numpy.trace, all.maps);
  add_ratio("scalar C++ / etchcast's maps and coverage", all.scalar.trace, ours.trace);
  add_ratio("scalar C++ / etchcast's maps alone: both one point", all.scalar.trace, all.maps);
  add_ratio("whole process: POV-Ray, one point / etchcast", all.plain.process, ours.process);
  add_ratio("whole process: POV-Ray +A0.1 / etchcast", all.smooth.process, ours.process);
}

}  // namespace etchcast::bench
