#include "platform/terminal/exchange.h"
#include "platform/system.h"

#include "core/sync/sync_bundle.h"

#include "app/sentences.h"
#include "core/sync/device_rest.h"
#include "core/sync/postgres.h"
#include "platform/modules/modules.h"
#include "platform/terminal/devices.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

struct Traffic {
    std::uint64_t put = 0, taken = 0;
    std::vector<Error> refused;
    std::string clocks;  // what is wrong with the clocks
    std::vector<Seen> seen;
};

// A server, and the module that speaks to it.
struct ServerPlace {
    const ServerModule* module;
    PostgresPlace place;
};
Result<std::vector<Seen>> look(const ServerPlace& server, const Sender& me) {
    return server.module->look(server.place, me);
}
Result<std::uint64_t> put(const ServerPlace& server, const Sender& me, const Those& those) {
    return server.module->put(server.place, me, those, nullptr);
}
Result<Taken> take(const ServerPlace& server, const Sender& me) {
    return server.module->take(server.place, me, nullptr);
}

// Sends first: then the place holds all our entries, and only new ones come back.
template <class Place>
Result<Traffic> exchange_with(const Place& place, Store& store) {
    Traffic traffic;
    const Those those = [&store](const std::vector<Lack>& wanted) { return store.those(wanted); };
    auto me = sender_of(store);
    if (!me) return me.error();
    const auto written = put(place, *me, those);
    if (!written) return written.error();
    traffic.put = *written;
    auto taken = take(place, *me);
    if (!taken) return taken.error();
    const auto merged = store.merge(taken->entries);
    if (!merged) return merged.error();
    traffic.taken = merged->added;
    traffic.clocks = clocks_apart(merged->clock_apart_ms);
    traffic.refused = std::move(taken->refused);
    traffic.refused.insert(traffic.refused.end(), merged->refused.begin(), merged->refused.end());
    if (merged->added > 0) {
        if (const auto back = come_back(store); !back) return back.error();
        // Sends again, so that the place knows what we hold now.
        me = sender_of(store);
        if (!me) return me.error();
        const auto again = put(place, *me, those);
        if (!again) return again.error();
        traffic.put += *again;
    }
    auto seen = look(place, *me);
    if (!seen) return seen.error();
    const auto known = store.opening();
    if (!known) return known.error();
    leave_out(*seen, *known);
    traffic.seen = std::move(*seen);
    return traffic;
}

void print_seen(const Traffic& traffic, std::ostream& out) {
    for (const Seen& seen : traffic.seen) {
        out << "  " << padded(seen.sender.name.empty() ? "no name yet" : seen.sender.name, 24)
            << padded(in_hex(seen.sender.device), 18);
        if (seen.lacks == 0 && seen.has == 0) out << "has the same\n";
        if (seen.lacks > 0) out << "lacks " << seen.lacks << (seen.has ? ", " : "\n");
        if (seen.has > 0) out << "has " << seen.has << " that are missing here\n";
    }
    if (traffic.seen.empty()) out << "  no other device has been here yet\n";
}

int report(const Result<Traffic>& traffic, const std::string& place, const WorkshopPath& where,
           std::ostream& out, std::ostream& err) {
    if (!traffic) return complain(err, as_shown(traffic.error(), where));
    out << place << ": " << traffic->put << (traffic->put == 1 ? " entry" : " entries") << " put, "
        << traffic->taken << " taken\n";
    print_seen(*traffic, out);
    if (!traffic->clocks.empty()) err << "restand: " << traffic->clocks << "\n";
    // Half-written and damaged files are not this device's fault: they are named, and read again next time.
    for (const Error& one : traffic->refused)
        err << "restand: passed over: " << plain_line(sentence(one)) << "\n";
    return exit_done;
}

template <class Place>
int meet_at(const Place& place, const std::string& shown, const Request& request, std::ostream& out,
            std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    // The place is known to exist before the workshop file is opened or made.
    if (const auto there = look(place, Sender{}); !there) return complain(err, there.error());
    Result<Store> store = open_to_write(*at, Store::Mode::create, err);
    if (!store) return complain(err, store.error());
    if (const auto named = name_device(*store, host_name()); !named)
        return complain(err, as_shown(named.error(), *at));
    return report(exchange_with(place, *store), shown, *at, out, err);
}

}  // namespace

int exchange(const Request& request, std::ostream& out, std::ostream& err) {
    if (request.schema) return out << postgres_schema(), exit_done;
    if (request.operands.empty() == !request.postgres) {
        err << "restand: exchange needs one place: restand exchange FOLDER, or exchange --postgres "
               "CONNECTION\n";
        return exit_bad_input;
    }
    if (request.postgres) {
        const auto module = server_module();
        if (!module) return complain(err, module.error());
        const ServerPlace server{*module, {std::string(*request.postgres)}};
        return meet_at(server, "PostgreSQL", request, out, err);
    }
    const std::string folder(request.operands.front());
    return meet_at(FolderPlace{folder}, folder, request, out, err);
}

}  // namespace restand
