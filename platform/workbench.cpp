#include "platform/workbench.h"

#include <algorithm>
#include <chrono>

namespace restand {

namespace {
std::int64_t wall_ms() {
    return std::chrono::duration_cast<std::chrono::milliseconds>(
               std::chrono::system_clock::now().time_since_epoch())
        .count();
}

// Minutes east of UTC where this machine stands, now.
int utc_offset_min() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
#ifdef _WIN32
    localtime_s(&local, &now);
    const std::time_t as_utc = _mkgmtime(&local);
#else
    localtime_r(&now, &local);
    const std::time_t as_utc = timegm(&local);
#endif
    return static_cast<int>((as_utc - now) / 60);
}

bool only_readable(ErrorCode code) {
    return code == ErrorCode::newer_version || code == ErrorCode::read_only || code == ErrorCode::in_use;
}

const char* why_reading_only(ErrorCode code) {
    if (code == ErrorCode::newer_version)
        return "This file was made by a newer Restand: open for reading only.";
    if (code == ErrorCode::in_use) return "Another Restand has this file open: open for reading only.";
    return "This file may not be written to: open for reading only.";
}
}  // namespace

Result<std::unique_ptr<Workbench>> Workbench::open(const std::filesystem::path& workshop, Glass glass,
                                                   std::function<void()> wake) {
    auto store = Store::open(workshop.string(), Store::Mode::create);
    Desk desk;
    if (!store && only_readable(store.error().code)) {
        desk.notice = DeskNotice{why_reading_only(store.error().code), false, true};
        store = Store::open(workshop.string(), Store::Mode::read);
    }
    if (!store) return store.error();
    const auto entries = store->opening();
    if (!entries) return entries.error();
    desk.file_name = workshop.filename().string();
    desk.writable = store->writable();
    desk.utc_offset_min = utc_offset_min();
    loaded(desk, *entries);
    if (const auto bytes = store->draft(); bytes && !bytes->empty())
        if (const auto draft = read_draft(*bytes)) take_draft(desk, *draft);
    // A new workshop begins with a name: every reading bears one.
    if (desk.ledger.people().empty() && desk.writable) desk.screen = Screen::people;
    return std::unique_ptr<Workbench>(
        new Workbench(std::move(*store), std::move(desk), glass, std::move(wake)));
}

Workbench::Workbench(Store store, Desk desk, Glass glass, std::function<void()> wake)
    : app_(std::move(desk), glass, wall_ms), writer_(std::move(store), std::move(wake)) {
    kept_draft_ = draft_of(app_.desk());
    carry_out();
}

Workbench::~Workbench() = default;

void Workbench::handle(const Event& event) {
    bring_back();
    app_.handle(event);
    carry_out();
}

ImDrawData* Workbench::frame(double seconds) {
    bring_back();
    ImDrawData* data = app_.frame(seconds);
    carry_out();
    return data;
}

void Workbench::act(const Action& action) {
    bring_back();
    app_.act(action);
    carry_out();
}

void Workbench::settle() {
    do {
        writer_.drain();
        bring_back();
        carry_out();
    } while (!jobs_.empty() || writer_.waiting() > 0);
}

void Workbench::carry_out() {
    for (Effect& effect : app_.take_effects()) {
        if (auto* append = std::get_if<effect::Append>(&effect))
            jobs_.emplace_back(writer_.append(std::move(append->entries)).value, append->job);
        else if (const auto* load = std::get_if<effect::LoadBaselines>(&effect))
            jobs_.emplace_back(
                writer_.ask([bike = load->bike](Store& s) { return s.of_bike(bike, "baseline"); }).value, 0);
    }
    if (!app_.desk().writable) return;
    Draft draft = draft_of(app_.desk());
    if (draft == kept_draft_) return;
    writer_.keep_draft(write_draft(draft));
    kept_draft_ = std::move(draft);
}

void Workbench::bring_back() {
    for (const Written& written : writer_.collect()) {
        const auto it = std::find_if(jobs_.begin(), jobs_.end(),
                                     [&](const auto& j) { return j.first == written.ticket.value; });
        if (it == jobs_.end()) continue;
        const std::uint64_t job = it->second;
        jobs_.erase(it);
        if (job != 0)
            app_.written(job, written.entries);
        else if (written.entries)
            app_.loaded(*written.entries);
    }
}

}  // namespace restand
