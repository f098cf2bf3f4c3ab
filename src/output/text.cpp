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

/// A face, and how large it is drawn beside the first one: as high in its small letters.
struct Face {
  stbtt_fontinfo info{};
  float size = 1;
};

/// The first face of a weight, then the one for what it lacks.
const std::array<Face, 2>& faces(Weight weight) {
  constexpr float kWideSize = 0.93f;  // small letters of DejaVu Sans are 0.547 em high, Lato's 0.506
  static const std::array<std::array<Face, 2>, 2> kFaces = [] {
    std::array<std::array<Face, 2>, 2> all{};
    const unsigned char* data[2][2] = {{kTypefaceRegular, kTypefaceWideRegular}, {kTypefaceBold, kTypefaceWideBold}};
    for (size_t i = 0; i < 2; ++i)
      for (size_t k = 0; k < 2; ++k) {
        all[i][k].size = k == 0 ? 1 : kWideSize;
        if (!stbtt_InitFont(&all[i][k].info, data[i][k], stbtt_GetFontOffsetForIndex(data[i][k], 0)))
          throw Error(Fault::use, "the built-in typeface is damaged", "build the program again");
      }
    return all;
  }();
  return kFaces[weight == Weight::bold ? 1 : 0];
}

/// Hebrew, Arabic and their kin run from the right and are joined: letter by letter from the left nobody could read
/// them.
bool runs_from_the_right(int point) {
  return (point >= 0x0590 && point < 0x0900) || (point >= 0xFB1D && point < 0xFE00) ||
         (point >= 0xFE70 && point < 0xFEFF) || (point >= 0x10800 && point < 0x11000) ||
         (point >= 0x1E800 && point < 0x1F000);
}

/// A letter's shape: the face that has it, nullptr if none does.
struct Shape {
  const Face* face;
  int index;
};
Shape shape_of(int point, Weight weight) {
  if (!runs_from_the_right(point))
    for (const Face& face : faces(weight))
      if (const int index = stbtt_FindGlyphIndex(&face.info, point)) return {&face, index};
  return {nullptr, 0};
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
  const Face* face;
  int index;
  float scale;  ///< px per font unit
  double x;     ///< pen position from the line's left end, px
};

struct Line {
  std::vector<Glyph> glyphs;
  double width = 0;
};

Line laid_out(const std::string& text, const TextStyle& style) {
  Line line;
  Shape previous{nullptr, 0};
  for (const int point : code_points(text)) {
    Shape shape = shape_of(point, style.weight);
    if (!shape.face) shape = shape_of('?', style.weight);
    const stbtt_fontinfo& font = shape.face->info;
    const float scale = stbtt_ScaleForMappingEmToPixels(&font, float(style.size_px) * shape.face->size);
    int advance = 0, bearing = 0;
    stbtt_GetGlyphHMetrics(&font, shape.index, &advance, &bearing);
    if (previous.face == shape.face)
      line.width += scale * stbtt_GetGlyphKernAdvance(&font, previous.index, shape.index);
    line.glyphs.push_back({shape.face, shape.index, scale, line.width});
    line.width += scale * advance;
    previous = shape;
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

namespace {

/// Bytes of the character that begins at `at`.
size_t character_at(const std::string& text, size_t at) {
  size_t end = at + 1;
  while (end < text.size() && (std::uint8_t(text[end]) & 0xC0) == 0x80) ++end;
  return end - at;
}

/// As much of a word as fits, at least one character.
std::string fitting_part(const std::string& word, const TextStyle& style, double width) {
  std::string part;
  for (size_t at = 0; at < word.size();) {
    const std::string more = part + word.substr(at, character_at(word, at));
    if (!part.empty() && text_width(more, style) > width) break;
    at += more.size() - part.size(), part = more;
  }
  return part;
}

}  // namespace

std::vector<std::string> lines_within(const std::string& text, const TextStyle& style, double width) {
  std::vector<std::string> lines{""};
  for (size_t at = 0; at < text.size();) {
    const size_t blanks = std::min(text.find_first_not_of(' ', at), text.size()) - at;
    const size_t end = std::min(text.find(' ', at + blanks), text.size());
    std::string word = text.substr(at + blanks, end - at - blanks);
    at = end;
    if (word.empty()) break;
    const std::string longer = lines.back() + std::string(lines.back().empty() ? 0 : blanks, ' ') + word;
    if (text_width(longer, style) <= width) {
      lines.back() = longer;
      continue;
    }
    if (!lines.back().empty()) lines.emplace_back();
    while (text_width(word, style) > width) {
      const std::string part = fitting_part(word, style, width);
      if (part.size() == word.size()) break;
      lines.back() = part, word.erase(0, part.size());
      lines.emplace_back();
    }
    lines.back() = word;
  }
  return lines;
}

std::vector<std::string> letters_without_shape(const std::string& text) {
  std::vector<std::string> lacking;
  for (size_t at = 0; at < text.size();) {
    const std::string letter = text.substr(at, character_at(text, at));
    at += letter.size();
    if (!shape_of(code_points(letter)[0], Weight::regular).face && std::ranges::find(lacking, letter) == lacking.end())
      lacking.push_back(letter);
  }
  return lacking;
}

double draw_text(Image& image, double x, double y, const std::string& text, const TextStyle& style) {
  const Line line = laid_out(text, style);
  const double start = x - line.width * (style.anchor == Anchor::right    ? 1.0
                                         : style.anchor == Anchor::centre ? 0.5
                                                                          : 0);
  for (const Glyph& glyph : line.glyphs) {
    draw_glyph(image, glyph.face->info, glyph.index, glyph.scale, start + glyph.x, y, style.grey);
  }
  return line.width;
}

}  // namespace etchcast
