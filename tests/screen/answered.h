#pragma once
// A shock swap on a new bike, by taps, up to its answer; the reading that a step needs, typed.

#include <string>

#include "tests/screen/team.h"

namespace restand::test {

// The first reading that the step needs, as the answer has it, else as it was before.
inline void type_needed(Driver& driver) {
    const Field field = *needed_field(driver.state());
    const auto same = same_value(driver.state(), field);
    const StoredReading* old =
        stored_at(solved_swap(driver.state())->site(), field.end, Phase::before, field.point);
    CAPTURE(facts(field.point).key);
    REQUIRE((same || old));
    go(driver, act::OpenTag{field});
    go(driver, act::PadText{same ? same->text : old->reading.repeats.back().text});
    go(driver, act::PadNext{});
    if (driver.state().pad && !driver.state().pad->question.empty()) go(driver, act::ConfirmSame{true});
    while (driver.state().pad) go(driver, act::CloseTag{});
}

// The answer of a shock swap is reached. Coils: how long the new spring is where they touch.
struct Answered : Driver {
    explicit Answered(const char* coils = nullptr) : Driver(tablet) {
        begin_bike(*this);
        tap("primary");
        read_old_shock(*this);
        go(*this, act::GoToStep{Step6::new_part});
        read_all(*this, {{"new_part:rear:eye_to_eye", "310"},
                         {"new_part:rear:spring_rate", "95"},
                         {"new_part:rear:spring_free_length", "160"},
                         {"new_part:rear:travel", "50"}});
        if (coils) read_all(*this, {{"new_part:rear:spring_block_length", coils}});
        go(*this, act::GoToStep{Step6::answer});
        REQUIRE(page().ruler->marks[2].current);
    }
    // As answered, each by its key.
    void set_as_answered() {
        go(*this, act::GoToStep{Step6::set});
        for (const char* id : {"row:set:rear:eye_to_eye", "row:set:rear:spring_installed_length"}) {
            tap(id);
            tap("key:same");
            tap("primary");
            if (state().pad) tap("key:close");
        }
        go(*this, act::GoToStep{Step6::check});
    }
    void check_low_by(int by) {
        read_all(*this, {{"check:rear:ride_height_topped_out", "500"}});
        read(*this, "row:check:rear:ride_height_static", std::to_string(490 - by));
        read(*this, "row:check:rear:ride_height_rider", std::to_string(466 - by));
    }
    void keep() {
        go(*this, act::GoToStep{Step6::keep});
        tap("primary");
    }
    double stored(Phase phase, Point point) {
        const StoredReading* t = open_swap(state())->stored({phase, End::rear, point});
        return t ? measured(t->reading).value : 0;
    }
    const row::ReadingRow& row_of(const std::string& id) {
        for (const Row& r : page().panel.rows)
            if (const auto* one = std::get_if<row::ReadingRow>(&r); one && one->id == id) return *one;
        FAIL("no row " << id);
        throw 0;
    }
};

}  // namespace restand::test
