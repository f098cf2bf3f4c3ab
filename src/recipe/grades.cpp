// The steels the program knows, by standard designations and trade numbers, each with the source of its figures.

#include "recipe/grades.hpp"

#include <algorithm>
#include <cctype>

namespace etchcast {
namespace {

// Columns of Steel after the name: carbon %, density g/cm3, tone, attack; a solidus of 0 takes the iron-carbon line.
struct Row {
  std::string_view name;
  double carbon, density, tone, attack, solidus;
  std::string_view also, standard, source;
};

// Where the source text says "tone and attack", they follow smiths' accounts of each steel's look after ferric
// chloride.
constexpr Row kRows[] = {
    {"1075", 0.75, 7.85, 0.14, 1.0, 0, "", "SAE J403",
     "C 0.70-0.80, Mn 0.40-0.70: SAE J403; density, tone and attack: value from memory"},
    {"1080", 0.80, 7.85, 0.07, 1.0, 0, "G10800, C80", "SAE J403 / ASTM A29",
     "C 0.75-0.88, Mn 0.60-0.90: ASTM A29; density, tone and attack: value from memory"},
    {"1084", 0.84, 7.85, 0.06, 1.0, 0, "G10840", "SAE J403 / ASTM A29",
     "C 0.80-0.93, Mn 0.60-0.90: ASTM A29; density, tone and attack: value from memory"},
    {"1095", 0.95, 7.85, 0.12, 1.0, 0, "G10950", "SAE J403 / ASTM A29",
     "C 0.90-1.03, Mn 0.30-0.50: ASTM A29; density, tone and attack: value from memory"},
    {"5160", 0.60, 7.85, 0.25, 0.80, 0, "G51600", "SAE J404 / ASTM A29",
     "C 0.56-0.64, Mn 0.75-1.00, Cr 0.70-0.90 and all else: value from memory"},
    {"52100", 1.00, 7.81, 0.45, 0.62, 0, "100Cr6, 1.3505, G52986", "ASTM A295",
     "C 0.93-1.05, Mn 0.25-0.45, Cr 1.35-1.60: ASTM A295; density 7.81: suppliers' sheets; tone and attack: value from "
     "memory"},
    {"8670", 0.70, 7.85, 0.40, 0.60, 0, "", "SAE", "C 0.70, Mn 0.5, Cr 0.4, Ni 0.9 and all else: value from memory"},
    {"W2", 1.00, 7.85, 0.20, 0.95, 0, "T72302", "ASTM A686",
     "C 0.85-1.50, V 0.15-0.35 and all else: value from memory"},
    {"O1", 0.95, 7.85, 0.04, 1.0, 0, "1.2510, 100MnCrW4, T31501", "ASTM A681",
     "C 0.85-1.00, Mn 1.00-1.40, Cr 0.40-0.60, W 0.40-0.60: ASTM A681; density, tone and attack: value from memory"},
    {"O2", 0.90, 7.85, 0.03, 1.0, 0, "1.2842, 90MnCrV8, T31502", "ASTM A681",
     "C 0.85-0.95, Mn 1.40-1.80: ASTM A681; density, tone and attack: value from memory"},
    {"L6", 0.70, 7.86, 0.80, 0.18, 0, "T61206", "ASTM A681",
     "C 0.65-0.75, Mn 0.25-0.80, Cr 0.60-1.20, Ni 1.25-2.00: ASTM A681; density 7.86: suppliers' sheets; tone and "
     "attack: value from memory"},
    {"80CrV2", 0.80, 7.85, 0.32, 0.82, 0, "1.2235", "EN 10132-4",
     "C 0.75-0.85, Mn 0.30-0.50, Cr 0.40-0.60, V 0.15-0.25 and all else: value from memory"},
    {"75Ni8", 0.75, 7.85, 0.92, 0.05, 0, "15N20, 1.5634", "EN 10132-4",
     "C 0.72-0.78, Mn 0.30-0.50, Ni 1.80-2.10 and all else: value from memory"},
    {"C75S", 0.75, 7.85, 0.14, 1.0, 0, "1.1248", "EN 10132-4",
     "C 0.70-0.80, Mn 0.60-0.90 and all else: value from memory"},
    {"C100S", 1.00, 7.85, 0.12, 1.0, 0, "1.1274", "EN 10132-4",
     "C 0.95-1.05, Mn 0.30-0.60 and all else: value from memory"},
    {"1018", 0.18, 7.85, 0.35, 0.70, 0, "G10180", "SAE J403 / ASTM A29",
     "C 0.15-0.20, Mn 0.60-0.90: ASTM A29; density, tone and attack: value from memory"},
    {"wrought", 0.04, 7.70, 0.38, 0.70, 0, "wrought iron", "none in force",
     "C 0.02-0.06, Mn below 0.1, slag 1-3 % and all else: value from memory"},
    {"N02200", 0.02, 8.89, 1.0, 0.0, 1435, "Nickel 200, 2.4066", "ASTM B160 / B162",
     "Ni 99.0 and more: ASTM B160; carbon, density 8.89, solidus 1435 C, tone and attack: value from memory"},
    {"410", 0.12, 7.74, 0.97, 0.0, 1480, "S41000, 1.4006", "ASTM A276",
     "C below 0.15, Cr 11.5-13.5, solidus 1480 C and all else: value from memory"},
    {"420", 0.30, 7.74, 0.96, 0.0, 1450, "S42000, 1.4021", "ASTM A276",
     "C above 0.15, Cr 12-14, solidus 1450 C and all else: value from memory"},
};

std::vector<Grade> make_grades() {
  std::vector<Grade> list;
  for (const Row& row : kRows) {
    Grade grade;
    grade.steel.name = grade.steel.grade = row.name;
    grade.steel.carbon = row.carbon;
    grade.steel.density = row.density;
    grade.steel.tone = row.tone;
    grade.steel.attack = row.attack;
    grade.steel.solidus_c = row.solidus > 0 ? row.solidus : iron_carbon_solidus(row.carbon);
    grade.also = row.also;
    grade.standard = row.standard;
    grade.source = row.source;
    list.push_back(std::move(grade));
  }
  return list;
}

bool same_word(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](unsigned char left, unsigned char right) { return std::tolower(left) == std::tolower(right); });
}

// The designation first, then the names under `also`.
std::vector<std::string_view> words_of(const Grade& grade) {
  std::vector<std::string_view> words{grade.steel.name};
  std::string_view rest = grade.also;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(", "), rest.size());
    words.push_back(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 2, rest.size()));
  }
  return words;
}

}  // namespace

double iron_carbon_solidus(double carbon) {
  constexpr double kSlope = (1355.0 - 1375.0) / (0.95 - 0.84), kPeritectic = 1495, kEutectic = 1147;
  return std::clamp(1375 + kSlope * (carbon - 0.84), kEutectic, kPeritectic);
}

Etched estimated_etch(double manganese, double chromium, double nickel) {
  const double black = std::max(0.03, 0.17 - 0.14 * manganese);
  const double bright = std::min(1.0, 0.45 * nickel + 0.22 * chromium);
  return {black + bright * (0.97 - black), 1 - bright};
}

const std::vector<Grade>& grades() {
  static const std::vector<Grade> list = make_grades();
  return list;
}

const Grade* find_grade(std::string_view name) {
  for (const Grade& grade : grades())
    for (const std::string_view word : words_of(grade))
      if (same_word(word, name)) return &grade;
  return nullptr;
}

std::vector<std::string_view> grade_words() {
  std::vector<std::string_view> words;
  for (const Grade& grade : grades())
    for (const std::string_view word : words_of(grade)) words.push_back(word);
  return words;
}

}  // namespace etchcast
