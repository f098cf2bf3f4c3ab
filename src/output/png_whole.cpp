// PNG pixels packed all at once; the only file that knows stb_image_write. It is used where ISA-L is not found.
#include <climits>
#include <cstdlib>
#include <memory>
#include <new>

#include "etchcast/error.hpp"
#include "output/png.hpp"

#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STB_IMAGE_WRITE_STATIC
#define STBI_WRITE_NO_STDIO
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"
#include <stb_image_write.h>
#pragma GCC diagnostic pop

namespace etchcast::png {

void append_whole(std::vector<std::uint8_t>& bytes, const Image& image) {
  constexpr size_t kBefore = 33, kAfter = 12;  // signature and IHDR; IEND
  if ((size_t(image.columns) * 3 + 1) * size_t(image.rows) > INT_MAX)  // it counts in int
    throw Error(Fault::use, "the picture is larger than 2 GB, too large to be packed without ISA-L", "ask for a lower --resolution");
  int size = 0;
  const std::unique_ptr<unsigned char, void (*)(void*)> packed(
      stbi_write_png_to_mem(image.rgb.data(), 0, image.columns, image.rows, 3, &size), std::free);
  if (!packed) throw std::bad_alloc();
  bytes.insert(bytes.end(), packed.get() + kBefore, packed.get() + size_t(size) - kAfter);
}

}  // namespace etchcast::png
