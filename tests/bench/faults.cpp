// Two thousand swaps of a shock a fault, each with one thing wrong: is the true height in the answer's
// interval, what does the verdict say, and do the turns that the correction orders make it worse than leaving
// it? Held to: where the fault moves the height by more than twice the answer's interval, no turns are
// ordered that make it worse.

#include <algorithm>

#include "tests/bench/bench.h"
#include "tests/unit/fault_swaps.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr int runs = 2000;
constexpr std::uint64_t first_seed = 20260;

struct Tally {
    int answered = 0, covered = 0, restored = 0, not_restored = 0, cannot_tell = 0, unjudged = 0;
    int helps = 0, ordered = 0, worse = 0, large = 0, large_ordered = 0, large_worse = 0;
    int seen = 0, seen_ordered = 0, seen_worse = 0;
    double worst = 0;  // by how much farther from before
    std::uint64_t worst_seed = 0;
    std::vector<double> effects, intervals;
};

void count_verdict(Tally& t, const std::optional<Verdict>& verdict) {
    if (!verdict)
        ++t.unjudged;
    else
        ++(*verdict == Verdict::restored       ? t.restored
           : *verdict == Verdict::not_restored ? t.not_restored
                                               : t.cannot_tell);
}

void count(Tally& t, std::uint64_t seed, Fault fault, int repeats, const FaultRun& sound) {
    const FaultRun run = simulate(seed, fault, repeats);
    if (!run.answered) return;
    ++t.answered;
    t.covered += std::fabs(run.miss) <= run.expanded;
    count_verdict(t, run.verdict);
    t.helps += run.turns_help;
    t.ordered += run.ordered;
    t.worse += run.worse();
    const double effect = sound.answered ? std::fabs(run.check_shift - sound.check_shift) : 0;
    t.effects.push_back(effect);
    t.intervals.push_back(run.expanded);
    if (run.worse() && run.corrected - run.left > t.worst) {
        t.worst = run.corrected - run.left;
        t.worst_seed = seed;
    }
    if (run.check_expanded > 0 && effect > 2 * run.check_expanded) {
        ++t.seen;
        t.seen_ordered += run.ordered;
        t.seen_worse += run.worse();
    }
    if (!(effect > 2 * run.expanded)) return;
    ++t.large;
    t.large_ordered += run.ordered;
    t.large_worse += run.worse();
}

double percent(int part, int whole) {
    return whole ? 100.0 * part / whole : 0.0;
}

void print_worst(const Tally& t, Fault fault, int repeats) {
    if (!t.worst_seed) return;
    const FaultRun run = simulate(t.worst_seed, fault, repeats);
    std::printf(
        "    worst, seed %llu: stood %.1f mm off, ordered %+.2f collar %+.2f length turns, then %.1f mm "
        "off\n",
        static_cast<unsigned long long>(t.worst_seed), run.left, run.collar, run.length, run.corrected);
}

bool print(const Tally& t, Fault fault, int repeats) {
    std::printf(
        "%-25s %6.1f %8.1f %6.1f %6.1f %6.1f %7.1f %6.1f %7.1f %5.1f %6.1f  %5d/%4d/%4d  %5d/%4d/%4d\n",
        name_of(fault), percent(t.covered, t.answered), percent(t.restored, t.answered),
        percent(t.not_restored, t.answered), percent(t.cannot_tell, t.answered), percent(t.helps, t.answered),
        percent(t.ordered, t.answered), percent(t.worse, t.ordered), t.worst, bench::median(t.intervals),
        bench::median(t.effects), t.seen, t.seen_ordered, t.seen_worse, t.large, t.large_ordered,
        t.large_worse);
    print_worst(t, fault, repeats);
    return t.large_worse == 0;
}

void print_head() {
    std::printf("%-25s %6s %8s %6s %6s %6s %7s %6s %7s %5s %7s  %15s  %15s\n", "fault", "inside", "restored",
                "not", "unsure", "help", "turns", "worse", "at most", "±", "effect", "seen", "large");
}

}  // namespace

namespace {
// True: no turns are ordered that make a large fault worse.
bool run_all(int repeats) {
    std::printf("\neach height read %d time(s), settled anew\n", repeats);
    print_head();
    bool fine = true;
    std::vector<FaultRun> sound;
    for (std::uint64_t i = 0; i < runs; ++i) sound.push_back(simulate(first_seed + i, Fault::none, repeats));
    for (const Fault fault : all_faults) {
        Tally tally;
        for (std::uint64_t i = 0; i < runs; ++i) count(tally, first_seed + i, fault, repeats, sound[i]);
        fine &= print(tally, fault, repeats);
        std::fflush(stdout);
    }
    return fine;
}
}  // namespace

int main() {
    std::printf(
        "%d swaps a fault, seeds %llu on; shares in %%, lengths in mm, medians of ± and effect.\n"
        "inside: true height in the answer's 95 %% interval (±); help: turns_help(); turns: any ordered;\n"
        "worse: of those, farther from before than left as it is, by at most so much.\n"
        "seen, large: swaps in which the fault moves the height by more than twice the interval of the\n"
        "check, of the answer / of them with turns ordered / of them worse\n",
        runs, static_cast<unsigned long long>(first_seed));
    const bench::Moment start = bench::now();
    const bool once = run_all(1), thrice = run_all(3);
    std::printf("%.1f s\n", bench::ms_since(start) / 1000);
    if (!once || !thrice) std::printf("BEYOND: turns are ordered that make a large fault worse\n");
    return once && thrice ? 0 : 1;
}
