#pragma once
// Devices, copies and files.

#include <optional>
#include <string>
#include <vector>

#include "app/meeting/meeting_actions.h"
#include "app/task_result.h"

namespace restand {

struct Meeting {                           // devices, copies, files
    std::vector<FoundPlace> places;
    std::string folder;                    // where this device exchanges; kept in the draft
    std::vector<Seen> devices;
    std::string own_name;
    bool looked = false;
    std::vector<CopyOnDisk> copies;
    std::string copy_trouble;              // why automatic copies fail, and what to do; empty: no trouble
    bool no_workshop = false;              // no readable workshop at its place: a new one may be started
    std::vector<Error> refused;            // refused in the last exchange
    RejectedEntries rejected;
    std::string table_path;
    std::optional<Table> table;
    std::vector<ColumnUse> columns;
    bool month_first = false;
};

void came_back(AppState& state, std::uint64_t job, const Result<TaskResult>& task_result);

}  // namespace restand
