#pragma once
// The "bike" object of a case. Inside core/casefile only.

#include "core/casefile/bike_json.h"
#include "core/casefile/case_fields.h"
#include "core/casefile/measured_json.h"

namespace restand::case_file {

struct BikeRead {
    WholeBike bike;
    std::optional<Weighed> weighed;
    std::optional<LinkageTable> table;
    std::optional<EngineDrive> engine;
};

BikeRead read_bike(const Json* node, FirstError& error);

}  // namespace restand::case_file
