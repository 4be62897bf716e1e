// Monte Carlo over a swap on a linkage: 20 inputs, 2 outputs, one core. Beside the same with NumPy, when it is
// installed (peers/monte_carlo.py); the ratio is of processor time in one run of this program.

#include <cmath>
#include <ctime>
#include <limits>

#include "core/restore/swap_draws.h"
#include "tests/bench/bench.h"
#include "tests/unit/swap_draw_inputs.h"

using namespace restand;

namespace {

double processor_ms() {
    return 1e3 * double(std::clock()) / CLOCKS_PER_SEC;
}

std::string words_of(const Linkage& linkage, const LinkageMap::Found& top, const std::vector<Input>& inputs) {
    std::string words;
    const auto number = [&](double v) {
        char text[32];
        std::snprintf(text, sizeof text, " %.17g", v);
        words += text;
    };
    const auto pin = [&](const Pin& joint) {
        words += joint.on == Carrier::frame ? " frame" : " arm";
        number(in_mm(joint.at.x));
        number(in_mm(joint.at.z));
    };
    pin(linkage.unit_end);
    pin(linkage.rocker->pivot);
    pin(linkage.rocker->rod_end);
    for (const double v : {linkage.rocker->spread.value, double(linkage.rocker->side), top.sine}) number(v);
    for (const Input& in : inputs) number(in.value);
    for (const Input& in : inputs) number(in.u);
    return words;
}

struct Peer {
    double seconds, mean[2], u[2];
};
// nullopt: NumPy is not installed.
std::optional<Peer> peer(std::size_t draws, const std::string& words) {
    for (const char* python : {"python3", "/usr/bin/python3"}) {
        const std::string command = std::string("OMP_NUM_THREADS=1 ") + python +
                                    " " RESTAND_SOURCE_DIR "/tests/bench/peers/monte_carlo.py " +
                                    std::to_string(draws) + words + " 2>/dev/null";
        std::FILE* out = popen(command.c_str(), "r");
        if (!out) continue;
        Peer p{};
        const int read =
            std::fscanf(out, "%lf %lf %lf %lf %lf", &p.seconds, &p.mean[0], &p.u[0], &p.mean[1], &p.u[1]);
        if (pclose(out) == 0 && read == 5) return p;
    }
    return std::nullopt;
}

}  // namespace

int main() {
    test::RandomBikes random(31);
    WholeBike bike = random.bike();
    while (!bike.linkage.rocker) bike = random.bike();
    const DrawInputs nominal = test::swap_draw_inputs(bike, random);
    const auto inputs = test::with_spread(nominal, 0.1);
    const BlockModel model = bench::must(swap_draws(bike.linkage, nominal));
    double sum = 0.0;
    const auto drawn = [&](std::size_t draws) {
        const auto out = bench::must(sample(model, draw_output_count, inputs, draws, 1));
        sum += out[0].u + out[1].high;
        return out;
    };
    bool fine = bench::report("20 000 swaps drawn", bench::times(50, [&](int) { drawn(20'000); }), 16.0);

    // A peer's run between two of ours, so that both see the same machine.
    const auto top = bench::must(bench::must(LinkageMap::of(bike.linkage)).found_at(mm(nominal[0])));
    const std::string words = words_of(bike.linkage, top, inputs);
    constexpr std::size_t million = 1'000'000;
    std::vector<double> ms, ratios;
    std::vector<Sampled> ours;
    std::optional<Peer> theirs;
    for (int i = 0; i < 5; ++i) {
        const double start = processor_ms();
        ours = drawn(million);
        ms.push_back(processor_ms() - start);
        theirs = peer(million, words);
        if (theirs) ratios.push_back(ms.back() / (1e3 * theirs->seconds));
    }
    fine &= bench::report("a million swaps drawn", ms, 800.0);
    if (theirs) {
        const double ratio = bench::median(ratios);
        std::printf("%-44s ratio to NumPy %.3f (last %.0f ms)   limit 0.4%s\n", "", ratio,
                    1e3 * theirs->seconds, ratio <= 0.4 ? "" : "   BEYOND");
        fine &= ratio <= 0.4;
        for (std::size_t k = 0; k < 2; ++k)  // the same swaps
            check(std::fabs(ours[k].u / theirs->u[k] - 1.0) < 0.01 &&
                      std::fabs(ours[k].mean - theirs->mean[k]) < 0.01 * ours[k].u,
                  "the peer computes something else");
    } else {
        std::printf("%-44s NumPy is not installed: no ratio\n", "");
    }
    std::printf("(checksum %.6f)\n", sum);
    return fine ? 0 : 1;
}
