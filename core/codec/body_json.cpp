#include "core/codec/body_json.h"

#include <cmath>

#include "core/codec/fields.h"
#include "core/codec/json_text.h"
#include "core/codec/json_values.h"
#include "core/ledger/replaces.h"

namespace restand {
namespace {

using nlohmann::json;

// Invariants
//   1  In reads back exactly what Out wrote (angles to the last bit but one): both use the same fields().
//   2  In accepts only valid bodies: every reading passes validate(), every enumerator has a key.
//   3  In never returns a partial body: after the first error the body is dropped.

constexpr std::size_t list_cap = 10'000;              // repeats, pairs, values of a baseline
constexpr double exact_integer = 9007199254740992.0;  // 2^53: beyond it JSON tools lose digits

// Keys of enumerations
// ------------------------------------------------------------------------------------------

// Keys of steps, phases and parts are in ledger/swap.h, those of units and ends in quantity and measure.

std::string_view key(Carrier carrier) {
    return carrier == Carrier::frame ? "frame" : "arm";
}

template <class E>
constexpr int enumerator_count = 0;
template <>
constexpr int enumerator_count<Carrier> = 2;
template <>
constexpr int enumerator_count<Unit> = static_cast<int>(Unit::cubic_cm) + 1;
template <>
constexpr int enumerator_count<FrontHeights> = 2;
template <>
constexpr int enumerator_count<Stand> = 2;
template <>
constexpr int enumerator_count<End> = 2;
template <>
constexpr int enumerator_count<SwapPart> = swap_part_count;
template <>
constexpr int enumerator_count<Judged> = static_cast<int>(Judged::not_checked) + 1;
template <>
constexpr int enumerator_count<Milestone> = static_cast<int>(all_milestones.size());
template <>
constexpr int enumerator_count<Step6> = step_count;
template <>
constexpr int enumerator_count<Phase> = static_cast<int>(Phase::check) + 1;

template <class T>
constexpr bool is_optional = false;
template <class T>
constexpr bool is_optional<std::optional<T>> = true;
template <class T>
constexpr bool is_list = false;
template <class T>
constexpr bool is_list<std::vector<T>> = true;

// Writing
// -------------------------------------------------------------------------------------------------------

struct Out {
    json& object;

    template <class T>
    void operator()(const std::string& key, const T& member) {
        object[key] = value(member);
    }
    template <class T>
    void usual(const std::string& key, const T& member) {
        (*this)(key, member);
    }
    template <class T>
    void maybe(const std::string& key, const T& member) {
        if (!(member == T{})) (*this)(key, member);
    }
    template <class T>
    void one_or_more(const std::string& one, const std::string& more, const std::vector<T>& list) {
        if (list.size() == 1)
            (*this)(one, list.front());
        else
            (*this)(more, list);
    }
    template <class F>
    void derived(const std::string& key, F compute) {
        if (const auto v = compute()) object[key] = *v;
    }
    template <class F>
    void object_of(const std::string& key, F members) {
        json inner = json::object();
        Out out{inner};
        members(out);
        if (!inner.empty()) object[key] = std::move(inner);
    }

    template <class T>
    static json value(const T& v) {
        if constexpr (is_optional<T>) {
            return v ? value(*v) : json();
        } else if constexpr (is_list<T>) {
            json list = json::array();
            for (const auto& one : v) list.push_back(value(one));
            return list;
        } else if constexpr (std::is_same_v<T, Length>) {
            return in_mm(v);
        } else if constexpr (std::is_same_v<T, Angle>) {
            return in_degrees(v);
        } else if constexpr (std::is_same_v<T, std::pair<Length, Length>>) {
            return json::array({in_mm(v.first), in_mm(v.second)});
        } else if constexpr (std::is_same_v<T, Id>) {
            return to_text(v);
        } else if constexpr (std::is_same_v<T, Point>) {
            return facts(v).key;
        } else if constexpr (std::is_enum_v<T>) {
            return key(v);
        } else if constexpr (std::is_class_v<T> && !std::is_same_v<T, std::string>) {
            json inner = json::object();
            Out out{inner};
            fields(out, v);
            return inner;
        } else {
            return v;
        }
    }
};

// Reading
// -------------------------------------------------------------------------------------------------------

// Where a value stands, put into words only for an error.
struct KeyPath {
    const KeyPath* outer;
    std::string_view key;
    std::optional<std::uint32_t> index = {};  // in a list; then there is no key

    std::string text() const {
        const std::string before = outer ? outer->text() : "";
        if (index) return before + "[" + std::to_string(*index) + "]";
        return before + (outer ? "." : "") + std::string(key);
    }
};

struct In {
    using Type = JsonValue::Type;
    const JsonValue& object;
    const KeyPath* path;          // of `object`; nullptr: the outermost
    std::optional<Error>& error;  // keeps the first error

    template <class T>
    void operator()(std::string_view key, T& member) {
        const JsonValue* it = object.find(key);
        if (!it) return fail(ErrorCode::missing, {path, key}, "");
        read(member, *it, {path, key});
    }
    template <class T>
    void usual(std::string_view key, T& member) {
        if (const JsonValue* it = object.find(key)) read(member, *it, {path, key});
    }
    template <class T>
    void maybe(std::string_view key, T& member) {
        usual(key, member);
    }
    template <class T>
    void one_or_more(std::string_view one, std::string_view more, std::vector<T>& list) {
        if (object.find(more)) return usual(more, list);
        (*this)(one, list.emplace_back());
    }
    template <class F>
    void derived(std::string_view, F) {}
    template <class F>
    void object_of(std::string_view key, F members) {
        const JsonValue* it = object.find(key);
        if (!it) return;
        const KeyPath at{path, key};
        if (!it->is(Type::object)) return fail(ErrorCode::wrong_type, at, "object");
        In in{*it, &at, error};
        members(in);
    }

    void fail(ErrorCode code, const KeyPath& at, std::string detail) {
        if (!error) error = Error{code, at.text(), std::move(detail)};
    }
    bool expect(bool holds, const KeyPath& at, const char* what) {
        if (!holds) fail(ErrorCode::wrong_type, at, what);
        return holds;
    }

    void read(std::string& v, const JsonValue& j, const KeyPath& at) {
        if (expect(j.is(Type::text), at, "string")) v = j.text;
    }
    void read(bool& v, const JsonValue& j, const KeyPath& at) {
        if (expect(j.is(Type::boolean), at, "true or false")) v = j.truth;
    }
    void read(double& v, const JsonValue& j, const KeyPath& at) {
        if (expect(j.is(Type::number), at, "number")) v = j.number;
    }
    void read(std::int64_t& v, const JsonValue& j, const KeyPath& at) {
        double number = 0.0;
        read(number, j, at);
        const bool whole = std::fabs(number) < exact_integer && number == std::floor(number);
        if (expect(whole, at, "whole number")) v = static_cast<std::int64_t>(number);
    }
    void read(int& v, const JsonValue& j, const KeyPath& at) {
        std::int64_t whole = 0;
        read(whole, j, at);
        v = static_cast<int>(whole);
    }
    void read(std::uint32_t& v, const JsonValue& j, const KeyPath& at) {
        std::int64_t whole = 0;
        read(whole, j, at);
        if (expect(whole >= 0 && whole <= UINT32_MAX, at, "whole number"))
            v = static_cast<std::uint32_t>(whole);
    }
    void read(Length& v, const JsonValue& j, const KeyPath& at) { read(v.value, j, at); }
    void read(Angle& v, const JsonValue& j, const KeyPath& at) {
        double deg = 0.0;
        read(deg, j, at);
        v = degrees(deg);
    }
    void read(std::pair<Length, Length>& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::list) && j.count == 2, at, "[unit length, ride height]")) return;
        read(v.first, *j.begin(), {&at, {}, 0});
        read(v.second, *j.begin()->next(), {&at, {}, 1});
    }
    void read(Id& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::text), at, "id")) return;
        const auto id = id_from_text(j.text);
        if (expect(id.has_value(), at, "id")) v = *id;
    }
    void read(Point& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::text), at, "point")) return;
        const auto point = point_of_key(j.text);
        if (!point) return fail(ErrorCode::out_of_range, at, "a point this version knows");
        v = *point;
    }
    template <class T>
    void read(std::optional<T>& v, const JsonValue& j, const KeyPath& at) {
        read(v.emplace(), j, at);
    }
    template <class T>
    void read(std::vector<T>& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::list), at, "list")) return;
        if (j.count > list_cap) return fail(ErrorCode::too_large, at, std::to_string(list_cap));
        v.clear();
        const JsonValue* one = j.begin();
        for (std::uint32_t i = 0; i < j.count && !error; ++i, one = one->next())
            read(v.emplace_back(), *one, {&at, {}, i});
    }
    template <class T>
    requires std::is_enum_v<T>
    void read(T& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::text), at, "string")) return;
        const std::string_view text = j.text;
        std::string known;
        for (int i = 0; i < enumerator_count<T>; ++i) {
            const auto one = static_cast<T>(i);
            if (key(one) == text) return void(v = one);
            known.append(i ? " | " : "").append(key(one));
        }
        fail(ErrorCode::out_of_range, at, known);
    }
    template <class T>
    requires std::is_class_v<T>
    void read(T& v, const JsonValue& j, const KeyPath& at) {
        if (!expect(j.is(Type::object), at, "object")) return;
        In in{j, &at, error};
        fields(in, v);
        in.valid(v);
    }

    // An imported reading must pass the same rules as a typed one: later code relies on them.
    template <class T>
    void valid(const T&) {}
    void valid(const Rocker& v) {
        if (v.side != 1 && v.side != -1) fail(ErrorCode::out_of_range, {path, "side"}, "1 or -1");
    }
    void valid(const ReadingBody& v) { valid(v.reading); }
    void valid(const SwapBody& v) {
        if (v.parts.empty()) fail(ErrorCode::missing, {path, "parts"}, "one part at least");
    }
    void valid(const BaselineValue& v) { valid(v.stored.reading); }
    void valid(const SetValue& v) { valid(v.reading); }
    void valid(const Reading& v) {
        if (error) return;
        if (const auto good = validate(v); !good)
            fail(good.error().code, {path, facts(v.point).key}, good.error().detail);
    }
};

template <std::size_t I = 0>
Result<Body> body_of(std::string_view kind, const JsonValue& object) {
    if constexpr (I == std::variant_size_v<AnyBody>) {
        return Error{ErrorCode::not_found, std::string(kind), ""};
    } else {
        Body body{std::in_place_index<I>};
        if (kind_of(body) != kind) return body_of<I + 1>(kind, object);
        std::optional<Error> error;
        In in{object, nullptr, error};
        fields(in, std::get<I>(body));
        in.valid(std::get<I>(body));
        if (error) return *error;
        return body;
    }
}

}  // namespace

std::string unit_suffix(Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return "_mm";
        case Dimension::rate:
            return "_n_per_mm";
        case Dimension::force:
            return "_n";
        case Dimension::mass:
            return "_kg";
        case Dimension::angle:
            return "_rad";
        case Dimension::pressure:
            return "_mpa";
        case Dimension::turns:
            return "_turns";
        case Dimension::clicks:
            return "_clicks";
        case Dimension::temperature:
            return "_c";
        case Dimension::volume:
            return "_mm3";
        case Dimension::length_per_turn:
            return "_mm_per_turn";
        case Dimension::count:
        case Dimension::ratio:
        case Dimension::text:
            break;
    }
    return "";
}

std::optional<double> mean_of(const Reading& reading) {
    if (is_text(reading.point) || !validate(reading)) return std::nullopt;
    double sum = 0.0;
    for (const Typed& typed : reading.repeats) sum += canonical_value(typed);
    return sum / static_cast<double>(reading.repeats.size());
}

std::string body_json(const Body& body) {
    return print_json(std::visit([](const auto& b) { return Out::value(b); }, body));
}

Result<Body> body_from_json(std::string_view kind, std::string_view text) {
    const auto values = JsonValues::read(text);
    if (!values) return values.error();
    const JsonValue& object = values->root();
    if (!object.is(JsonValue::Type::object)) return Error{ErrorCode::wrong_type, "json", "object"};
    try {
        return body_of(kind, object);
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, std::string(kind), e.what()};
    }
}

Result<Fact> decode(const Entry& entry) {
    auto body = body_from_json(entry.kind, entry.body);
    if (!body) return body.error();
    return Fact{entry, std::move(*body)};
}

std::vector<Unread> read_into(Ledger& ledger, const std::vector<Entry>& entries) {
    std::vector<Unread> unread;
    for (const Entry& entry : entries) {
        auto fact = decode(entry);
        if (fact) {
            ledger.apply(std::move(*fact));
            continue;
        }
        ledger.apply_unknown(entry);
        unread.push_back({entry.id, fact.error()});
    }
    return unread;
}

NewEntry encode(const Body& body, Id bike, Id about, Id by, std::vector<Id> supersedes) {
    return {std::string(kind_of(body)), bike, about, by, std::move(supersedes), body_json(body)};
}

bool takes_the_place_of(const NewEntry& later, const NewEntry& earlier) {
    if (earlier.kind != later.kind || earlier.bike != later.bike || earlier.about != later.about)
        return false;
    if (earlier.body == later.body) return true;
    const auto old = body_from_json(earlier.kind, earlier.body), now = body_from_json(later.kind, later.body);
    return old && now && takes_the_place_of(*now, *old);
}

}  // namespace restand
