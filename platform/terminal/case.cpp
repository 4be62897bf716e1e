#include "platform/terminal/case.h"

#include <filesystem>

#include "core/casefile/case_json.h"
#include "core/files/file.h"
#include "platform/bike_file.h"
#include "platform/terminal/solve.h"
#include "platform/terminal/workshop.h"

namespace restand {

int case_of_bike(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Bike*> bike = bike_of(workshop->ledger, request.operands.front());
    if (!bike) return complain(err, bike.error());
    const Result<std::string> text = bike_file(workshop->store, (*bike)->id);
    if (!text) return complain(err, text.error());
    if (!request.output) return out << *text, exit_done;
    const std::string name(*request.output);
    if (const auto refused = may_write(request, name, err)) return *refused;
    if (const Outcome written = write_file_durably(name, *text); !written)
        return complain(err, written.error());
    out << name << ": " << plain_line((*bike)->body.name) << " written\n";
    return exit_done;
}

int take_case(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    const Result<std::string> text = read_bytes(name, case_cap);
    if (!text) return complain(err, text.error());
    const Result<LedgerCase> c = read_ledger_case(*text);
    if (!c) return complain(err, in_case(name, c.error()));
    if (!request.yes) {
        out << plain_line(c->bike.name) << ": a bike with " << c->set_up.size()
            << " values can be taken; nothing was written (--yes writes it)\n";
        return exit_done;
    }
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    Result<Store> store = open_to_write(*at, Store::Mode::create, err);
    if (!store) return complain(err, store.error());
    const auto taken = take_bike(*store, *c, std::filesystem::path(name).filename().string(), {});
    if (!taken) return complain(err, as_shown(taken.error(), *at));
    out << plain_line(taken->name) << ": taken, " << taken->values << " values\n";
    return exit_done;
}

}  // namespace restand
