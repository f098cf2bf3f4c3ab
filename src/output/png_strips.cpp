// PNG pixels packed strip by strip on all threads; the only file that knows ISA-L.
#include <isa-l/crc.h>
#include <isa-l/igzip_lib.h>
#include <omp.h>

#include <algorithm>
#include <exception>
#include <memory>
#include <span>
#include <utility>

#include "base/clones.hpp"
#include "etchcast/error.hpp"
#include "output/png.hpp"

namespace etchcast::png {
namespace {

/// CPU time of the compressor alone on workload W, a ladder and a laminate, each with its better filter: level 1 takes
/// 6.4, 5.4 and 4.1 ns a pixel; 2 takes 7.2, 5.6 and 4.2 and gives 3.2, 1.8 and 0.2 % less file; 3 takes 7.4, 7.0 and
/// 6.8 and gives no less. Level 0 with codes made from a count takes as long as level 1 and gives 2 to 6 % more.
constexpr int kLevel = 2;
constexpr size_t kLevelBuffer = ISAL_DEF_LVL2_DEFAULT;

/// Filtered bytes of a strip. With twice of it files are from 0.6 % smaller to 0.6 % larger, and no sooner packed.
constexpr size_t kStrip = 256 << 10;
/// A strip's filter is chosen by packing one row in so many each way. One in 16 takes 0.5 to 0.9 ns a pixel more for
/// files of the same size within 0.7 %; the usual rule, least sum of differences, gave up to 2 % more.
constexpr int kTryEvery = 32;

/// ISO/IEC 15948, 9.2: as it is, less the pixel before, less the row above.
enum class Filter : std::uint8_t { none = 0, sub = 1, up = 2 };

void put_word(std::uint8_t* to, std::uint32_t word) {
  for (int i = 0; i < 4; ++i) to[i] = std::uint8_t(word >> (24 - 8 * i));
}

/// Frames the image data at chunk + 8: length, four letters, data, CRC over letters and data. Returns the chunk's size.
size_t close_chunk(std::uint8_t* chunk, size_t length) {
  constexpr std::string_view kName = "IDAT";
  put_word(chunk, std::uint32_t(length));
  std::copy(kName.begin(), kName.end(), chunk + 4);
  put_word(chunk + 8 + length, crc32_gzip_refl(0, chunk + 4, length + 4));
  return length + 12;
}

/// Adler-32 of two texts in a row from that of each (RFC 1950: a sum that begins with 1, and the sum of its values).
std::uint32_t joined_adler(std::uint32_t first, std::uint32_t second, size_t second_length) {
  constexpr std::uint64_t kBase = 65521;
  const std::uint64_t a = first & 0xFFFF, b = first >> 16, more = a + kBase - 1;
  return std::uint32_t((more + (second & 0xFFFF)) % kBase |
                       (b + (second >> 16) + second_length % kBase * (more % kBase)) % kBase << 16);
}

/// Rows [first, last) of the picture; the last strip ends the stream.
struct Strip {
  int first, last;
  bool ends;
};

size_t row_bytes(const Image& image) { return size_t(image.columns) * 3 + 1; }

/// Room for a packed strip: what cannot be packed grows by its codes and blocks, far less than an eighth.
size_t packed_bound(size_t filtered) { return filtered + filtered / 8 + 4096; }

/// A strip as an IDAT chunk; Adler-32 and number of its filtered bytes.
struct Packed {
  std::span<const std::uint8_t> chunk;
  std::uint32_t adler = 1;
  size_t filtered = 0;
};

ETCHCAST_CLONES void subtract(const std::uint8_t* from, const std::uint8_t* what, size_t length, std::uint8_t* to) {
#pragma GCC ivdep
  for (size_t i = 0; i < length; ++i) to[i] = std::uint8_t(from[i] - what[i]);
}

/// Turns strips into chunks, one at a time, in memory of its own; every thread has one.
class Packer {
 public:
  Packer(const Image& image, int rows)
      : image_(image),
        stream_(std::make_unique<isal_zstream>()),
        level_buffer_(kLevelBuffer),
        filtered_(row_bytes(image) * size_t(rows)),
        chunk_(packed_bound(filtered_.size())) {}

  /// The chunk stays until the next one is packed.
  Packed pack(const Strip& strip) {
    const size_t length = filter(strip, better_filter(strip), 1), head = strip.first == 0 ? 10 : 8;
    const size_t packed = deflate(length, head, strip.ends);
    if (packed == 0) throw Error(Fault::use, "the picture could not be packed", "please report this, with the recipe");
    if (strip.first == 0) chunk_[8] = 0x78, chunk_[9] = 0x5E;  // zlib's header: a window of 32 kB, packed fast
    const size_t size = close_chunk(chunk_.data(), head - 8 + packed);
    return {{chunk_.data(), size}, isal_adler32(1, filtered_.data(), length), length};
  }

 private:
  Filter better_filter(const Strip& strip) {
    Filter best = Filter::none;
    size_t least = SIZE_MAX;
    for (const Filter tried : {Filter::none, Filter::sub, Filter::up}) {
      const size_t packed = deflate(filter(strip, tried, kTryEvery), 8, false);
      if (packed < least) best = tried, least = packed;
    }
    return best;
  }

  /// Every `every`th row, with its filter's number before it; returns their bytes.
  size_t filter(const Strip& strip, Filter filter, int every) {
    const size_t length = row_bytes(image_) - 1, back = filter == Filter::sub ? 3 : length;
    const std::uint8_t* pixels = image_.rgb.data();
    std::uint8_t* to = filtered_.data();
    for (int row = strip.first; row < strip.last; row += every) {
      const size_t start = size_t(row) * length;
      const size_t bare = filter == Filter::sub ? 3 : filter == Filter::none || row == 0 ? length : 0;
      *to++ = std::uint8_t(filter);
      std::copy_n(pixels + start, bare, to);
      if (bare < length) subtract(pixels + start + bare, pixels + start + bare - back, length - bare, to + bare);
      to += length;
    }
    return size_t(to - filtered_.data());
  }

  /// Packs the first bytes of filtered_ to chunk_ from `at` on and returns their number, 0 if that failed. What comes
  /// out knows nothing of other strips and ends on a whole byte, so that strips can follow one another.
  size_t deflate(size_t length, size_t at, bool ends) {
    isal_deflate_init(stream_.get());
    stream_->level = kLevel;
    stream_->level_buf = level_buffer_.data();
    stream_->level_buf_size = std::uint32_t(level_buffer_.size());
    stream_->flush = FULL_FLUSH;
    stream_->end_of_stream = ends;
    stream_->next_in = filtered_.data();
    stream_->avail_in = std::uint32_t(length);
    stream_->next_out = chunk_.data() + at;
    stream_->avail_out = std::uint32_t(chunk_.size() - at - 4);  // the CRC follows
    const bool whole = isal_deflate(stream_.get()) == COMP_OK && stream_->avail_in == 0 && stream_->avail_out > 0;
    return whole ? stream_->total_out : 0;
  }

  const Image& image_;
  std::unique_ptr<isal_zstream> stream_;
  std::vector<std::uint8_t> level_buffer_, filtered_, chunk_;
};

/// Puts packed strips behind one another, whatever order they come in. No thread waits for another's strip: on a busy
/// machine that took more time than the packing. What has come too early is kept, packed, until its turn. The bytes
/// have been reserved: what comes in its turn is put there right away.
class Stream {
 public:
  Stream(std::vector<std::uint8_t>& bytes, int strips) : bytes_(bytes), early_(size_t(strips)) {}
  void add(int strip, const Packed& packed) {
    if (size_t(strip) != next_) {
      early_[size_t(strip)] = {{packed.chunk.begin(), packed.chunk.end()}, packed.adler, packed.filtered};
      return;
    }
    append(packed);
    for (; next_ < early_.size() && !early_[next_].chunk.empty();) {
      const Early part = std::exchange(early_[next_], {});
      append({part.chunk, part.adler, part.filtered});
    }
  }
  void end() { append_chunk(bytes_, "IDAT", {adler_}); }

 private:
  struct Early {
    std::vector<std::uint8_t> chunk;
    std::uint32_t adler = 1;
    size_t filtered = 0;
  };
  void append(const Packed& packed) {
    bytes_.insert(bytes_.end(), packed.chunk.begin(), packed.chunk.end());
    adler_ = joined_adler(adler_, packed.adler, packed.filtered);
    ++next_;
  }
  std::vector<std::uint8_t>& bytes_;
  std::vector<Early> early_;
  size_t next_ = 0;
  std::uint32_t adler_ = 1;
};

}  // namespace

/// One zlib stream. Strips depend on the picture alone: any number of threads gives the same bytes.
void append_strips(std::vector<std::uint8_t>& bytes, const Image& image) {
  const int rows = std::min(image.rows, std::max(kTryEvery, int(kStrip / row_bytes(image))));
  const int strips = (image.rows - 1) / rows + 1, threads = std::min(omp_get_max_threads(), strips);
  // Growing would hold the file twice. Of what is reserved only what is written becomes memory.
  bytes.reserve(bytes.size() + size_t(strips) * packed_bound(row_bytes(image) * size_t(rows)) + 64);
  std::vector<Packer> packers;
  packers.reserve(size_t(threads));
  for (int i = 0; i < threads; ++i) packers.emplace_back(image, rows);

  Stream stream(bytes, strips);
  std::exception_ptr fault;  // may not leave the loop by itself
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
  for (int i = 0; i < strips; ++i) {
    const int first = i * rows, last = i + 1 == strips ? image.rows : first + rows;
    try {
      const Packed packed = packers[size_t(omp_get_thread_num())].pack({first, last, i + 1 == strips});
      std::exception_ptr full;
#pragma omp critical(etchcast_png)
      try {
        stream.add(i, packed);
      } catch (...) {
        full = std::current_exception();
      }
      if (full) std::rethrow_exception(full);
    } catch (...) {
#pragma omp critical(etchcast_png)
      fault = std::current_exception();
    }
  }
  if (fault) std::rethrow_exception(fault);
  stream.end();
}

}  // namespace etchcast::png
