#include "platform/terminal/backup.h"
#include "platform/system.h"

#include "core/store/backup.h"

#include <filesystem>

#include "app/sentences.h"
#include "platform/terminal/devices.h"
#include "platform/terminal/list_json.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

// In a separate folder beside the workshop file.
std::string usual_folder(const std::string& workshop) {
    return (std::filesystem::path(workshop).parent_path() / "backups").string();
}

std::string folder_of(const Request& request, const WorkshopPath& where) {
    return request.operands.empty() ? usual_folder(where.path) : std::string(request.operands.front());
}

// The device's name before a restore; a file too damaged to give it had the host's name.
Sender as_it_was(const std::string& workshop) {
    const Result<Store> store = Store::open(workshop, Store::Mode::read);
    if (!store) return {0, host_name(), 0, {}};
    auto sender = sender_of(*store);
    return sender ? std::move(*sender) : Sender{store->device(), host_name(), 0, {}};
}

// The device that made a copy, found by the digits in the copy's name.
std::string whose(std::uint64_t device, std::uint64_t own) {
    if (device == 0) return padded("device unknown", 18);
    if (device == own) return padded("this device", 18);
    return padded("device " + in_hex(device).substr(0, 8), 18);
}

}  // namespace

int backup(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const Result<Store> store = Store::open(at->path, Store::Mode::read);
    if (!store) return complain(err, as_shown(store.error(), *at));
    const std::string folder = folder_of(request, *at);
    std::error_code failed;
    if (request.operands.empty()) std::filesystem::create_directories(folder, failed);
    if (!std::filesystem::is_directory(folder, failed))
        return complain(err, Error{ErrorCode::not_found, folder, "no such folder; is the stick in?"});
    const auto made = back_up(*store, folder, wall_ms());
    if (!made) return complain(err, as_shown(made.error(), *at));
    out << made->path << ": " << made->entries
        << (made->good ? " entries, opened and checked\n" : " entries that could be read\n");
    if (made->good) return exit_done;
    err << "restand: " << at->shown
        << " has damage; the copy holds what can be read of it, older good copies stay "
        << "('restand check' names the damage, 'restand restore' goes back to a good copy)\n";
    return exit_bad_input;
}

int list_backups(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const std::string folder = folder_of(request, *at);
    std::error_code failed;
    if (!request.operands.empty() && !std::filesystem::is_directory(folder, failed))
        return complain(err, Error{ErrorCode::not_found, folder, "no such folder"});
    const Result<Store> store = Store::open(at->path, Store::Mode::read);
    const std::uint64_t own = store ? store->device() : 0;
    const auto made = backups(folder, at->path, own);
    if (!made) return complain(err, as_shown(made.error(), *at));
    if (made->empty()) out << "No backups yet.\n";
    for (const Backup& one : *made)
        out << padded(utc_text(one.at_ms), 22) << padded(std::to_string(one.entries) + " entries", 18)
            << padded(one.good         ? "good"
                      : one.of_damaged ? "partial"
                                       : "damaged",
                      9)
            << whose(one.device, own) << one.path << "\n";
    return exit_done;
}

int restore(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const std::string backup(request.operands.front());
    std::error_code failed;
    const bool was_there = std::filesystem::exists(at->path, failed);
    const Sender before = as_it_was(at->path);
    const auto kept = restore_backup(backup, at->path, wall_ms(), request.other);
    if (!kept) return complain(err, as_shown(kept.error(), *at));
    out << at->shown << " is as it was in " << backup;
    if (was_there && !kept->empty()) out << "; what was there before is kept as " << *kept;
    out << "\n";
    Result<Store> store = Store::open(at->path, Store::Mode::write);
    const Outcome named = store ? name_device(*store, before.name, before.device) : Outcome(store.error());
    if (named) return exit_done;
    err << "restand: this device could not be given its name in it; 'Devices and copies' in the app does\n";
    return complain(err, as_shown(named.error(), *at));
}

}  // namespace restand
