#pragma once
// What the benchmark programs share: they print medians beside their limits and fail beyond them. Machines
// are noisy, so compare ratios and medians, and run on a quiet one.

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "core/quantity/result.h"

namespace bench {

using Moment = std::chrono::steady_clock::time_point;
inline Moment now() { return std::chrono::steady_clock::now(); }
inline double ms_since(Moment start) {
    return std::chrono::duration<double, std::milli>(now() - start).count();
}

inline double median(std::vector<double> v) {
    std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
    return v[v.size() / 2];
}

// Times `ask(i)` so many times, in milliseconds.
template <class Ask>
std::vector<double> times(int runs, Ask&& ask) {
    std::vector<double> ms;
    ms.reserve(static_cast<std::size_t>(runs));
    for (int i = 0; i < runs; ++i) {
        const Moment start = now();
        ask(i);
        ms.push_back(ms_since(start));
    }
    return ms;
}

// One line: the first run, the median and the worst apart. True when the median keeps the limit (0 = none).
inline bool report(const char* what, const std::vector<double>& ms, double limit_ms) {
    const double middle = median(ms), most = *std::max_element(ms.begin(), ms.end());
    std::printf("%-44s first %9.4f   median %9.4f   worst %9.4f ms   (%zu runs)", what, ms.front(), middle,
                most, ms.size());
    if (limit_ms > 0) std::printf("   limit %g ms%s", limit_ms, middle <= limit_ms ? "" : "   BEYOND");
    std::printf("\n");
    return limit_ms <= 0 || middle <= limit_ms;
}

// The processor time that the calling process has used: other work on the machine hardly changes it.
inline double processor_ms() {
    return 1e3 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

// Two ways to the same, by turns, in processor time: first run, median and worst of each, and the ratio of
// the medians.
struct Beside {
    std::vector<double> ours, theirs;  // in milliseconds
    template <class Ours, class Theirs>
    void run(int runs, Ours&& our_way, Theirs&& their_way) {
        const auto timed = [](std::vector<double>& to, auto&& ask) {
            const double start = processor_ms();
            ask();
            to.push_back(processor_ms() - start);
        };
        for (int i = 0; i < runs; ++i) timed(ours, our_way), timed(theirs, their_way);
    }
    bool report(const char* what, const char* peer, double limit) const {
        const auto line = [](const char* name, const std::vector<double>& ms) {
            std::printf("%-40s first %10.3f ms   median %10.3f ms   worst %10.3f ms   (%zu runs)\n", name,
                        ms.front(), median(ms), *std::max_element(ms.begin(), ms.end()), ms.size());
        };
        line(what, ours);
        line(peer, theirs);
        const double ratio = median(ours) / median(theirs);
        std::printf("    ratio of the medians %.2f   limit %g%s\n", ratio, limit,
                    ratio <= limit ? "" : "   BEYOND");
        return ratio <= limit;
    }
};

template <class T>
T must(restand::Result<T> result) {
    restand::check(result.has_value(), result ? "" : result.error().detail.c_str());
    return std::move(*result);
}

// A folder of its own, gone at the end.
class Folder {
public:
    Folder()
        : path_(std::filesystem::temp_directory_path() /
                ("restand-bench-" + std::to_string(std::random_device{}()))) {
        std::filesystem::create_directories(path_);
    }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    std::string operator/(const char* name) const { return (path_ / name).string(); }

private:
    std::filesystem::path path_;
};

}  // namespace bench
