#include "core/casefile/fork_fields.h"

#include <cstdio>

namespace restand::case_file {
namespace {

constexpr Range wire_range = {"volume", 0, 1e7};

void read_other_leg(Fields& fork, const std::string& path, std::string_view installed, SuspensionUnit& out,
                    FirstError& error) {
    const std::string here = path + ".other_leg";
    Fields leg(fork.node("other_leg"), here,
               {"rate_n_per_mm", "force_table", "free_length_mm", installed, "block_length_mm"}, error);
    Leg other{read_spring(leg, out, error), mm(0)};
    other.installed_more = mm(leg.required(installed, length_range)) - out.installed_length;
    if (!error && other.spring.free_length < out.installed_length + other.installed_more)
        leg.refuse(ErrorCode::contradiction, "free_length_mm",
                   std::string(installed) + "; free length is not shorter than installed length");
    out.other_leg = other;
}

// Oil level and volume are the same in both legs.
void read_oil(Fields& fork, const std::string& path, SuspensionUnit& out, FirstError& error) {
    if (fork.has("reservoir")) fork.refuse(ErrorCode::contradiction, "oil", "reservoir; give one");
    if (!out.travel) fork.refuse(ErrorCode::missing, "travel_mm", "with oil");
    Fields oil(fork.node("oil"), path + ".oil", {"bore_mm", "level_mm", "spring_wire_mm3", "exponent"},
               error);
    const OilLevel level{mm(oil.required("bore_mm", length_range)),
                         mm(oil.required("level_mm", length_range)), out.travel.value_or(mm(0)),
                         Volume(oil.number("spring_wire_mm3", wire_range).value_or(0.0))};
    const double exponent = oil.number("exponent", exponent_range).value_or(1.3);
    if (error) return;
    const Area bore = pi / 4.0 * (level.bore * level.bore);
    const Volume air = air_volume(level);
    // At full travel the remaining air is bore area × level − volume of the spring wire.
    if (!(air > bore * level.travel)) {
        char told[96];
        std::snprintf(told, sizeof told, "%g; level > %.1f, or no air is left at full travel",
                      in_mm(level.level), level.spring_wire.value / bore.value);
        return oil.refuse(ErrorCode::out_of_range, "level_mm", told);
    }
    out.gas.chamber = Gas::Chamber{2.0 * bore, 2.0 * air, exponent};
}

}  // namespace

void read_legs_and_oil(Fields& fork, const std::string& path, std::string_view installed, SuspensionUnit& out,
                       FirstError& error) {
    if (fork.has("other_leg")) read_other_leg(fork, path, installed, out, error);
    if (fork.has("oil")) read_oil(fork, path, out, error);
}

}  // namespace restand::case_file
