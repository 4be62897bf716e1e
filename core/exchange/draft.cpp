#include "core/exchange/draft.h"

#include "core/exchange/bounded_archive.h"
#include "core/exchange/bundle.h"

namespace restand {
namespace {

constexpr std::string_view draft_kind = "DRFT";
constexpr std::uint32_t draft_version = 2;  // 2: what the season's screens hold
constexpr std::uint64_t draft_cap = 1ull << 20;  // bytes

template <class Archive>
void put(Archive& archive, Id& id) {
    for (auto& byte : id.bytes) archive(byte);
}

// Reading grows the vector one by one, so a false count costs no memory before the bytes run out.
template <class Archive>
void put(Archive& archive, std::vector<Typed>& all) {
    auto count = static_cast<cereal::size_type>(all.size());
    archive(cereal::make_size_tag(count));
    for (cereal::size_type i = 0; i < count; ++i) {
        if (i == all.size()) all.emplace_back();
        int unit = static_cast<int>(all[i].unit);
        archive(all[i].text, unit);
        if (unit < 0 || unit > static_cast<int>(Unit::inch_per_turn))
            throw ArchiveFault("a unit that is none");
        all[i].unit = static_cast<Unit>(unit);
    }
}

template <class Archive, class T, class F>
void put_if(Archive& archive, std::optional<T>& value, F each) {
    bool there = value.has_value();
    archive(there);
    if (!there) return value.reset();
    if (!value) value = T{};  // emplace() asks clang 14 for a constructor it does not see yet
    each(*value);
}

// One description for both directions; `version` from the first day.
template <class Archive>
void put(Archive& archive, Draft& d, std::uint32_t version) {
    archive(d.screen, d.came_from);
    for (Id* id : {&d.bike, &d.swap, &d.baseline, &d.who}) put(archive, *id);
    archive(d.night, d.text_percent, d.reason);
    put_if(archive, d.pad, [&](Draft::Pad& p) {
        archive(p.of, p.phase, p.point, p.bike_field, p.unit);
        put(archive, p.repeats);
        archive(p.entry, p.where);
        if (version >= 2) archive(p.end, p.event, p.part);
    });
    put_if(archive, d.form, [&](Draft::Form& f) {
        put(archive, f.bike);
        archive(f.body);
        put_if(archive, f.half_pair_mm, [&](double& v) { archive(v); });
    });
    if (version < 2) return;
    archive(d.folder);
    for (auto* half : {&d.event, &d.part})
        put_if(archive, *half, [&](Draft::Half& h) {
            put(archive, h.bike);
            put(archive, h.about);
            archive(h.body);
        });
    put(archive, d.target);
}

}  // namespace

std::string write_draft(const Draft& draft) {
    std::string payload;
    BoundedOut archive(payload);
    Draft copy = draft;
    put(archive, copy, draft_version);
    return seal(draft_kind, draft_version, payload);
}

Result<Draft> read_draft(std::string_view bytes) {
    const auto opened = open_envelope(draft_kind, draft_version, draft_cap, bytes);
    if (!opened) return opened.error();
    try {
        BoundedIn archive(opened->payload);
        Draft draft;
        put(archive, draft, opened->version);
        if (archive.left() != 0) return Error{ErrorCode::damaged, "draft", "bytes behind its end"};
        return draft;
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "draft", e.what()};
    }
}

}  // namespace restand
