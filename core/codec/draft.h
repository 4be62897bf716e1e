#pragma once
// Unfinished input on the screen, saved so that a flat battery costs at most the digit being typed.
// Transient: a draft is dropped if it cannot be read or no longer matches the workshop; it holds no finished
// work. Stored in an envelope (bundle.h) of kind "DRFT". Errors of read_draft(): as open_envelope().

#include <optional>
#include <string>
#include <vector>

#include "core/ledger/entry.h"
#include "core/quantity/unit.h"

namespace restand {

struct Draft {
    std::string screen, came_from;       // keys of the app; version 1 and 2 have digits (app/draft_keys.h)
    Id bike, swap, baseline, who;
    bool night = false;
    int text_percent = 100;
    std::string reason;
    struct Pad {
        std::string of, phase, point, bike_field;   // keys as above
        Unit unit = Unit::mm;
        std::vector<Typed> repeats;
        std::string entry, where;
        std::string end, event, part;               // keys as above
        std::string instrument;                     // its name; "" before version 4
        bool settled_anew = false;
        std::string job = "what";                   // key as above; "what" before version 5
        friend bool operator==(const Pad&, const Pad&) = default;
    };
    std::optional<Pad> pad;
    struct Form {
        Id bike;
        std::string body;                // JSON of a bike
        std::optional<double> half_pair_mm;
        friend bool operator==(const Form&, const Form&) = default;
    };
    std::optional<Form> form;
    std::string folder;                  // exchange folder of this device
    struct Half {                        // unfinished description of a session or a part
        Id bike, about;
        std::string body;                // JSON
        friend bool operator==(const Half&, const Half&) = default;
    };
    std::optional<Half> event, part;
    Id target;                           // of the restore plan on view
    Id job;                              // on the screen; nil: a new one
    friend bool operator==(const Draft&, const Draft&) = default;
};

std::string write_draft(const Draft& draft);
Result<Draft> read_draft(std::string_view bytes);

}  // namespace restand
