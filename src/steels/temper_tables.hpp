#pragma once
/// \file temper_tables.hpp — hardness after tempering, table by table as published.

#include "steels/sheets.hpp"

namespace etchcast {

constexpr TemperPoint at_c(double celsius, double hrc) { return {celsius, {hrc, hrc}}; }
constexpr TemperPoint at_c(double celsius, double least, double most) { return {celsius, {least, most}}; }
constexpr TemperPoint at_f(double fahrenheit, double hrc) { return at_c(from_fahrenheit(fahrenheit), hrc); }
constexpr TemperPoint at_f(double fahrenheit, double least, double most) {
  return at_c(from_fahrenheit(fahrenheit), least, most);
}

inline constexpr TemperPoint k1095[] = {at_c(150, 65),     at_c(180, 63, 64), at_c(200, 60, 61), at_c(230, 57, 58),
                                        at_c(260, 55, 56), at_c(290, 53, 54), at_c(320, 52, 53), at_c(340, 50)};
// The supplier's figures from 230 C up lie 2 to 3 HRC below handbooks' charts for steel of 0.95 % C.
inline constexpr TemperPoint k1095Chart[] = {at_c(205, 61, 62), at_c(230, 60, 61), at_c(260, 58, 59),
                                             at_c(315, 55, 56)};
inline constexpr TemperTable k1095Tables[] = {
    {"a kiln supplier's sheet", "2 x 40 min", {66, 66}, k1095},
    {"handbooks' charts for 0.95 % C, value from memory", "1 h", {65, 66}, k1095Chart}};

inline constexpr TemperPoint kO1Oil[] = {at_c(150, 64), at_c(175, 63), at_c(205, 62), at_c(230, 61), at_c(260, 59),
                                         at_c(315, 56), at_c(370, 52), at_c(425, 49), at_c(480, 44), at_c(540, 40)};
inline constexpr TemperPoint kO1HalfInch[] = {at_f(300, 63),  at_f(350, 62.5), at_f(400, 62), at_f(500, 60),
                                              at_f(600, 57),  at_f(700, 53),   at_f(800, 50), at_f(900, 47),
                                              at_f(1000, 44), at_f(1100, 39),  at_f(1200, 31)};
inline constexpr TemperPoint kO1Ranges[] = {at_f(400, 60, 63), at_f(500, 58, 60), at_f(600, 55, 57), at_f(700, 52, 54),
                                            at_f(800, 48, 50)};
inline constexpr TemperTable kO1Tables[] = {
    {"a tool steel supplier's sheet, oil from 800 C", "2 h", {65, 65}, kO1Oil},
    {"a second supplier's sheet, half-inch bars from 802 C", "not told", {65, 65}, kO1HalfInch},
    {"a metal artists' reference", "not told", {65, 65}, kO1Ranges}};

inline constexpr TemperPoint kL6First[] = {at_f(300, 62), at_f(400, 61), at_f(500, 58), at_f(600, 56),
                                           at_f(700, 53), at_f(800, 50), at_f(900, 48), at_f(1000, 46)};
inline constexpr TemperPoint kL6Second[] = {at_c(150, 64), at_c(205, 61), at_c(260, 59), at_c(315, 57), at_c(370, 54)};
inline constexpr TemperPoint kL6Mill[] = {at_c(205, 60, 62), at_c(260, 58, 60), at_c(315, 56, 58), at_c(370, 53, 55)};
inline constexpr TemperTable kL6Tables[] = {{"a supplier's sheet", "not told", {65, 65}, kL6First},
                                            {"a tool steel supplier's sheet", "not told", {64, 64}, kL6Second},
                                            {"a mill's sheet as posted by smiths", "not told", {63, 65}, kL6Mill}};

}  // namespace etchcast
