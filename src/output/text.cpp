// src/output/text.cpp — words in pictures: kerned, placed to fractions of a pixel, blended in linear light.
#include <algorithm>
#include <array>
#include <cmath>

#include "etchcast/output.hpp"
#include "output/typeface.hpp"

#define STB_TRUETYPE_IMPLEMENTATION
#define STBTT_STATIC
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb_truetype.h>
#pragma GCC diagnostic pop

namespace etchcast {
namespace {

const stbtt_fontinfo& face(Weight weight) {
  static const std::array<stbtt_fontinfo, 2> kFaces = [] {
    std::array<stbtt_fontinfo, 2> faces{};
    const unsigned char* data[] = {kTypefaceRegular, kTypefaceBold};
    for (size_t i = 0; i < 2; ++i) {
      if (!stbtt_InitFont(&faces[i], data[i], stbtt_GetFontOffsetForIndex(data[i], 0))) {
        throw Error(Fault::use, "the built-in typeface is damaged", "build the program again");
      }
    }
    return faces;
  }();
  return kFaces[weight == Weight::bold ? 1 : 0];
}

/// UTF-8 to code points; a byte that belongs to nothing becomes U+FFFD.
std::vector<int> code_points(const std::string& text) {
  std::vector<int> points;
  for (size_t i = 0; i < text.size();) {
    const auto lead = std::uint8_t(text[i++]);
    const int more = lead < 0x80 ? 0 : lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : lead >= 0xC0 ? 1 : -1;
    int point = more < 0 ? 0xFFFD : more == 0 ? lead : lead & (0x3F >> more);
    for (int k = 0; k < more; ++k) {
      if (i >= text.size() || (std::uint8_t(text[i]) & 0xC0) != 0x80) {
        point = 0xFFFD;
        break;
      }
      point = (point << 6) | (std::uint8_t(text[i++]) & 0x3F);
    }
    points.push_back(point);
  }
  return points;
}

struct Glyph {
  int index;
  double x;  ///< pen position from the line's left end, px
};

struct Line {
  std::vector<Glyph> glyphs;
  float scale;  ///< px per font unit
  double width;
};

Line laid_out(const std::string& text, const TextStyle& style) {
  const stbtt_fontinfo& font = face(style.weight);
  Line line{{}, stbtt_ScaleForMappingEmToPixels(&font, float(style.size_px)), 0};
  int previous = 0;
  for (const int point : code_points(text)) {
    const int index = stbtt_FindGlyphIndex(&font, point);
    int advance = 0, bearing = 0;
    stbtt_GetGlyphHMetrics(&font, index, &advance, &bearing);
    if (previous) line.width += line.scale * stbtt_GetGlyphKernAdvance(&font, previous, index);
    line.glyphs.push_back({index, line.width});
    line.width += line.scale * advance;
    previous = index;
  }
  return line;
}

const std::array<float, 256>& linear_of_byte() {
  static const std::array<float, 256> kTable = [] {
    std::array<float, 256> table{};
    for (int i = 0; i < 256; ++i) {
      const double signal = i / 255.0;  // IEC 61966-2-1
      table[i] = float(signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4));
    }
    return table;
  }();
  return kTable;
}

/// A glyph's ink, 0 .. 255, whose upper left corner lies at pixel (left, top).
struct Stamp {
  std::vector<unsigned char> ink;
  int left, top, columns, rows;
};

void blend(Image& image, const Stamp& stamp, float grey) {
  for (int r = std::max(0, -stamp.top); r < std::min(stamp.rows, image.rows - stamp.top); ++r) {
    for (int c = std::max(0, -stamp.left); c < std::min(stamp.columns, image.columns - stamp.left); ++c) {
      const float share = float(stamp.ink[size_t(r) * stamp.columns + c]) / 255.0f;
      std::uint8_t* pixel = &image.rgb[(size_t(r + stamp.top) * image.columns + (c + stamp.left)) * 3];
      for (int ch = 0; ch < 3; ++ch) {
        const float under = linear_of_byte()[pixel[ch]];
        pixel[ch] = srgb_byte(under + share * (grey - under));
      }
    }
  }
}

void draw_glyph(Image& image, const stbtt_fontinfo& font, int index, float scale, double x, double y, float grey) {
  const double column = std::floor(x), row = std::floor(y);
  if (std::abs(x) > 1e6 || std::abs(y) > 1e6) return;
  const auto shift_x = float(x - column), shift_y = float(y - row);
  int left, top, right, bottom;
  stbtt_GetGlyphBitmapBoxSubpixel(&font, index, scale, scale, shift_x, shift_y, &left, &top, &right, &bottom);
  Stamp stamp{{}, left + int(column), top + int(row), right - left, bottom - top};
  if (stamp.columns <= 0 || stamp.rows <= 0) return;
  stamp.ink.resize(size_t(stamp.columns) * stamp.rows);
  stbtt_MakeGlyphBitmapSubpixel(&font, stamp.ink.data(), stamp.columns, stamp.rows, stamp.columns, scale, scale,
                                shift_x, shift_y, index);
  blend(image, stamp, grey);
}

}  // namespace

double text_width(const std::string& text, const TextStyle& style) { return laid_out(text, style).width; }

double draw_text(Image& image, double x, double y, const std::string& text, const TextStyle& style) {
  const Line line = laid_out(text, style);
  const double start = x - line.width * (style.anchor == Anchor::right    ? 1.0
                                         : style.anchor == Anchor::centre ? 0.5
                                                                          : 0);
  for (const Glyph& glyph : line.glyphs) {
    draw_glyph(image, face(style.weight), glyph.index, line.scale, start + glyph.x, y, style.grey);
  }
  return line.width;
}

}  // namespace etchcast
