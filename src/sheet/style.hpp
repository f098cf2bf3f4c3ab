#pragma once
/// \file style.hpp — how the sheet looks: black on white, one column, on paper and on a telephone.

#include <string_view>

namespace etchcast {

inline constexpr std::string_view kStyle = R"css(
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { margin: 0 auto; padding: 5mm 4mm 12mm; max-width: 196mm; background: #fff; color: #111;
  font: 10.5pt/1.42 system-ui, sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: break-word; }
h1 { font-size: 21pt; line-height: 1.15; letter-spacing: -0.01em; margin: 0 0 2mm; font-weight: 650; }
h2 { font-size: 13.5pt; line-height: 1.2; margin: 8mm 0 2mm; padding-top: 2mm; border-top: 0.5mm solid #111; font-weight: 650; break-after: avoid; }
h3 { font-size: 11.5pt; line-height: 1.3; margin: 0 0 1mm; font-weight: 650; break-after: avoid; }
h3 .id { font-weight: 400; color: #555; }
p { margin: 0 0 1.6mm; }
ul, ol { margin: 0 0 1.6mm; padding-left: 5mm; }
.ticks { list-style: none; padding-left: 0; }
.ticks li { position: relative; padding-left: 8mm; margin-bottom: 2mm; break-inside: avoid; }
.ticks .box { position: absolute; left: 0; top: 0.4mm; }
.set { font-size: 0.95em; }
.box { display: inline-block; width: 4.6mm; height: 4.6mm; border: 0.35mm solid #111; border-radius: 0.4mm; vertical-align: -0.7mm; margin-right: 1.5mm; }
.lead { color: #333; }
.first { border: 0.35mm solid #111; padding: 2.5mm 3mm; margin: 3mm 0; }
.first p:last-child { margin-bottom: 0; }
.anvil table { width: 100%; border-collapse: collapse; margin: 1mm 0 2mm; line-height: 1.22; }
.anvil th { text-align: left; font-weight: 400; color: #444; font-size: 0.8em; padding: 0 2mm 0.5mm 0; }
.anvil td { vertical-align: top; border-top: 0.2mm solid #999; padding: 0.9mm 2.5mm 0.9mm 0; }
.anvil td:nth-child(n+3) { white-space: nowrap; }
.anvil tr { break-inside: avoid; }
.anvil small { font-size: 0.78em; color: #333; }
.anvil .billet td { font-weight: 650; border-top-width: 0.4mm; }
.cuts { list-style: none; padding: 0; margin: 0 0 1mm; line-height: 1.35; }
.large { font-size: 13pt; }
.middle { font-size: 11pt; }
.small { font-size: 9.5pt; }
.small td { padding-top: 0.5mm; padding-bottom: 0.4mm; }
.anvil .care { font-size: 8.5pt; line-height: 1.3; }
.blanks { display: flex; flex-wrap: wrap; gap: 2mm 6mm; margin: 3mm 0; color: #333; }
.blanks span { flex: 1 1 40mm; border-bottom: 0.2mm solid #777; padding-bottom: 0.5mm; }
figure { margin: 3mm 0; }
figcaption { font-size: 8.5pt; line-height: 1.35; color: #444; margin-top: 1mm; }
img { display: block; max-width: 100%; height: auto; }
.ruler { height: 2.2mm; margin-top: 2mm; border: solid #111; border-width: 0 0.3mm 0.3mm; }
.measure { font-size: 8.5pt; color: #444; }
.step { display: flex; gap: 3mm 6mm; align-items: flex-start; border-top: 0.2mm solid #aaa; padding: 3mm 0 2mm; break-inside: avoid; page-break-inside: avoid; }
h2 + .step { border-top: 0; padding-top: 0; }
.step .text { flex: 1 1 90mm; min-width: 0; }
.crop { flex: 0 0 auto; margin: 0; max-width: 100%; }
.part { break-inside: avoid; page-break-inside: avoid; }
.sizes { border-collapse: collapse; margin: 1mm 0 2mm; line-height: 1.3; }
.sizes th { font-weight: 400; text-align: left; padding: 0.3mm 3mm 0.3mm 0; }
.sizes td { text-align: right; padding: 0.3mm 0 0.3mm 3.5mm; }
.sizes tr:first-child td { font-size: 8.5pt; color: #444; }
.made { display: inline-block; width: 15mm; border-bottom: 0.2mm solid #777; }
.facts { display: flex; flex-wrap: wrap; align-items: flex-start; gap: 0 5mm; }
.figures { flex: 1 1 48mm; margin-top: 1mm; }
.note, .care { font-size: 0.93em; color: #333; }
.warning { border-left: 1mm solid #111; padding-left: 2.5mm; }
.care { border-left: 0.3mm solid #777; padding-left: 2.5mm; }
footer { margin-top: 8mm; padding-top: 2mm; border-top: 0.2mm solid #aaa; font-size: 8.5pt; color: #444; }
@media screen and (max-width: 640px) {
  body { font-size: 16px; }
  .step { flex-direction: column; }
  .step .text { flex-basis: auto; width: 100%; }
  .sizes { width: 100%; }
  .sizes td { padding-left: 2mm; }
  .made { width: 13mm; }
  h1 { font-size: 26px; }
  .anvil { font-size: 16px; }
  .anvil td:nth-child(n+3) { white-space: normal; }
  .note, .care, figcaption, .measure, footer, .sizes tr:first-child td { font-size: 14px; }
}
@page { margin: 12mm; }
@page wide { size: landscape; margin: 12mm; }
@media print {
  body { padding: 0 0.4mm; max-width: none; font-size: 9.5pt; }
  h1 { font-size: 16pt; margin-bottom: 1mm; }
  .anvil { break-after: page; page-break-after: always; }
  .blade { break-inside: avoid; page-break-inside: avoid; }
  .wide { page: wide; }
}
)css";

}  // namespace etchcast
