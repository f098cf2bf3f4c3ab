#pragma once
/// \file typeface.hpp — the typefaces built into the program; embed_font.cmake puts the bytes behind these names.

extern "C" {
extern const unsigned char kTypefaceRegular[];
extern const unsigned char kTypefaceBold[];
/// Of more scripts and signs, for what the first has not.
extern const unsigned char kTypefaceWideRegular[];
extern const unsigned char kTypefaceWideBold[];
}
