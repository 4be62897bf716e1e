// A page of the time line: ids first, from an index, then the entries of that page only.

#include <algorithm>
#include <set>
#include <tuple>

#include "core/store/impl.h"
#include "core/store/stretch.h"

namespace restand {
namespace {

constexpr std::size_t search_text_cap = 1024, page_cap = 1000, word_cap = 24;
constexpr const char* moments[] = {"baseline", "change", "event", "part", "record", "swap", "way"};

struct Moment {
    Clock clock;
    Id id;
};
bool newer_moment(const Moment& a, const Moment& b) {
    return std::tie(b.clock, b.id) < std::tie(a.clock, a.id);
}

Id id_from_bytes(std::string_view bytes) {
    Id id;
    if (bytes.size() == id.bytes.size()) std::copy(bytes.begin(), bytes.end(), id.bytes.begin());
    return id;
}

std::string quoted_phrase(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        out += c == '\0' ? ' ' : c;
        if (c == '"') out += c;
    }
    return out + "\"";
}

// A query in FTS5's language; all external text is quoted.
std::string match_of(const HistoryQuery& query, const std::vector<std::string>& kinds) {
    std::string match;
    const auto also = [&match](const std::string& term) { match += (match.empty() ? "" : " AND ") + term; };
    if (!query.bike.nil()) also("marks : " + quoted_phrase(bike_mark(query.bike)));
    if (!query.part.empty()) also("marks : " + quoted_phrase(part_mark(query.part)));
    if (!query.kinds.empty()) {
        std::string any;
        for (const std::string& kind : kinds)
            any += (any.empty() ? "" : " OR ") + quoted_phrase(kind_mark(kind));
        also("marks : (" + any + ")");
    }
    for (const std::string& word : words_of(query.text)) also("{said parts} : " + quoted_phrase(word) + " *");
    return match;
}

std::vector<std::string> kinds_of(const HistoryQuery& query) {
    std::vector<std::string> kinds;
    for (const char* kind : moments)
        if (query.kinds.empty() || query.kinds.contains(kind)) kinds.push_back(kind);
    return kinds;
}

class Page {
public:
    Page(const Store::Impl& file, const HistoryQuery& query, std::vector<std::string> kinds)
        : file_(file), query_(query), kinds_(std::move(kinds)), limit_(std::min(query.limit, page_cap)) {}

    // One more than the page holds, if there are as many.
    Result<std::vector<Moment>> by_time() const;
    Result<std::vector<Moment>> by_words() const;
    Result<HistoryPage> filled(std::vector<Moment> list) const;

private:
    bool before(const Moment& m) const {
        return !query_.before || newer_moment({query_.before->first, query_.before->second}, m);
    }
    std::vector<Moment> cut(std::vector<Moment> list) const {
        std::sort(list.begin(), list.end(), newer_moment);
        if (list.size() > limit_ + 1) list.resize(limit_ + 1);
        return list;
    }
    Result<std::vector<Id>> bikes() const;           // asked for
    Result<std::set<std::uint32_t>> epochs() const;  // of their clocks, up to that of `before`
    Outcome of_bike(const Id& bike, std::vector<Moment>& list) const;
    Outcome words_in(std::uint32_t epoch, std::vector<Moment>& list) const;
    Outcome ends_of(const Entry& moment, HistoryPage& page) const;
    Outcome set_aside(HistoryPage& page) const;

    const Store::Impl& file_;
    const HistoryQuery& query_;
    std::vector<std::string> kinds_;
    std::size_t limit_;
};

Outcome Page::of_bike(const Id& bike, std::vector<Moment>& list) const {
    std::string of_kinds;  // names of our own, and none of them holds a quote
    for (const std::string& kind : kinds_) of_kinds += (of_kinds.empty() ? "'" : ",'") + kind + "'";
    auto newest_first = stretches({.before = query_.before});
    std::reverse(newest_first.begin(), newest_first.end());
    std::size_t found = 0;
    for (const Stretch& stretch : newest_first) {
        auto rows = file_.db.prepare("SELECT clock_ms,clock_counter,id FROM " + file_.timed() +
                                     " WHERE bike IS ? AND " + timed_kinds + " AND +kind IN (" + of_kinds +
                                     ")" + stretch.where() + " ORDER BY " + stretch.newest_first() +
                                     " LIMIT " + std::to_string(limit_ + 1 - found));
        if (!rows) return rows.error();
        if (!bike.nil()) rows->bind_bytes(1, bike.bytes);
        stretch.bind(*rows, 2);
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step(), ++found)
            list.push_back({{rows->integer(0), static_cast<std::uint32_t>(rows->integer(1))},
                            id_from_bytes(rows->bytes(2))});
        if (code != SQLITE_DONE) return file_.db.error();
        if (found > limit_) break;
    }
    return Done{};
}

Result<std::vector<Id>> Page::bikes() const {
    std::vector<Id> bikes = {query_.bike};
    if (!query_.bike.nil()) return bikes;
    auto all = file_.timed_bikes();
    if (!all) return all.error();
    bikes.insert(bikes.end(), all->begin(), all->end());  // nil means: of no bike
    return bikes;
}

Result<std::vector<Moment>> Page::by_time() const {
    const auto all = bikes();
    if (!all) return all.error();
    std::vector<Moment> list;
    for (const Id& bike : *all)
        if (const auto good = of_bike(bike, list); !good) return good.error();
    return cut(std::move(list));
}

// Steps down the index from epoch to epoch; nearly every workshop has only epoch 0.
Result<std::set<std::uint32_t>> Page::epochs() const {
    const auto all = bikes();
    if (!all) return all.error();
    auto next =
        file_.db.prepare("SELECT clock_counter>>16 FROM " + file_.timed() + " WHERE bike IS ? AND " +
                         timed_kinds + " AND clock_counter>>16<? ORDER BY clock_counter>>16 DESC LIMIT 1");
    if (!next) return next.error();
    std::set<std::uint32_t> epochs;
    for (const Id& bike : *all)
        for (std::int64_t below = query_.before ? query_.before->first.epoch() + 1ll : INT64_MAX;
             below > 0;) {
            next->reset();
            if (!bike.nil()) next->bind_bytes(1, bike.bytes);
            next->bind(2, below);
            const int code = next->step();
            if (code == SQLITE_DONE) break;
            if (code != SQLITE_ROW) return file_.db.error();
            below = next->integer(0);
            epochs.insert(static_cast<std::uint32_t>(below));
        }
    return epochs;
}

Result<std::vector<Moment>> Page::by_words() const {
    const HeapBound bound(file_.db);
    const auto all = epochs();
    if (!all) return all.error();
    std::vector<Moment> list;
    for (auto epoch = all->rbegin(); epoch != all->rend() && list.size() <= limit_; ++epoch)
        if (const auto good = words_in(*epoch, list); !good) return good.error();
    return cut(std::move(list));
}

Outcome Page::words_in(std::uint32_t epoch, std::vector<Moment>& list) const {
    std::string match = match_of(query_, kinds_);
    if (epoch > 0) match += " AND marks : " + quoted_phrase(epoch_mark(epoch));
    auto rows =
        file_.db.prepare("SELECT rowid,id FROM words WHERE words MATCH ? AND rowid<? ORDER BY rowid DESC");
    auto clock = file_.db.prepare("SELECT clock_ms,clock_counter FROM entry WHERE id=?");
    if (!rows) return rows.error();
    if (!clock) return clock.error();
    rows->bind_text(1, match);
    const std::int64_t whole = 1ll << word_shift;
    const bool within = query_.before && query_.before->first.epoch() == epoch;
    rows->bind(2, within ? word_group(query_.before->first.ms) + whole : INT64_MAX);

    std::int64_t group = -1;
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        // Rows within a millisecond are not ordered: all of them are read before the page is full.
        const std::int64_t now = rows->integer(0) / whole;
        if (now != group && list.size() > limit_) break;
        group = now;
        Moment m{{}, id_from_bytes(rows->bytes(1))};
        clock->bind_bytes(1, m.id.bytes);
        if (clock->step() != SQLITE_ROW)
            return Error{ErrorCode::damaged, file_.path,
                         "the index of words names an entry that is not there"};
        m.clock = {clock->integer(0), static_cast<std::uint32_t>(clock->integer(1))};
        clock->reset();
        if (m.clock.epoch() == epoch && before(m)) list.push_back(m);
    }
    if (code != SQLITE_ROW && code != SQLITE_DONE) return file_.db.error();
    return Done{};
}

Outcome Page::ends_of(const Entry& moment, HistoryPage& page) const {
    if (moment.kind != "swap" && moment.kind != "way") return Done{};
    const Id& thing = moment.kind == "swap" && !moment.about.nil() ? moment.about : moment.id;
    auto ends = file_.select("WHERE about=? AND kind IN ('swap_end','way_end')", {blob(thing)});
    if (!ends) return ends.error();
    std::move(ends->begin(), ends->end(), std::back_inserter(page.with_them));
    return Done{};
}

Outcome Page::set_aside(HistoryPage& page) const {
    auto gone = file_.db.prepare("SELECT 1 FROM gone WHERE id=? LIMIT 1");
    if (!gone) return gone.error();
    for (const auto* list : {&page.moments, &page.with_them})
        for (const Entry& e : *list) {
            gone->bind_bytes(1, e.id.bytes);
            const int code = gone->step();
            if (code == SQLITE_ROW) page.set_aside.insert(e.id);
            if (code != SQLITE_ROW && code != SQLITE_DONE) return file_.db.error();
            gone->reset();
        }
    return Done{};
}

Result<HistoryPage> Page::filled(std::vector<Moment> list) const {
    HistoryPage page;
    page.more = list.size() > limit_;
    if (page.more) list.resize(limit_);
    const Error wrong{ErrorCode::damaged, file_.path, "the time line's index is wrong"};
    auto row = file_.db.prepare("SELECT " + std::string(entry_columns) + " FROM entry WHERE id=?");
    if (!row) return row.error();
    page.moments.reserve(list.size());
    for (const Moment& m : list) {
        row->bind_bytes(1, m.id.bytes);
        const int code = row->step();
        if (code != SQLITE_ROW) return code == SQLITE_DONE ? wrong : file_.db.error();
        auto entry = entry_of_row(*row);
        if (!entry) return entry.error();
        row->reset();
        const bool asked = (query_.bike.nil() || entry->bike == query_.bike) &&
                           std::find(kinds_.begin(), kinds_.end(), entry->kind) != kinds_.end();
        if (!asked) return wrong;
        page.moments.push_back(std::move(*entry));
        if (const auto ends = ends_of(page.moments.back(), page); !ends) return ends.error();
    }
    if (const auto rejected = set_aside(page); !rejected) return rejected.error();
    return page;
}

}  // namespace

Result<HistoryPage> Store::history(const HistoryQuery& query) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (query.text.size() > search_text_cap)
        return Error{ErrorCode::too_large, "text", std::to_string(search_text_cap)};
    const auto kinds = kinds_of(query);
    if (kinds.empty()) return HistoryPage{};

    const bool by_words = !query.part.empty() || !words_of(query.text).empty();
    if (const auto ready = impl_->derived_ready(by_words); !ready) return ready.error();
    const Page page(*impl_, query, kinds);
    const auto ask = [&]() -> Result<HistoryPage> {
        auto list = by_words ? page.by_words() : page.by_time();
        if (!list) return list.error();
        return page.filled(std::move(*list));
    };
    auto answer = impl_->in_one_view(ask);
    if (answer || !by_words || answer.error().code != ErrorCode::damaged) return answer;
    // If the index of words is damaged, the text is read from the entries instead.
    if (const auto made = impl_->distrust_words(); !made) return answer;
    return impl_->in_one_view(ask);
}

Result<std::vector<std::string>> Store::part_names(const Id& bike) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    const auto ask = [&]() -> Result<std::vector<std::string>> {
        auto rows = impl_->db.prepare(bike.nil() ? "SELECT DISTINCT name FROM part ORDER BY name"
                                                 : "SELECT name FROM part WHERE bike=? ORDER BY name");
        if (!rows) return rows.error();
        if (!bike.nil()) rows->bind_bytes(1, bike.bytes);
        std::vector<std::string> names;
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step()) names.emplace_back(rows->bytes(0));
        if (code != SQLITE_DONE) return impl_->db.error();
        return names;
    };
    if (const auto ready = impl_->derived_ready(true); !ready) return ready.error();
    auto names = ask();
    if (names || names.error().code != ErrorCode::damaged) return names;
    if (const auto made = impl_->distrust_words(); !made) return names;
    return ask();
}

// The words of a search: the pieces between spaces that contain something to search for.
std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    const auto says = [](char c) {
        const auto u = static_cast<unsigned char>(c);
        return u >= 0x80 || (u >= '0' && u <= '9') || (u >= 'A' && u <= 'Z') || (u >= 'a' && u <= 'z');
    };
    std::string piece;
    for (const char c : std::string(text) + " ") {
        if (static_cast<unsigned char>(c) > ' ') {
            piece += c;
            continue;
        }
        if (std::any_of(piece.begin(), piece.end(), says) && words.size() < word_cap) words.push_back(piece);
        piece.clear();
    }
    return words;
}

}  // namespace restand
