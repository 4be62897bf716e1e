#include "core/codec/draft.h"

#include <iterator>

#include "core/codec/bounded_archive.h"
#include "core/codec/bundle.h"

namespace restand {
namespace {

constexpr std::string_view draft_kind = "DRFT";
// 2: state of the season screens; 3: keys in place of numbers; 4: the pad's instrument; 5: a job
constexpr std::uint32_t draft_version = 5;
constexpr std::uint64_t draft_cap = 1ull << 20;  // bytes

template <class Archive>
void archive_field(Archive& archive, Id& id) {
    for (auto& byte : id.bytes) archive(byte);
}

// Versions 1 and 2 wrote a number. It is kept as digits; app/draft_keys.h maps these old numbers to keys.
template <class Archive>
void put_key(Archive& archive, std::string& key, std::uint32_t version) {
    if (version >= 3) return void(archive(key));
    int number = 0;
    archive(number);
    key = std::to_string(number);
}

template <class Archive>
void archive_field(Archive& archive, Unit& unit, std::uint32_t version) {
    using enum Unit;
    constexpr Unit numbered[] = {mm,   inch,  n_per_mm, kgf_per_mm,  lbf_per_in,   newton, lbf,
                                 kgf,  kg,    lb,       degree,      bar,          psi,    kpa,
                                 turn, click, one,      mm_per_turn, inch_per_turn};
    std::optional<Unit> read;
    if (version >= 3) {
        std::string name(key(unit));
        archive(name);
        read = unit_of_key(name);
    } else {
        int number = 0;
        archive(number);
        if (number >= 0 && number < static_cast<int>(std::size(numbered))) read = numbered[number];
    }
    if (!read) throw ArchiveFault("a unit that is none");
    unit = *read;
}

// When reading, the vector grows one by one, so a false count allocates no memory before the bytes run out.
template <class Archive>
void archive_field(Archive& archive, std::vector<Typed>& all, std::uint32_t version) {
    auto count = static_cast<cereal::size_type>(all.size());
    archive(cereal::make_size_tag(count));
    for (cereal::size_type i = 0; i < count; ++i) {
        if (i == all.size()) all.emplace_back();
        archive(all[i].text);
        archive_field(archive, all[i].unit, version);
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

// One description for reading and writing. `version` states the format of the draft.
template <class Archive>
void archive_field(Archive& archive, Draft& d, std::uint32_t version) {
    put_key(archive, d.screen, version);
    put_key(archive, d.came_from, version);
    for (Id* id : {&d.bike, &d.swap, &d.baseline, &d.who}) archive_field(archive, *id);
    archive(d.night, d.text_percent, d.reason);
    put_if(archive, d.pad, [&](Draft::Pad& p) {
        for (std::string* key : {&p.of, &p.phase, &p.point, &p.bike_field}) put_key(archive, *key, version);
        archive_field(archive, p.unit, version);
        archive_field(archive, p.repeats, version);
        archive(p.entry, p.where);
        for (std::string* key : {&p.end, &p.event, &p.part})
            if (version >= 2)
                put_key(archive, *key, version);
            else
                *key = "0";
        if (version >= 4) archive(p.instrument, p.settled_anew);
        if (version >= 5) archive(p.job);
    });
    put_if(archive, d.form, [&](Draft::Form& f) {
        archive_field(archive, f.bike);
        archive(f.body);
        put_if(archive, f.half_pair_mm, [&](double& v) { archive(v); });
    });
    if (version < 2) return;
    archive(d.folder);
    for (auto* half : {&d.event, &d.part})
        put_if(archive, *half, [&](Draft::Half& h) {
            archive_field(archive, h.bike);
            archive_field(archive, h.about);
            archive(h.body);
        });
    archive_field(archive, d.target);
    if (version >= 5) archive_field(archive, d.job);
}

}  // namespace

std::string write_draft(const Draft& draft) {
    std::string payload;
    BoundedOut archive(payload);
    Draft copy = draft;
    archive_field(archive, copy, draft_version);
    return seal(draft_kind, draft_version, payload);
}

Result<Draft> read_draft(std::string_view bytes) {
    const auto opened = open_envelope(draft_kind, draft_version, draft_cap, bytes);
    if (!opened) return opened.error();
    try {
        BoundedIn archive(opened->payload);
        Draft draft;
        archive_field(archive, draft, opened->version);
        if (archive.left() != 0) return Error{ErrorCode::damaged, "draft", "bytes behind its end"};
        return draft;
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "draft", e.what()};
    }
}

}  // namespace restand
