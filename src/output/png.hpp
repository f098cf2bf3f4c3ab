#pragma once
/// \file png.hpp — the parts of a PNG file, and the ways to pack its pixels.

#include <initializer_list>
#include <string_view>
#include <vector>

#include "etchcast/picture.hpp"

namespace etchcast::png {

/// A short chunk: words, then bytes.
void append_chunk(std::vector<std::uint8_t>& bytes, std::string_view name, std::initializer_list<std::uint32_t> words,
                  std::initializer_list<std::uint8_t> rest = {});

/// The image data as chunks IDAT. Errors: std::bad_alloc, Error(Fault::use).
/// By ISA-L, strip by strip on all threads; a megabyte a thread beside the file.
void append_strips(std::vector<std::uint8_t>& bytes, const Image& image);
/// By stb_image_write, the whole picture at once, on one thread; some eight times slower, and up to three times the
/// picture in memory beside it. Needs nothing but a C compiler: for processors that ISA-L is not made for.
void append_whole(std::vector<std::uint8_t>& bytes, const Image& image);

using AppendPixels = void(std::vector<std::uint8_t>&, const Image&);

/// The whole file, its pixels packed that way. Errors as png_bytes().
std::vector<std::uint8_t> file_bytes(const Image& image, AppendPixels* append_pixels);

}  // namespace etchcast::png
