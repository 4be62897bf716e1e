// What does a command cost as a whole process, from its start to its end? Most of it is loading libraries: the
// program itself links few, and a command loads its module (platform/modules).

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>

#include "tests/bench/bench.h"

extern char** environ;

namespace {

constexpr int runs = 200;

struct Cost {
    std::vector<double> wall, processor;  // milliseconds
};

double ms_of(const timeval& t) {
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-3 * static_cast<double>(t.tv_usec);
}

Cost cost_of(std::vector<std::string> words, const std::string& out) {
    std::vector<char*> args;
    for (std::string& word : words) args.push_back(word.data());
    args.push_back(nullptr);
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, 1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    Cost cost;
    for (int i = 0; i < runs; ++i) {
        const bench::Moment start = bench::now();
        pid_t child = 0;
        restand::check(posix_spawn(&child, args[0], &files, nullptr, args.data(), environ) == 0, "it starts");
        int status = 0;
        rusage used{};
        restand::check(wait4(child, &status, 0, &used) == child && status == 0, "it ends well");
        cost.wall.push_back(bench::ms_since(start));
        cost.processor.push_back(ms_of(used.ru_utime) + ms_of(used.ru_stime));
    }
    posix_spawn_file_actions_destroy(&files);
    return cost;
}

// First, median and worst apart; the limit is of the median of the processor's time.
bool report(const char* what, const Cost& cost, double limit_ms) {
    const auto [least, most] = std::minmax_element(cost.processor.begin(), cost.processor.end());
    const double middle = bench::median(cost.processor);
    std::printf(
        "%-28s processor: first %6.2f   least %6.2f   median %6.2f   worst %6.2f ms   wall: median %6.2f ms",
        what, cost.processor.front(), *least, middle, *most, bench::median(cost.wall));
    if (limit_ms > 0) std::printf("   limit %.2f ms%s", limit_ms, middle <= limit_ms ? "" : "   BEYOND");
    std::printf("\n");
    return limit_ms <= 0 || middle <= limit_ms;
}

}  // namespace

int main() {
    const bench::Folder folder;
    const std::string source = RESTAND_SOURCE_DIR, out = folder / "out";
    // A process that does nothing, on this machine and at this hour.
    const Cost nothing = cost_of({"/bin/true"}, out);
    report("a process that does nothing", nothing, 0);
    const Cost solve = cost_of({RESTAND_PROGRAM, "solve", source + "/demo/swap.json"}, out);
    // Measured: four times such a process; the limit is twice that. With every library linked it was 19 times.
    return report("restand solve", solve, 8 * bench::median(nothing.processor)) ? 0 : 1;
}
