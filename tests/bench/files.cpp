// Reading pictures back.
#include "files.hpp"

#include <cstdio>
#include <memory>

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#define STB_IMAGE_IMPLEMENTATION
#define STB_IMAGE_STATIC
#define STBI_ONLY_PNG
#include <stb_image.h>
#pragma GCC diagnostic pop

namespace etchcast::bench {

std::vector<float> floats_of(const std::string& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), std::fclose);
  std::vector<float> values;
  if (!file || std::fseek(file.get(), 0, SEEK_END) != 0) return values;
  values.resize(size_t(std::ftell(file.get())) / sizeof(float));
  std::rewind(file.get());
  if (std::fread(values.data(), sizeof(float), values.size(), file.get()) != values.size()) values.clear();
  return values;
}

std::vector<float> grey_of(const std::string& path) {
  int columns = 0, rows = 0, channels = 0;
  const std::unique_ptr<stbi_uc, void (*)(void*)> bytes(stbi_load(path.c_str(), &columns, &rows, &channels, 3),
                                                        stbi_image_free);
  std::vector<float> grey;
  if (bytes)
    for (size_t i = 0; i < size_t(columns) * rows; ++i) grey.push_back(float(bytes.get()[3 * i]) / 255);
  return grey;
}

double pixels_of(const std::string& path) {
  int columns = 0, rows = 0, channels = 0;
  return stbi_info(path.c_str(), &columns, &rows, &channels) ? double(columns) * rows : 0;
}

}  // namespace etchcast::bench
