// Strokes: each pixel's share of ink by its distance from the middle line.
#include "plate/stroke.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {
namespace {

float linear(std::uint8_t byte) {
  const float v = float(byte) / 255;
  return v <= 0.04045f ? v / 12.92f : std::pow((v + 0.055f) / 1.055f, 2.4f);
}

}  // namespace

void draw_stroke(Image& image, const Stroke& s) {
  const double dx = s.x1 - s.x0, dy = s.y1 - s.y0, length = std::hypot(dx, dy), reach = s.width / 2 + 1;
  if (length <= 0) return;
  const int left = std::max(0, int(std::min(s.x0, s.x1) - reach)),
            right = std::min(image.columns - 1, int(std::max(s.x0, s.x1) + reach));
  const int top = std::max(0, int(std::min(s.y0, s.y1) - reach)),
            bottom = std::min(image.rows - 1, int(std::max(s.y0, s.y1) + reach));
  for (int r = top; r <= bottom; ++r)
    for (int c = left; c <= right; ++c) {
      const double px = c + 0.5 - s.x0, py = r + 0.5 - s.y0, along = (px * dx + py * dy) / length;
      const double aside = along < 0        ? std::hypot(px, py)
                           : along > length ? std::hypot(px - dx, py - dy)
                                            : std::abs(px * dy - py * dx) / length;
      if (s.dash > 0 && std::fmod(std::max(0.0, along), 2 * s.dash) > s.dash) continue;
      const float ink = float(std::clamp(s.width / 2 + 0.5 - aside, 0.0, 1.0));
      if (ink <= 0) continue;
      std::uint8_t* rgb = &image.rgb[(size_t(r) * image.columns + c) * 3];
      for (int k = 0; k < 3; ++k) rgb[k] = srgb_byte(linear(rgb[k]) * (1 - ink) + s.grey * ink);
    }
}

}  // namespace etchcast
