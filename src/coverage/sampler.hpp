#pragma once
/// \file sampler.hpp — fills a window of a view with shares of steel: the hot loop.

#include <cstdint>
#include <span>
#include <vector>

#include "coverage/band_table.hpp"
#include "coverage/mask.hpp"
#include "coverage/survey.hpp"
#include "coverage/view.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

struct Answers;

class Sampler {
 public:
  Sampler(const Bar& bar, int steels);

  /// A square that is sampled for a pixel: its upper left corner in the view, mm.
  struct Part {
    double left, top;
    size_t pixel;
  };
  /// s over a pixel, from its middle, in pixels.
  struct Parabola {
    float s, sp, sq, spp, spq, sqq;
    short leaf;
    size_t pixel;
  };
  /// Memory for one thread's work.
  struct Desk {
    Survey survey;
    std::vector<char> metal = {}, wanted = {}, seen = {};
    std::vector<size_t> asked_near = {};                      ///< pixels asked one by one, and their neighbours
    std::vector<size_t> curved = {}, broken = {}, torn = {};  ///< pixels, by what is hard about them
    std::vector<Part> coarse = {}, fine = {};
    std::vector<Parabola> slight = {}, strong = {};    ///< curved pixels, by how many parts they take
    std::vector<float> shares = {}, own = {};
    long long asked = 0, divided = 0;  ///< questions to the bar, and divided pixels, so far; for the benchmark
  };
  Desk desk() const { return {Survey(bar_, fit_, insets_)}; }
  /// Fills `field` (already sized and placed) from the view.
  ///   Method  Where the metal came from is surveyed (survey.hpp), then the band list is integrated over each pixel's
  ///           footprint, a parallelogram given by the slopes. Pixels that a seam or crease crosses, or where the map bends
  ///           too much for one footprint, are divided, up to 8 x 8.
  ///   Cost    windows of a few ten thousand pixels stay in the cache. One thread; many may sample at once, each with a desk
  ///           of its own, and nothing is allocated once the desk has seen a window as large.
  void sample(const View& view, Field& field, Desk& desk) const;
  void sample(const View& view, Field& field) const {
    Desk own = desk();
    sample(view, field, own);
  }

 private:
  void cover_row(Field& field, Desk& desk, int row) const;
  void lay_bare(const View& view, Field& field, int row) const;
  bool parabola(const Field& field, const Survey& survey, size_t pixel, Parabola& parabola) const;
  float strayed(const Parabola& parabola) const;
  template <int n>
  void add_parabolas(Field& field, Desk& desk, const std::vector<Parabola>& parabolas) const;
  void add_rounds(const View& view, Field& field, Desk& desk, const std::vector<size_t>& pixels, std::span<const int> rounds) const;
  std::uint64_t bent_parts(const Answers& answers, int first, int n, float part) const;
  std::uint64_t rim_parts(const Answers& answers, int first, int n, const Field& field, const Survey& survey, size_t pixel) const;
  void divide(const View& view, Field& field, Desk& desk) const;
  void add_divided(const View& view, Field& field, Desk& desk, const std::vector<Part>& squares, double size, int n, std::vector<Part>* finer) const;
  float reach(short leaf, float footprint, float stray) const;
  bool changes(short leaf, float s, float footprint, float stray) const;
  void find_curved(const Field& field, Desk& desk) const;
  void find_broken(const Field& field, Desk& desk) const;
  bool seam_at(const Field& field, const Survey& survey, size_t pixel) const;
  bool comparable(const Field& field, const Survey& survey, int row, int column) const;
  void cover(const float* s, const float* p, const float* q, const short* leaf, int n, float* shares, size_t stride, Desk& desk) const;
  const Bar& bar_;
  int steels_;
  std::vector<BandTable> tables_;
  Survey::Fit fit_{};
  Survey::Insets insets_;
  bool torn_ = false;  ///< whether the bar has seams: else metal that was one piece still hangs together
};

}  // namespace etchcast
