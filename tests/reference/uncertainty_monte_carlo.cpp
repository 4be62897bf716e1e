// The Monte Carlo route against JCGM 101:2008. The sampler draws normals; a rectangular input is the normal's
// distribution function of one, so that it stays one input.
#include <doctest/doctest.h>

#include <cmath>

#include "core/measure/monte_carlo.h"
#include "tests/reference/published.h"

using namespace restand;
using test::inf, test::In, test::Out;

namespace {

double rectangular(double z, double low, double high) {
    return low + (high - low) * 0.5 * std::erfc(-z / std::sqrt(2.0));
}
Sampled drawn(const Model& model, const std::vector<Input>& inputs, std::size_t runs,
              unsigned long long seed = 1) {
    const auto out = sample(model, inputs, runs, seed);
    REQUIRE(out.has_value());
    return out->front();
}

// Mean over eight seeds. Where the density is flat the ends of the shortest interval wander by 0.0017 at
// 250 000 draws, far more than its width or u do; a single run of a million still misses ±0.002 now and then.
Sampled drawn_eight_times(const Model& model, const std::vector<Input>& inputs, std::size_t runs) {
    Sampled mean{0, 0, 0, 0, 0};
    for (unsigned long long seed = 1; seed <= 8; ++seed) {
        const Sampled s = drawn(model, inputs, runs, seed);
        mean.mean += s.mean / 8, mean.u += s.u / 8, mean.low += s.low / 8, mean.high += s.high / 8;
    }
    return mean;
}

}  // namespace

TEST_CASE("U-13 sum of four, normal and rectangular (JCGM 101:2008, 9.2.2, 9.2.3; published, seen)") {
    const std::vector<Input> z = {{"a", 0, 1, inf}, {"b", 0, 1, inf}, {"c", 0, 1, inf}, {"d", 0, 1, inf}};
    const Model normal = [](In x) -> Out { return std::vector<double>{x[0] + x[1] + x[2] + x[3]}; };
    const Sampled n = drawn(normal, z, 1'000'000);
    CHECK(std::fabs(n.mean) <= 0.01);
    CHECK(std::fabs(n.u - 2.0) <= 0.01);
    CHECK(std::fabs((n.high - n.low) / 2 - 3.919927969) <= 0.02);

    // ±2√3·[2 − (3/5)^¼]: narrower than the normal's at the same u.
    const Model flat = [](In x) -> Out {
        const double a = std::sqrt(3.0);
        double s = 0.0;
        for (double v : x) s += rectangular(v, -a, a);
        return std::vector<double>{s};
    };
    const Sampled r = drawn(flat, z, 1'000'000);
    CHECK(std::fabs(r.u - 2.0) <= 0.01);
    CHECK(std::fabs((r.high - r.low) / 2 - 3.879406741) <= 0.02);
}

TEST_CASE("U-15, trap 3: mass calibration, where first order falls short (JCGM 101:2008, 9.3; published)") {
    const Model mass = [](In x) -> Out {
        const double rho_a = rectangular(x[2], 1.1, 1.3), rho_w = rectangular(x[3], 7000, 9000),
                     rho_r = rectangular(x[4], 7950, 8050);
        return std::vector<double>{(x[0] + x[1]) * (1 + (rho_a - 1.2) * (1 / rho_w - 1 / rho_r)) - 1e5};
    };
    const std::vector<Input> in = {{"m_Rc", 1e5, 0.05, inf},
                                   {"δm_Rc", 1.234, 0.02, inf},
                                   {"ρ_a", 0, 1, inf},
                                   {"ρ_W", 0, 1, inf},
                                   {"ρ_R", 0, 1, inf}};
    const Sampled m = drawn_eight_times(mass, in, 250'000);
    CHECK(std::fabs(m.mean - 1.234) <= 0.0005);
    // Exact 0.07548; the source prints 0.0754 from a finite run of its own.
    CHECK(std::fabs(m.u - 0.0755) <= 0.0003);
    CHECK(std::fabs(m.low - 1.0839) <= 0.002);
    CHECK(std::fabs(m.high - 1.3831) <= 0.002);
    CHECK(std::fabs(m.high - m.low - 0.2992) <= 0.001);
}
