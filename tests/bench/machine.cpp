// The processor's measured peak, which other sections are held against.
#include "machine.hpp"

#include "bench.hpp"
#include "levels/level.hpp"

namespace etchcast::bench {

namespace {

double rate_of(double (*run)(long, float*)) {
  constexpr long kRounds = 4'000'000;
  float out = 0;
  double operations = 0;
  const Spent spent = median_of(5, [&] { operations = run(kRounds, &out); });
  return out > -1 ? operations / spent.cpu : 0;
}

}  // namespace

const Peak& peak() {
  static const Peak measured{rate_of(fused_operations), rate_of(plain_operations)};
  return measured;
}

void machine(const Options&) {
  heading("The processor");
  paragraph(
      "Float operations a second that a loop in registers reaches on one thread, CPU time. The program never fuses a "
      "multiplication with an addition, so that pictures are alike on all processors: its ceiling is the second row.");
  columns({"loop", "instruction set", "GF/s"});
  const std::string level = "x86-64-v" + std::to_string(running_level());
  row({"multiply-add fused, counted as two", level, figures(peak().fused / 1e9)});
  row({"multiply, then add", level, figures(peak().plain / 1e9)});
}

}  // namespace etchcast::bench
