// Derived tables in memory, for files whose own are missing (version 1, or a later version's) or damaged.
// They hide the file's tables of the same name, so that one query serves both.

#include "core/store/impl.h"

namespace restand {

Outcome Store::Impl::derived_ready(bool with_words) {
    const bool gone = !has_derived() || gone_wrong_;
    bool words = with_words && !has_derived();
    if (with_words && has_derived()) {
        const auto whole = db.number("SELECT words FROM derived");
        words = !whole || *whole == 0 || beside_.words;
    }
    if (!gone && !words) return Done{};
    const auto state = db.number("PRAGMA data_version");  // changes when another connection writes
    if (!state) return state.error();
    const bool fresh = beside_.state == *state && beside_.commits == commits_;
    if (fresh && (beside_.gone || !gone) && (beside_.words || !words)) return Done{};
    beside_.state = *state;
    return make_beside(gone, words);
}

Outcome Store::Impl::make_beside(bool gone, bool words) {
    // A read-only connection may write nothing, and in-memory tables count as writing.
    const bool reading = mode == Mode::read;
    if (reading)
        if (const auto off = db.run("PRAGMA query_only=OFF"); !off) return off;
    auto made = db.run("BEGIN");
    if (made) made = derive_in_memory(db, gone, words);
    if (made) made = db.run("COMMIT");
    if (!made) (void)db.run("ROLLBACK");
    if (reading) (void)db.run("PRAGMA query_only=ON");
    if (!made) return made;
    beside_ = {gone, words, beside_.state, commits_};
    return Done{};
}

Outcome Store::Impl::distrust_words() {
    beside_.words = true;  // needed from now on
    beside_.state = -1;
    return derived_ready(true);
}

Outcome Store::Impl::distrust_gone() {
    if (mode != Mode::read) {
        // Repaired if possible.
        if (const auto begun = db.run("BEGIN IMMEDIATE"); !begun) return begun;
        auto made = derive_anew(db);
        if (made) made = db.run("COMMIT");
        if (made) return made;
        (void)db.run("ROLLBACK");
    }
    gone_wrong_ = true;
    return derived_ready(false);
}

Result<std::vector<Id>> Store::Impl::timed_bikes() const {
    std::vector<Id> bikes;
    const auto take = [&bikes](std::string_view bytes) {
        Id& id = bikes.emplace_back();
        if (bytes.size() == id.bytes.size()) std::copy(bytes.begin(), bytes.end(), id.bytes.begin());
    };
    if (!has_derived()) {
        auto rows = db.prepare(std::string("SELECT DISTINCT bike FROM entry WHERE bike IS NOT NULL AND ") +
                               timed_kinds);
        if (!rows) return rows.error();
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step()) take(rows->bytes(0));
        if (code != SQLITE_DONE) return db.error();
        return bikes;
    }
    // Steps over the index from bike to bike: reads a page or two for each.
    auto next = db.prepare("SELECT min(bike) FROM " + timed() + " WHERE " + timed_kinds + " AND bike>?");
    if (!next) return next.error();
    for (std::string last;;) {
        next->bind_blob(1, last.data(), last.size());
        if (next->step() != SQLITE_ROW) return db.error();
        if (next->null(0)) return bikes;
        last = next->bytes(0);
        take(last);
        next->reset();
    }
}

}  // namespace restand
