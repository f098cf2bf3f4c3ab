#pragma once
/// \file typeface.hpp — the typeface built into the program; embed_font.cmake puts the bytes behind these names.

extern "C" {
extern const unsigned char kTypefaceRegular[];
extern const unsigned long kTypefaceRegularSize;
extern const unsigned char kTypefaceBold[];
extern const unsigned long kTypefaceBoldSize;
}
