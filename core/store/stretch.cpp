#include "core/store/stretch.h"

#include <algorithm>

namespace restand {

// In brackets: SQLite limits how deep an expression is nested, and we allow ten levels.
std::string Stretch::where() const {
    std::string sql =
        one_epoch() ? " AND (clock_counter>>16=?" : " AND (clock_counter>>16>=? AND clock_counter>>16<=?";
    if (between.after) sql += " AND (clock_ms,clock_counter,id)>(?,?,?)";
    if (between.before) sql += " AND (clock_ms,clock_counter,id)<(?,?,?)";
    if (between.until) sql += " AND (clock_ms,clock_counter)<=(?,?)";
    return sql + ")";
}

// Omitted within one epoch: SQLite would re-sort what the index has in order.
std::string Stretch::newest_first() const {
    return one_epoch() ? "clock_ms DESC,clock_counter DESC,id DESC"
                       : std::string(clock_order_down) + ",id DESC";
}
std::string Stretch::oldest_first() const {
    return one_epoch() ? "clock_ms,clock_counter,id" : std::string(clock_order) + ",id";
}

void Stretch::bind(Statement& statement, int at) const {
    statement.bind(at++, first_epoch);
    if (!one_epoch()) statement.bind(at++, last_epoch);
    for (const auto* place : {&between.after, &between.before}) {
        if (!*place) continue;
        statement.bind(at++, (*place)->first.ms);
        statement.bind(at++, (*place)->first.counter);
        statement.bind_bytes(at++, (*place)->second.bytes);
    }
    if (!between.until) return;
    statement.bind(at++, between.until->ms);
    statement.bind(at++, between.until->counter);
}

std::vector<Stretch> stretches(const Between& between) {
    constexpr std::uint32_t any_epoch = 0xffff;
    const std::uint32_t low = between.after ? between.after->first.epoch() : 0;
    const std::uint32_t high = std::min(between.before ? between.before->first.epoch() : any_epoch,
                                        between.until ? between.until->epoch() : any_epoch);
    if (low > high) return {};
    // A bound applies only in its own epoch; in the others it includes or excludes everything.
    const auto within = [&](std::uint32_t epoch) {
        Between bounds = between;
        if (bounds.after && bounds.after->first.epoch() != epoch) bounds.after.reset();
        if (bounds.before && bounds.before->first.epoch() != epoch) bounds.before.reset();
        if (bounds.until && bounds.until->epoch() != epoch) bounds.until.reset();
        return Stretch{epoch, epoch, bounds};
    };
    if (low == high) return {within(low)};
    std::vector<Stretch> all = {within(low)};
    if (high - low > 1) all.push_back({low + 1, high - 1, {}});
    all.push_back(within(high));
    return all;
}

}  // namespace restand
