// The text by which a search finds a moment. Text that people wrote goes to `words`. The name of a part or
// tyre goes to `parts`, so that a search for a tyre does not find every remark about tyres.

#include "core/ledger/history.h"

#include <algorithm>
#include <array>

namespace restand {
namespace {

struct Finder {
    FindBy found;

    void words(std::string_view text) {
        if (text.empty()) return;
        if (!found.words.empty()) found.words += ' ';
        found.words += text;
    }
    void reading(const Reading& r) {
        words(r.where);
        if (r.point != Point::part_name && r.point != Point::tyre) return;
        if (r.repeats.empty()) return;
        if (!found.parts.empty()) found.parts += '\n';  // a name may hold spaces
        found.parts += r.repeats.back().text;
    }
    void values(const std::vector<SetValue>& list) {
        for (const SetValue& v : list) reading(v.reading);
    }

    void operator()(const BaselineBody& b) {
        words(b.reason);
        for (const BaselineValue& v : b.values) reading(v.stored.reading);
    }
    void operator()(const SwapBody& b) {
        for (const SwapPart part : b.parts) words(key(part));
    }
    void operator()(const ChangeBody& b) {
        words(b.note);
        for (const SetValue& v : b.values) words(facts(v.reading.point).key);
        values(b.values);
    }
    void operator()(const EventBody& b) {
        for (const std::string* text : {&b.day, &b.circuit, &b.session, &b.weather, &b.words}) words(*text);
        if (!b.tyre.empty()) found.parts = b.tyre;
    }
    void operator()(const PartBody& b) { found.parts = b.name; }
    void operator()(const RecordBody& b) {
        words(b.day);
        words(b.source);
        values(b.values);
    }
    template <class T>
    void operator()(const T&) {}
};

}  // namespace

bool is_moment(std::string_view kind) {
    constexpr std::array<std::string_view, 7> kinds = {"baseline", "swap", "change", "event",
                                                       "part",     "way",  "record"};
    return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
}

FindBy find_by(const Fact& fact) {
    Finder finder;
    std::visit(finder, fact.body);
    return std::move(finder.found);
}

}  // namespace restand
