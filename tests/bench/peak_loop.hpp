// The most multiplications and additions a second: sums in registers, enough of them to hide how long one takes.
// Included by peak_fused.cpp and peak_plain.cpp, which are compiled with and without fusing a * b + c into one
// operation.

namespace {

template <int bytes>
struct Register {
  typedef float Lanes __attribute__((vector_size(bytes)));
};

/// Rounds of 12 registers; two operations a lane and round.
template <int bytes>
inline __attribute__((always_inline)) double turn(long rounds, float* out) {
  typename Register<bytes>::Lanes sum[12], by = {}, plus = {};
  by += 0.999f, plus += 0.001f;
  for (int k = 0; k < 12; ++k) sum[k] = plus * float(k);
  for (long round = 0; round < rounds; ++round) {
#pragma GCC unroll 12
    for (int k = 0; k < 12; ++k) sum[k] = sum[k] * by + plus;
  }
  for (int k = 1; k < 12; ++k) sum[0] += sum[k];
  *out = sum[0][0];
  return 2.0 * 12 * (bytes / 4) * double(rounds);
}

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__linux__)
__attribute__((target("arch=x86-64-v4"))) double operations(long rounds, float* out) { return turn<64>(rounds, out); }
__attribute__((target("arch=x86-64-v3"))) double operations(long rounds, float* out) { return turn<32>(rounds, out); }
__attribute__((target("default"))) double operations(long rounds, float* out) { return turn<16>(rounds, out); }
#else
double operations(long rounds, float* out) { return turn<16>(rounds, out); }
#endif

}  // namespace
