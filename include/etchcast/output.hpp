#pragma once
/// \file output.hpp — pictures and tables to files: whole or not at all.
/// Reads after: picture.hpp.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "etchcast/picture.hpp"

namespace etchcast {

/// Writes bytes beside the target and renames: the file is either as it was or complete, also after Ctrl-C or a full disk.
/// What cannot be replaced (pipes, devices, a descriptor's name) is written to as it stands.
///   Errors  Error(Fault::use) naming the path and what the system said.
void write_file(const std::string& path, std::span<const std::uint8_t> bytes);

/// The open descriptor that a path such as /dev/stdout, /dev/fd/3 or a link to one stands for.
std::optional<int> descriptor_named(const std::string& path);

/// Whether two paths lead to one file, there already or not; links and hard links count. Devices and pipes are no files.
bool same_file(const std::string& one, const std::string& other);

/// Unlinks what write_file() has begun and not finished. Safe inside a signal handler: call it there, then _exit().
void remove_partial_files();

/// PNG, 8-bit RGB, with pHYs (true scale) and sRGB chunks (ISO/IEC 15948). Packed on all threads; their number does not
/// change the bytes. Beside the file it takes about a megabyte a thread.
///   Errors  Error(Fault::use): no pixels, rows of more than 10 million, rgb of another size, not enough memory.
std::vector<std::uint8_t> png_bytes(const Image& image);

/// NumPy array file, version 1.0, float32 little-endian, C order. `shape` multiplies out to values.size().
std::vector<std::uint8_t> npy_bytes(std::span<const float> values, std::span<const size_t> shape);

/// Text drawn into an image, in the built-in typefaces. A letter that they lack is drawn as '?'.
enum class Weight { regular, bold };
enum class Anchor { left, centre, right };
struct TextStyle {
  double size_px = 24;  ///< height of a capital letter is about 0.72 of it
  Weight weight = Weight::regular;
  Anchor anchor = Anchor::left;
  float grey = 0.1f;    ///< linear light
};
/// Draws one line of UTF-8 with its baseline at (x, y) in pixels from the upper left corner; returns its width in pixels.
double draw_text(Image& image, double x, double y, const std::string& text, const TextStyle& style);
double text_width(const std::string& text, const TextStyle& style);

/// The text in lines no wider than that, broken between words; a word that is wider by itself is broken anywhere.
std::vector<std::string> lines_within(const std::string& text, const TextStyle& style, double width_px);

/// The letters of a text for which '?' is drawn, each once.
std::vector<std::string> letters_without_shape(const std::string& text);

}  // namespace etchcast
