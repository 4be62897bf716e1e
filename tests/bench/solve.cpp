// How long does one answer take, with its detents and sensitivities? Target: at most 20 µs, so that a screen
// may ask anew with every key.

#include "tests/bench/bench.h"
#include "tests/unit/restore_cases.h"

using namespace restand;

int main() {
    double sum = 0.0;  // printed, so that no answer is left out
    const SwapCase one = test::example_swap();
    bool fine =
        bench::report("solve: the example",
                      bench::times(20000, [&](int) { sum += restore(one)->setting.preload.value; }), 0.020);

    test::Random random(7);
    std::vector<SwapCase> cases;
    for (int i = 0; i < 1000; ++i) cases.push_back(test::random_swap(random, 12.0));
    fine &= bench::report(
        "solve: random cases, both maps",
        bench::times(20000,
                     [&](int i) {
                         if (const auto answer = restore(cases[static_cast<std::size_t>(i) % cases.size()]))
                             sum += answer->setting.preload.value;
                     }),
        0.020);
    bench::report("predict: the example",
                  bench::times(20000, [&](int) { sum += predict(one, mm(310), mm(149)).rider_sag->value; }),
                  0);
    std::printf("(checksum %.3f)\n", sum);
    return fine ? 0 : 1;
}
