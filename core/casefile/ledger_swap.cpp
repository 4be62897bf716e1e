#include "core/casefile/ledger_swap.h"

#include <algorithm>
#include <cmath>

#include "core/casefile/case_fields.h"
#include "core/casefile/ledger_fields.h"
#include "core/codec/fields.h"
#include "core/ledger/reading_at_fault.h"

namespace restand {
namespace {

using namespace case_file;

std::string field_of(const Slot& slot) {
    return name_of(slot) + unit_suffix(facts(slot.point).dimension);
}

Reading with_instrument(Reading reading) {
    if (is_text(reading.point) || reading.instrument != Instrument{} || is_computed(reading)) return reading;
    reading.instrument = usual_instrument(reading.point, measured(reading).value);
    return reading;
}

SetUp setup_as_read(const std::vector<SetValue>& values) {
    SetUp setup = setup_of(values);
    for (auto& [place, stored] : setup.values) {
        if (is_computed(stored.reading)) setup.stale.insert(place);
        stored.reading = with_instrument(stored.reading);
    }
    setup.read_with = setup.values;
    return setup;
}

bool is_asked(const std::vector<Asked>& asked, const SetValue& value) {
    return std::any_of(asked.begin(), asked.end(), [&](const Asked& a) {
        return a.point == value.reading.point && (a.end == value.end || is_of_bike(a.point));
    });
}

std::vector<SwapPart> read_parts(const Json* list, FirstError& error) {
    std::vector<SwapPart> parts;
    each(list, "swap.parts", error, [&](const Json& item, const std::string& path) {
        std::string known;
        for (int i = 0; i < swap_part_count; ++i) {
            const auto part = static_cast<SwapPart>(i);
            known.append(i ? " | " : "").append(key(part));
            if (item != key(part)) continue;
            if (std::find(parts.begin(), parts.end(), part) != parts.end())
                error = Error{ErrorCode::contradiction, path, "given twice"};
            return parts.push_back(part);
        }
        error = Error{ErrorCode::out_of_range, path, known};
    });
    if (list && parts.empty() && !error) error = Error{ErrorCode::missing, "swap.parts", "one part at least"};
    return tidy(std::move(parts));
}

// "swap.new_part (rear travel)"
std::string place_of(const ReadAt& spot) {
    return "swap." + std::string(key(spot.phase)) + " (" + std::string(key(spot.end)) + " " +
           std::string(facts(spot.point).key) + ")";
}

// The value that an assumed input stands for, not its difference from another one.
double input_value(const CaseInput& input, const SwapInput& one) {
    const SwapInput* other = one.beside ? input.find(*one.beside) : nullptr;
    return one.known.value + (other ? input_value(input, *other) : 0.0);
}

void put_inputs(CaseFile& out, const CaseInput& input) {
    for (const SwapInput& i : input.inputs) {
        out.inputs.push_back({field_of(i.slot), i.known.value, i.known.u, i.known.dof});
        out.origins.push_back(i.origin);
        if (i.origin == Origin::assumed)
            out.assumed.push_back({field_of(i.slot), input_value(input, i), i.known.u * std::sqrt(3.0),
                                   i.beside ? field_of(*i.beside) : std::string()});
    }
}

// The position in the yokes at the length as found.
Length position_now(const CaseInput& input, const Swap& swap) {
    if (const auto* found = swap.stored({Phase::new_part, End::front, Point::fork_position}))
        return mm(measured(found->reading).value);
    const SwapInput* before = input.find({Phase::before, Point::fork_position});
    return before ? mm(before->known.value) : mm(0);
}

bool is_length_known(const CaseInput& input, End end) {
    return std::any_of(input.inputs.begin(), input.inputs.end(), [end](const SwapInput& i) {
        return end == End::rear ? i.slot.point == Point::eye_to_eye
                                : i.slot.point == Point::fork_length && i.origin != Origin::assumed;
    });
}

}  // namespace

namespace case_file {

std::optional<Swap> read_swap(const Json* node, FirstError& error) {
    if (!node || error) return std::nullopt;
    Fields f(node, "swap", swap_keys, error);
    Swap swap;
    swap.parts = read_parts(f.required_node("parts"), error);
    for (const Phase phase : all_phases) {
        const std::string list = "swap." + std::string(key(phase));
        const auto wanted = asked(swap, phase);
        const auto values = read_values(f.node(key(phase)), list, error);
        for (std::size_t i = 0; i < values.size() && !error; ++i) {
            const SetValue& v = values[i];
            if (!is_asked(wanted, v))
                error = Error{ErrorCode::contradiction, list + "[" + std::to_string(i + 1) + "]",
                              "swap.parts; it is not read at this step of such a swap"};
            const Clock at{static_cast<std::int64_t>(phase) + 1, 0};
            swap.stored_readings[{phase, v.end, v.reading.point}] = {
                StoredReading{with_instrument(v.reading), {}, {}, at, {}, false}};
        }
    }
    return error ? std::nullopt : std::optional(swap);
}

}  // namespace case_file

bool is_ledger_swap(std::string_view text) {
    const auto root = parse_strictly(text);
    return root && is_of_ledger(*root) && root->contains("swap");
}

Result<LedgerSwap> read_ledger_swap(std::string_view text) {
    auto c = read_ledger_case(text);
    if (!c) return c.error();
    if (!c->swap) return Error{ErrorCode::missing, "swap", ""};
    if (const auto sound = plausible(c->bike.geometry); !sound) return sound.error();
    LedgerSwap out{*c, *c->swap};
    out.stood = setup_as_read(c->set_up);
    out.described = c->described.empty() ? out.stood : setup_as_read(c->described);
    return out;
}

CaseFile end_case(const LedgerSwap& of, const EndSolution& end) {
    const CaseInput& input = *end.input;
    CaseFile out{.swap = input.swap_case,
                 .fork_length = {},
                 .note = of.in_case.note,
                 .inputs = {},
                 .remake = {},
                 .assumed = {}};
    if (end.end == End::front) out.fork_length = input.swap_case.length.now + position_now(input, of.swap);
    put_inputs(out, input);
    out.length_known = is_length_known(input, end.end);
    out.free_length_known = input.free_length_known;
    return out;
}

Error in_swap(Error error, const LedgerSwap& of, End end) {
    const std::string bike = "bike." + std::string(key(end));
    if (const auto spot = reading_at_fault(error, end, &of.swap))
        return {error.code, place_of(*spot), error.code == ErrorCode::missing ? "" : error.detail};
    if (error.subject == "leverage") return {error.code, bike + ".leverage", ""};
    if (error.subject == "map.leverage") error.subject = bike + ".leverage";
    if (error.subject == "map.pairs") error.subject = bike + ".pairs_mm";
    if (error.subject == "map.arm_mm") error.subject = "bike.geometry.swingarm_mm";
    if (error.subject == "tolerance_mm") error.subject = bike + ".tolerance_mm";
    return in_file(error, of.in_case);
}

}  // namespace restand
