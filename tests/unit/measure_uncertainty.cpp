#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "core/measure/monte_carlo.h"
#include "core/measure/reading.h"

using namespace restand;

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
using Out = std::optional<std::vector<double>>;
using In = std::span<const double>;

Out outputs(std::vector<double> outputs) {
    return outputs;
}
bool rel(double a, double b, double tolerance) {
    return std::fabs(a - b) <= tolerance * std::fabs(b);
}

}  // namespace

TEST_CASE("propagate: slopes of a smooth model are its derivatives, over a sweep") {
    const Model model = [](In x) -> Out {
        return outputs({std::exp(0.1 * x[0]) * x[1], x[0] * x[0] / x[1]});
    };
    for (double a = 0.5; a < 10.0; a += 0.7)
        for (double u : {1e-4, 1e-2, 0.1}) {
            const std::vector<Input> in = {{"a", a, u, inf}, {"b", 3.0, u, inf}};
            const auto out = propagate(model, in);
            REQUIRE(out.has_value());
            const double da = 0.1 * std::exp(0.1 * a) * 3.0, db = std::exp(0.1 * a);
            // Central differences have an error of h²·f'''/6f' with h = u/8: below 1e-6 here.
            for (const Contribution& c : (*out)[0].contributions)
                CHECK(rel(c.sensitivity, c.input ? db : da, 1e-6));
            CHECK(rel((*out)[0].u, u * std::hypot(da, db), 1e-6));
            CHECK(rel((*out)[1].u, u * std::hypot(2 * a / 3.0, a * a / 9.0), 1e-4));
        }
}

TEST_CASE("propagate: shares add up to one, the largest first, exact inputs left out") {
    const Model model = [](In x) -> Out { return outputs({x[0] + 2 * x[1] + 3 * x[2] + x[3]}); };
    const std::vector<Input> in = {
        {"a", 1, 0.1, inf}, {"b", 1, 0.1, inf}, {"c", 1, 0.1, inf}, {"d", 1, 0, 0}};
    const auto out = propagate(model, in);
    REQUIRE(out.has_value());
    const auto& parts = (*out)[0].contributions;
    REQUIRE(parts.size() == 3);
    CHECK(parts[0].input == 2);
    CHECK(parts[1].input == 1);
    CHECK(parts[2].input == 0);
    CHECK(rel(parts[0].share, 9.0 / 14.0, 1e-9));
    CHECK(rel(parts[0].share + parts[1].share + parts[2].share, 1.0, 1e-12));
}

TEST_CASE("propagate: inputs all exact give an exact answer without asking the model again") {
    int calls = 0;
    const Model model = [&](In x) -> Out { return ++calls, outputs({x[0] * 2}); };
    const std::vector<Input> in = {{"a", 4, 0, 0}, {"b", 5, 0, inf}};
    const auto out = propagate(model, in);
    REQUIRE(out.has_value());
    CHECK(calls == 1);
    CHECK((*out)[0].value == 8.0);
    CHECK((*out)[0].u == 0.0);
    CHECK((*out)[0].expanded == 0.0);
    CHECK(std::isinf((*out)[0].dof));
    CHECK((*out)[0].contributions.empty());
}

TEST_CASE("propagate: two calls for each uncertain input and one for the value") {
    int calls = 0;
    const Model model = [&](In x) -> Out { return ++calls, outputs({x[0] + x[1] * x[2], x[0]}); };
    const std::vector<Input> in = {{"a", 4, 0.1, 5}, {"b", 5, 0.1, inf}, {"c", 5, 0, 0}};
    REQUIRE(propagate(model, in).has_value());
    CHECK(calls == 5);
}

TEST_CASE("propagate: at the edge of what the model answers one side is enough, and second order") {
    // No result above 1, as above the end of a map.
    const Model below_one = [](In x) -> Out {
        if (x[0] > 1.0) return std::nullopt;
        return outputs({x[0] * x[0]});
    };
    const std::vector<Input> at_edge = {{"height", 1.0, 0.2, inf}};
    const auto out = propagate(below_one, at_edge);
    REQUIRE(out.has_value());
    CHECK(rel((*out)[0].contributions[0].sensitivity, 2.0, 1e-9));

    // So narrow that even the second step has no result: first order, off by h = u/8.
    const Model narrow = [](In x) -> Out {
        if (x[0] > 1.0 || x[0] < 0.97) return std::nullopt;
        return outputs({x[0] * x[0]});
    };
    const auto rough = propagate(narrow, at_edge);
    REQUIRE(rough.has_value());
    CHECK(rel((*rough)[0].contributions[0].sensitivity, 2.0 - 0.025, 1e-9));
}

TEST_CASE("propagate: says where there is no answer") {
    const Model only_there = [](In x) -> Out {
        if (x[1] != 2.0) return std::nullopt;
        return outputs({x[0]});
    };
    const auto neither = propagate(only_there, std::vector<Input>{{"a", 1, 0.1, inf}, {"b", 2, 0.1, inf}});
    REQUIRE_FALSE(neither.has_value());
    CHECK(neither.error().code == ErrorCode::no_solution);
    CHECK(neither.error().subject == "b");
    const auto nowhere = propagate(only_there, std::vector<Input>{{"a", 1, 0.1, inf}, {"b", 3, 0.1, inf}});
    REQUIRE_FALSE(nowhere.has_value());
    CHECK(nowhere.error().code == ErrorCode::no_solution);
    CHECK(nowhere.error().subject.empty());
    // A result that is not finite counts as none.
    const Model root = [](In x) -> Out { return outputs({std::sqrt(x[0])}); };
    CHECK_FALSE(propagate(root, std::vector<Input>{{"a", -1, 0.1, inf}}).has_value());
    CHECK(propagate(root, std::vector<Input>{{"a", 0.01, 0.1, inf}}).has_value());
}

TEST_CASE("propagate and sample: unsound inputs are refused by name") {
    const Model same = [](In x) -> Out { return outputs({x[0]}); };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<Input> unsound = {{"a", nan, 0.1, 5}, {"a", inf, 0.1, 5}, {"a", 1, -0.1, 5},
                                        {"a", 1, nan, 5},   {"a", 1, inf, 5},   {"a", 1, 0.1, 0},
                                        {"a", 1, 0.1, nan}, {"a", 1, 0.1, -1}};
    for (const Input& in : unsound) {
        CAPTURE(in.u);
        const auto first = propagate(same, {&in, 1});
        const auto second = sample(same, {&in, 1}, 100, 1);
        REQUIRE_FALSE(first.has_value());
        REQUIRE_FALSE(second.has_value());
        CHECK(first.error().subject == "a");
        CHECK(first.error() == second.error());
    }
}

TEST_CASE("propagate: an input that enters twice is counted once") {
    const Model cancelled = [](In x) -> Out { return outputs({x[0] - x[0], x[0] + x[0]}); };
    const auto out = propagate(cancelled, std::vector<Input>{{"ruler", 300, 0.3, inf}});
    REQUIRE(out.has_value());
    CHECK((*out)[0].u == 0.0);
    CHECK(rel((*out)[1].u, 0.6, 1e-9));
}

TEST_CASE("propagate: a kink is seen with the local slope, not straddled by a step of u") {
    // Free length against a stop: constant below 10, slope 1 above. The input is half its u above the stop.
    const Model stop = [](In x) -> Out { return outputs({std::max(x[0], 10.0)}); };
    const auto out = propagate(stop, std::vector<Input>{{"x", 10.5, 1.0, inf}});
    CHECK(rel((*out)[0].u, 1.0, 1e-9));
}

TEST_CASE("sample: the same seed gives the same numbers, another seed others") {
    const Model same = [](In x) -> Out { return outputs({x[0]}); };
    const std::vector<Input> in = {{"a", 5, 0.1, 7}};
    const auto a = sample(same, in, 1000, 1), b = sample(same, in, 1000, 1), c = sample(same, in, 1000, 2);
    CHECK((*a)[0].mean == (*b)[0].mean);
    CHECK((*a)[0].low == (*b)[0].low);
    CHECK((*a)[0].mean != (*c)[0].mean);
}

TEST_CASE("sample: agrees with first order where the model is linear, for both outputs") {
    const Model linear = [](In x) -> Out { return outputs({x[0] + x[1], x[0] - 2 * x[1]}); };
    const std::vector<Input> in = {{"a", 5, 0.3, inf}, {"b", -2, 0.4, inf}};
    const auto drawn = sample(linear, in, 200'000, 11);
    const auto first = propagate(linear, in);
    REQUIRE(drawn.has_value());
    for (std::size_t k = 0; k < 2; ++k) {
        const Sampled& s = (*drawn)[k];
        // Standard error of the mean is u/√n, of u about u/√(2n); four of them.
        CHECK(std::fabs(s.mean - (*first)[k].value) < 4 * (*first)[k].u / std::sqrt(2e5));
        CHECK(rel(s.u, (*first)[k].u, 4 / std::sqrt(4e5)));
        CHECK(rel(s.high - s.low, 2 * (*first)[k].expanded, 0.01));
        CHECK(s.refused == 0);
    }
}

TEST_CASE("sample: finite degrees of freedom draw the scaled t (JCGM 101:2008, 6.4.9.4)") {
    const Model same = [](In x) -> Out { return outputs({x[0]}); };
    for (double dof : {3.0, 4.5, 8.0, 30.0}) {
        CAPTURE(dof);
        const auto out = sample(same, std::vector<Input>{{"a", 0, 1, dof}}, 400'000, 5);
        // Half the shortest 95 % interval is t95; its standard error here is below half a percent.
        CHECK(rel(((*out)[0].high - (*out)[0].low) / 2, coverage_95(dof), 0.02));
        // u·√(ν/(ν−2)), checked where the fourth moment exists so that the estimate converges.
        if (dof > 4.0) CHECK(rel((*out)[0].u, std::sqrt(dof / (dof - 2.0)), 0.03));
    }
}

TEST_CASE("sample: the shortest interval of a skew output starts at its steep side") {
    // An exponential variable of rate 1 from a normal one: the shortest 95 % interval is [0, ln 20].
    const Model exponential = [](In x) -> Out {
        return outputs({-std::log(0.5 * std::erfc(x[0] / std::sqrt(2.0)))});
    };
    const auto out = sample(exponential, std::vector<Input>{{"z", 0, 1, inf}}, 200'000, 3);
    CHECK((*out)[0].low < 0.002);
    CHECK(rel((*out)[0].high, std::log(20.0), 0.02));
}

TEST_CASE("sample: refused draws are counted, and all refused is no solution") {
    const Model positive = [](In x) -> Out {
        if (x[0] < 0.0) return std::nullopt;
        return outputs({x[0]});
    };
    const std::vector<Input> in = {{"a", 0, 1, inf}};
    const auto half = sample(positive, in, 100'000, 9);
    // Binomial: 50 000 ± 4·158.
    CHECK(std::fabs(static_cast<double>((*half)[0].refused) - 50'000.0) < 633);
    const Model never = [](In) -> Out { return std::nullopt; };
    CHECK(sample(never, in, 100, 9).error().code == ErrorCode::no_solution);
    CHECK(sample(positive, in, 1, 9).error().code == ErrorCode::out_of_range);
    CHECK(sample(positive, in, 0, 9).error().code == ErrorCode::out_of_range);
}

TEST_CASE("sample: two draws give their own spread, n − 1 below") {
    const Model same = [](In x) -> Out { return outputs({x[0]}); };
    const auto out = sample(same, std::vector<Input>{{"a", 5, 1, inf}}, 2, 1);
    const Sampled& s = (*out)[0];
    CHECK(s.high > s.low);
    CHECK(rel(s.mean, (s.low + s.high) / 2, 1e-12));
    CHECK(rel(s.u, (s.high - s.low) / std::sqrt(2.0), 1e-12));
}

TEST_CASE("sample: exact inputs stay where they are") {
    const Model same = [](In x) -> Out { return outputs({x[0]}); };
    const auto out = sample(same, std::vector<Input>{{"a", 5.5, 0, 0}}, 10, 1);
    CHECK((*out)[0].u == 0.0);
    CHECK((*out)[0].low == 5.5);
    CHECK((*out)[0].high == 5.5);
}

TEST_CASE("e_n: has the sign of the change, and two exact equals agree") {
    CHECK(e_n(10.1, 0.06, 10.0, 0.08) > 0);
    CHECK(e_n(9.9, 0.06, 10.0, 0.08) == doctest::Approx(-e_n(10.1, 0.06, 10.0, 0.08)));
    CHECK(e_n(10, 0, 10, 0) == 0.0);
    CHECK(std::isinf(e_n(10, 0, 11, 0)));
}
