// How long does one answer take, with its detents and sensitivities? Target: at most 20 µs, so that a screen
// may ask anew with every key.

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <vector>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

template <class Ask>
void measure(const char* what, int runs, Ask&& ask) {
    using Clock = std::chrono::steady_clock;
    std::vector<double> us;
    us.reserve(static_cast<std::size_t>(runs));
    for (int i = 0; i < runs; ++i) {
        const auto start = Clock::now();
        ask(i);
        us.push_back(std::chrono::duration<double, std::micro>(Clock::now() - start).count());
    }
    std::sort(us.begin(), us.end());
    std::printf("%-34s median %6.2f us   95 %% %6.2f us   (%d runs)\n", what, us[us.size() / 2],
                us[us.size() * 95 / 100], runs);
}

}  // namespace

int main() {
    double sum = 0.0;  // printed, so that no answer is left out
    const SwapCase one = test::example_swap();
    measure("solve: the example", 20000, [&](int) { sum += restore(one)->setting.preload.value; });

    test::Random random(7);
    std::vector<SwapCase> cases;
    for (int i = 0; i < 1000; ++i) cases.push_back(test::random_swap(random, 12.0));
    measure("solve: random cases, both maps", 20000, [&](int i) {
        if (const auto answer = restore(cases[static_cast<std::size_t>(i) % cases.size()]))
            sum += answer->setting.preload.value;
    });
    measure("predict: the example", 20000,
            [&](int) { sum += predict(one, mm(310), mm(149)).rider_sag->value; });
    std::printf("target: solve <= 20 us (checksum %.3f)\n", sum);
    return 0;
}
