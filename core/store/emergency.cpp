#include "core/store/emergency.h"

#include <algorithm>
#include <filesystem>

#include "core/codec/canonical.h"
#include "core/codec/json_text.h"
#include "core/files/file.h"

namespace restand {
namespace {

using nlohmann::json;

constexpr std::uint64_t set_aside_cap = 64 << 20;

std::string file_in(const std::string& folder) {
    return (std::filesystem::path(folder) / "restand-set-aside.txt").string();
}
std::string thrown_in(const std::string& folder) {
    return (std::filesystem::path(folder) / "restand-thrown-away.txt").string();
}

std::string line_of(const NewEntry& e, std::int64_t at_ms) {
    json object = {{"kind", e.kind}, {"body", e.body}, {"supersedes", json::array()}, {"at_ms", at_ms}};
    for (const auto& [key, id] : {std::pair{"bike", e.bike}, {"about", e.about}, {"by", e.by}})
        if (!id.nil()) object[key] = to_text(id);
    for (const Id& id : e.supersedes) object["supersedes"].push_back(to_text(id));
    const std::string text = print_json(object);
    return to_text(sha256(text)) + " " + text + "\n";
}

bool take_id(const json& from, Id& to) {
    const auto id = from.is_string() ? id_from_text(from.get_ref<const std::string&>()) : Result<Id>(Error{});
    if (id) to = *id;
    return id.has_value();
}

std::optional<RejectedEntry> rejected_entry_of(std::string_view line) {
    constexpr std::size_t hash_size = 64;
    if (line.size() <= hash_size + 1 || line[hash_size] != ' ') return std::nullopt;
    const auto text = line.substr(hash_size + 1);
    if (to_text(sha256(text)) != line.substr(0, hash_size)) return std::nullopt;
    const auto object = parse_json(text);
    if (!object || !object->is_object()) return std::nullopt;
    RejectedEntry kept;
    NewEntry& e = kept.entry;
    for (const auto& [key, value] : object->items()) {
        if (key == "at_ms" && value.is_number_integer()) kept.at_ms = value.get<std::int64_t>();
        if (key == "kind" && value.is_string()) e.kind = value.get<std::string>();
        if (key == "body" && value.is_string()) e.body = value.get<std::string>();
        const bool good = (key != "bike" || take_id(value, e.bike)) &&
                          (key != "about" || take_id(value, e.about)) &&
                          (key != "by" || take_id(value, e.by));
        if (!good) return std::nullopt;
        if (key != "supersedes") continue;
        if (!value.is_array()) return std::nullopt;
        for (const json& one : value)
            if (!take_id(one, e.supersedes.emplace_back())) return std::nullopt;
    }
    if (e.kind.empty()) return std::nullopt;
    return kept;
}

// A line of the file, without its line end. The line end is the last byte written: without it the line is
// torn, even if its hash matches.
struct SetAsideLine {
    std::string_view text;
    std::optional<RejectedEntry> kept;
};
std::vector<SetAsideLine> lines_of(std::string_view text) {
    std::vector<SetAsideLine> lines;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = text.find('\n', at);
        const bool torn = end == std::string_view::npos;
        const auto line = text.substr(at, torn ? end : end - at);
        if (!line.empty()) lines.push_back({line, torn ? std::nullopt : rejected_entry_of(line)});
        at = torn ? text.size() : end + 1;
    }
    return lines;
}

// Appends and syncs; a line torn earlier is ended first.
Outcome keep_line(const std::string& folder, const std::string& path, std::string line) {
    const OpenFile file(path, OpenFile::How::add);
    if (!file) return system_error(path);
    const std::int64_t size = file.size();
    char last = '\n';
    if (size < 0 || (size > 0 && !file.read_last(last))) return system_error(path);
    if (last != '\n') line.insert(line.begin(), '\n');
    if (!file.write(line) || !file.sync()) return system_error(path);
    return sync_folder(folder);
}

// The text of the file; empty if there is none.
Result<std::string> text_of(const std::string& folder) {
    auto text = read_file(file_in(folder), set_aside_cap);
    if (!text && text.error().code == ErrorCode::not_found) return std::string();
    return text;
}

// Replaces the file with the lines that stay; deletes it if there are none.
Outcome rewrite(const std::string& folder, const std::string& lines) {
    const std::string path = file_in(folder);
    if (!lines.empty()) return write_file_durably(path, lines);
    if (const auto removed = remove_file(path); !removed) return removed;
    return sync_folder(folder);
}

}  // namespace

Outcome keep_rejected(const std::string& folder, const NewEntry& entry, std::int64_t at_ms) {
    return keep_line(folder, file_in(folder), line_of(entry, at_ms));
}

Result<Rejected> read_rejected(const std::string& folder) {
    const auto text = text_of(folder);
    if (!text) return text.error();
    Rejected rejected;
    for (SetAsideLine& line : lines_of(*text)) {
        if (line.kept)
            rejected.entries.push_back(std::move(*line.kept));
        else
            ++rejected.unreadable;
    }
    return rejected;
}

Outcome forget_rejected(const std::string& folder,
                        const std::function<bool(const RejectedEntry&)>& found_its_place) {
    const auto text = text_of(folder);
    if (!text) return text.error();
    if (text->empty()) return Done{};
    bool changed = false;
    std::string left;
    for (const SetAsideLine& line : lines_of(*text)) {
        if (line.kept && found_its_place(*line.kept))
            changed = true;
        else
            (left += line.text) += '\n';
    }
    if (!changed) return Done{};
    return rewrite(folder, left);
}

// Written to the new place first, then removed here: a power cut between the two leaves it in both.
Result<std::string> throw_away(const std::string& folder, const std::vector<RejectedEntry>& these) {
    const auto text = text_of(folder);
    if (!text) return text.error();
    std::string left, thrown;
    for (const SetAsideLine& line : lines_of(*text)) {
        const bool stays = line.kept && std::find(these.begin(), these.end(), *line.kept) == these.end();
        ((stays ? left : thrown) += line.text) += '\n';
    }
    const std::string path = thrown_in(folder);
    if (thrown.empty()) return path;
    if (const auto kept = keep_line(folder, path, thrown); !kept) return kept.error();
    if (const auto done = rewrite(folder, left); !done) return done.error();
    return path;
}

}  // namespace restand
