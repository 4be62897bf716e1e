// Reads what is left of a damaged file page by page, bypassing SQLite: an unreadable page loses only its own
// content, not the content found through it. Every row is verified by its own hash, so the structure need not
// be trusted.
// Format: https://www.sqlite.org/fileformat2.html, 1.3 (header), 1.5 (b-tree pages), 1.6 (overflow), 2.1
// (records).
//
// Invariants
//   1  The file is opened for reading and through SQLite's own file layer: another connection of this process
//      keeps its locks. Nothing is written, no journal is rolled back.
//   2  The file is read at most twice, and no more is held than was read, whatever the file claims.

#include <algorithm>
#include <bit>
#include <cstring>
#include <filesystem>
#include <map>
#include <memory>
#include <set>

#include "core/codec/body_json.h"
#include "core/files/file.h"
#include "core/store/backup.h"
#include "core/store/health.h"
#include "core/store/schema.h"

namespace restand {
namespace {

constexpr std::size_t entry_column_count = 13;
constexpr std::uint64_t row_cap = 4 << 20;  // a body has at most 1 MiB
constexpr std::uint64_t salvage_cap = 4ull << 30;
constexpr std::uint8_t index_leaf = 0x0a, index_inner = 0x02;  // a table without rowid is one index

class RawFile {
public:
    Outcome open(const std::string& path) {
        sqlite3_vfs* vfs = sqlite3_vfs_find(nullptr);
        memory_ = std::make_unique<std::byte[]>(static_cast<std::size_t>(vfs->szOsFile));
        file_ = reinterpret_cast<sqlite3_file*>(memory_.get());
        // A name for SQLite ends in two zeros: no parameters follow.
        name_ = path + std::string(2, '\0');
        file_->pMethods = nullptr;
        int flags = SQLITE_OPEN_READONLY | SQLITE_OPEN_MAIN_DB;
        const int code = vfs->xOpen(vfs, name_.c_str(), file_, flags, &flags);
        sqlite3_int64 size = 0;
        if (code != SQLITE_OK || file_->pMethods->xFileSize(file_, &size) != SQLITE_OK)
            return Error{ErrorCode::io, path, "cannot be opened"};
        size_ = static_cast<std::uint64_t>(size);
        return Done{};
    }
    ~RawFile() {
        if (file_ && file_->pMethods) file_->pMethods->xClose(file_);
    }
    std::uint64_t size() const { return size_; }
    bool read(std::uint64_t at, std::span<std::uint8_t> to) const {
        if (at + to.size() > size_) return false;
        return file_->pMethods->xRead(file_, to.data(), static_cast<int>(to.size()),
                                      static_cast<sqlite3_int64>(at)) == SQLITE_OK;
    }

private:
    std::unique_ptr<std::byte[]> memory_;
    sqlite3_file* file_ = nullptr;
    std::string name_;
    std::uint64_t size_ = 0;
};

std::uint64_t big_endian(std::span<const std::uint8_t> bytes) {
    std::uint64_t v = 0;
    for (const std::uint8_t b : bytes) v = v << 8 | b;
    return v;
}

// Reads through bytes in sequence; `good` turns false at the end.
struct Cursor {
    std::span<const std::uint8_t> bytes;
    std::size_t at = 0;
    bool good = true;

    std::span<const std::uint8_t> take(std::uint64_t n) {
        if (!good || n > bytes.size() - at) return good = false, std::span<const std::uint8_t>();
        at += n;
        return bytes.subspan(at - n, n);
    }
    std::uint64_t varint() {
        std::uint64_t v = 0;
        for (int i = 0; i < 9 && good; ++i) {
            const auto b = take(1);
            if (!good) return 0;
            if (i == 8) return v << 8 | b[0];
            v = v << 7 | (b[0] & 0x7f);
            if (b[0] < 0x80) return v;
        }
        return v;
    }
};

struct Field {
    std::uint64_t type = 0;
    std::span<const std::uint8_t> bytes;
    bool null() const { return type == 0; }
    bool blob() const { return type >= 12 && type % 2 == 0; }
    bool text() const { return type >= 13 && type % 2 == 1; }
    bool integer() const { return (type >= 1 && type <= 6) || type == 8 || type == 9; }
    std::int64_t number() const {
        if (type == 8 || type == 9) return static_cast<std::int64_t>(type - 8);
        if (bytes.empty()) return 0;
        const auto raw = big_endian(bytes);
        const int shift = 64 - 8 * static_cast<int>(bytes.size());
        return std::bit_cast<std::int64_t>(raw << shift) >> shift;
    }
};

std::uint64_t bytes_of(std::uint64_t type) {
    constexpr std::uint64_t small[] = {0, 1, 2, 3, 4, 6, 8, 8, 0, 0, 0, 0};
    return type < 12 ? small[type] : (type - 12) / 2;
}

// The fields of a record; empty when they are not `count`.
std::vector<Field> fields_of(std::span<const std::uint8_t> record, std::size_t count) {
    Cursor head{record};
    const std::uint64_t size = head.varint();
    if (!head.good || size > record.size()) return {};
    std::vector<Field> fields;
    while (head.good && head.at < size && fields.size() <= count) fields.push_back({head.varint(), {}});
    if (!head.good || head.at != size || fields.size() != count) return {};
    Cursor body{record, static_cast<std::size_t>(size)};
    for (Field& f : fields) f.bytes = body.take(bytes_of(f.type));
    if (!body.good) return {};
    return fields;
}

template <std::size_t N>
bool read_field(const Field& f, std::array<std::uint8_t, N>& to) {
    if (!f.blob() || f.bytes.size() != N) return false;
    std::copy(f.bytes.begin(), f.bytes.end(), to.begin());
    return true;
}
bool read_field(const Field& f, Id& to) {
    return f.null() || read_field(f, to.bytes);
}
bool read_field(const Field& f, std::string& to) {
    if (f.text()) to.assign(f.bytes.begin(), f.bytes.end());
    return f.text();
}

// In the order of `entry_columns`.
std::optional<Entry> entry_from_fields(const std::vector<Field>& f) {
    Entry e;
    if (f.size() != entry_column_count || !read_field(f[0], e.id.bytes)) return std::nullopt;
    for (const std::size_t i : {1, 2, 3, 4})
        if (!f[i].integer()) return std::nullopt;
    e.device = std::bit_cast<std::uint64_t>(f[1].number());
    e.number = std::bit_cast<std::uint64_t>(f[2].number());
    const std::int64_t counter = f[4].number();
    e.clock = {f[3].number(), static_cast<std::uint32_t>(counter)};
    const bool whole = counter >= 0 && counter <= UINT32_MAX && read_field(f[5], e.previous) &&
                       read_field(f[6], e.kind) && read_field(f[7], e.bike) && read_field(f[8], e.about) &&
                       read_field(f[9], e.by) && f[10].blob() && f[10].bytes.size() % sizeof(Id) == 0 &&
                       read_field(f[11], e.hash) && read_field(f[12], e.body);
    if (!whole) return std::nullopt;
    for (std::size_t at = 0; at < f[10].bytes.size(); at += sizeof(Id))
        std::copy_n(f[10].bytes.begin() + static_cast<std::ptrdiff_t>(at), sizeof(Id),
                    e.supersedes.emplace_back().bytes.begin());
    return e;
}

// The id listed in the index of kinds: kind, bike, id. The index lists every entry, on other pages than the
// entry's own.
std::optional<Id> listed_id(std::span<const std::uint8_t> record) {
    const auto f = fields_of(record, 3);
    Id bike, id;
    if (f.empty() || !f[0].text() || f[0].bytes.empty() || f[0].bytes.size() > 64) return std::nullopt;
    if (!read_field(f[1], bike) || f[2].null() || !read_field(f[2], id)) return std::nullopt;
    return id;
}

bool one_byte_apart(const Id& a, const Id& b) {
    int apart = 0;
    for (std::size_t i = 0; i < a.bytes.size(); ++i) apart += a.bytes[i] != b.bytes[i];
    return apart <= 1;
}

class Salvager {
public:
    explicit Salvager(const RawFile& file) : file_(file) {}
    Result<Salvaged> run(const std::string& path);

private:
    void measure();
    void page(std::uint64_t number);
    void cell(std::span<const std::uint8_t> page, std::size_t at, bool inner);
    bool overflow(std::uint64_t first, std::vector<std::uint8_t>& row, std::uint64_t whole);
    void take(std::span<const std::uint8_t> record);
    void count_lost();
    void report(ErrorCode code, std::string subject, std::string detail) {
        if (out_.found.size() < most_found)
            out_.found.push_back({code, std::move(subject), std::move(detail)});
    }

    const RawFile& file_;
    std::uint64_t page_size_ = 4096, usable_ = 4096, pages_ = 0;
    std::uint64_t left_ = 0;  // bytes of overflow pages that may still be read: each belongs to one row
    std::map<Id, Entry> entries_;
    std::map<Id, std::string> broken_;
    std::set<Id> listed_;
    Salvaged out_;
};

// The header page may be damaged; then the page size that every file of ours has is used.
void Salvager::measure() {
    std::array<std::uint8_t, 100> head{};
    const bool read = file_.read(0, head);
    const bool sqlite = read && std::memcmp(head.data(), database_start.data(), database_start.size()) == 0;
    if (!sqlite) report(ErrorCode::damaged, "header", "");
    std::uint64_t size = big_endian(std::span(head).subspan(16, 2));
    if (size == 1) size = 65536;
    const bool sane = sqlite && size >= 512 && std::has_single_bit(size) && head[20] < 32;
    page_size_ = sane ? size : 4096;
    usable_ = sane ? page_size_ - head[20] : page_size_;
    pages_ = file_.size() / page_size_;
    left_ = file_.size() + page_size_;
}

bool Salvager::overflow(std::uint64_t first, std::vector<std::uint8_t>& row, std::uint64_t whole) {
    std::vector<std::uint8_t> page(usable_);
    while (row.size() < whole) {
        if (first == 0 || first > pages_ || left_ < usable_) return false;
        left_ -= usable_;
        if (!file_.read((first - 1) * page_size_, page)) return false;
        const auto n = std::min<std::uint64_t>(usable_ - 4, whole - row.size());
        row.insert(row.end(), page.begin() + 4, page.begin() + 4 + static_cast<std::ptrdiff_t>(n));
        first = big_endian(std::span(page).first(4));
    }
    return true;
}

void Salvager::cell(std::span<const std::uint8_t> page, std::size_t at, bool inner) {
    Cursor cursor{page, at};
    if (inner) cursor.take(4);
    const std::uint64_t whole = cursor.varint();
    if (!cursor.good || whole < entry_column_count || whole > row_cap) return;
    // How much of a row stays on its page (fileformat2, 1.5, "index b-tree").
    const std::uint64_t most = (usable_ - 12) * 64 / 255 - 23, least = (usable_ - 12) * 32 / 255 - 23;
    std::uint64_t local = whole;
    if (whole > most) {
        local = least + (whole - least) % (usable_ - 4);
        if (local > most) local = least;
    }
    const auto here = cursor.take(local);
    if (!cursor.good) return;
    if (local == whole) return take(here);
    const auto next = cursor.take(4);
    // Checks the local part before fetching the rest: only our rows begin with thirteen fields and an id.
    Cursor head{here};
    const std::uint64_t size = head.varint();
    if (!cursor.good || size < 1 + entry_column_count || size > 1 + entry_column_count * 9 ||
        head.varint() != 12 + 2 * sizeof(Id))
        return;
    std::vector<std::uint8_t> row(here.begin(), here.end());
    if (overflow(big_endian(next), row, whole)) return take(row);
    Id id;
    if (here.size() >= size + sizeof(Id)) {
        std::copy_n(here.begin() + static_cast<std::ptrdiff_t>(size), sizeof(Id), id.bytes.begin());
        broken_.emplace(id, "a page that it reaches over cannot be read");
    }
}

void Salvager::take(std::span<const std::uint8_t> record) {
    const auto fields = fields_of(record, entry_column_count);
    if (fields.empty()) {
        if (const auto id = listed_id(record)) listed_.insert(*id);
        return;
    }
    auto entry = entry_from_fields(fields);
    Id id;
    if (!entry) {
        if (read_field(fields[0], id.bytes)) broken_.emplace(id, "a field has the wrong size");
        return;
    }
    id = entry->id;
    if (entries_.contains(id)) return;
    if (const auto good = verify(*entry); !good)
        broken_.emplace(id, good.error().detail);
    else
        entries_.emplace(id, std::move(*entry));
}

void Salvager::page(std::uint64_t number) {
    std::vector<std::uint8_t> bytes(usable_);
    if (!file_.read(number * page_size_, bytes))
        return report(ErrorCode::io, "page " + std::to_string(number + 1), "");
    const std::size_t head = number == 0 ? 100 : 0;
    const std::uint8_t type = bytes[head];
    if (type != index_leaf && type != index_inner) return;
    const bool inner = type == index_inner;
    const std::size_t first = head + (inner ? 12 : 8);
    const std::size_t cells =
        std::min<std::size_t>(big_endian(std::span(bytes).subspan(head + 3, 2)), (usable_ - first) / 2);
    for (std::size_t i = 0; i < cells; ++i) {
        const auto at = big_endian(std::span(bytes).subspan(first + 2 * i, 2));
        if (at >= first + 2 * cells && at < usable_) cell(bytes, at, inner);
    }
}

// The index lists ids whose pages are lost. If such an id differs in one byte from the id of a row that the
// index lacks, it is the same entry: one of the two is damaged.
void Salvager::count_lost() {
    std::vector<Id> unlisted;
    for (const auto& [id, entry] : entries_)
        if (!listed_.contains(id)) unlisted.push_back(id);
    for (const auto& [id, why] : broken_)
        if (!listed_.contains(id)) unlisted.push_back(id);
    for (const Id& id : listed_) {
        if (entries_.contains(id) || broken_.contains(id)) continue;
        const bool changed = std::any_of(unlisted.begin(), unlisted.end(),
                                         [&](const Id& other) { return one_byte_apart(id, other); });
        if (!changed) broken_.emplace(id, "the page that it was on cannot be read");
    }
}

Result<Salvaged> Salvager::run(const std::string& path) {
    if (file_.size() > salvage_cap) return Error{ErrorCode::too_large, path, std::to_string(salvage_cap)};
    measure();
    for (std::uint64_t n = 0; n < pages_; ++n) page(n);
    if (file_.size() % page_size_ != 0) report(ErrorCode::truncated, path, "the last page is cut");
    count_lost();
    for (const auto& [id, why] : broken_) {
        if (entries_.contains(id)) continue;
        ++out_.unreadable;
        report(ErrorCode::damaged, to_text(id), why);
    }
    for (auto& [id, entry] : entries_) out_.entries.push_back(std::move(entry));
    std::sort(out_.entries.begin(), out_.entries.end(), earlier);
    return std::move(out_);
}

}  // namespace

Result<Salvaged> salvage(const std::string& workshop) {
    RawFile file;
    std::error_code ignored;
    if (!std::filesystem::is_regular_file(workshop, ignored))
        return Error{ErrorCode::not_found, workshop, ""};
    if (const auto opened = file.open(workshop); !opened) return opened.error();
    return Salvager(file).run(workshop);
}

}  // namespace restand
