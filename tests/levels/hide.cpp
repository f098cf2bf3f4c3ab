// Hides the processor's wider instruction sets from a program it is linked into, so that the plain clones of the hot
// loops run (see src/base/clones.hpp). The choice of clones asks libgcc what the processor can do, before anything else
// runs; linked with --wrap=__cpu_indicator_init it asks here, and is told of nothing above ETCHCAST_LEVEL
// (x86-64-v...).

extern "C" {
int __real___cpu_indicator_init();
extern unsigned __cpu_features2[]
    __attribute__((visibility("hidden")));  // libgcc's bits, one an instruction set or level
}

namespace {

/// Clears the one bit that makes `supported` true. Which it is differs between compilers, so it is tried out.
template <class Supported>
void hide(Supported supported) {
  for (int bit = 0; bit < 128 && supported(); ++bit) {
    unsigned& word = __cpu_features2[bit / 32];
    const unsigned before = word;
    word &= ~(1u << bit % 32);
    asm volatile("" ::: "memory");  // or the question below would be answered from a register
    if (supported()) word = before;
    asm volatile("" ::: "memory");
  }
}

}  // namespace

extern "C" int __wrap___cpu_indicator_init() {
  const int answer = __real___cpu_indicator_init();
  hide([] { return __builtin_cpu_supports("x86-64-v4") != 0; });
  if (ETCHCAST_LEVEL < 3) hide([] { return __builtin_cpu_supports("x86-64-v3") != 0; });
  return answer;
}
