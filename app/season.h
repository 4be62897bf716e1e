#pragma once
// What the season's screens hold: what was asked for and has come, and what is half typed.

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/errand.h"
#include "core/ledger/way_back.h"
#include "core/restore/spring_choice.h"

namespace restand {

struct EventForm {
    Id bike;
    EventBody body;
    friend bool operator==(const EventForm&, const EventForm&) = default;
};
struct PartForm {
    Id bike, part;                         // part nil: a new one
    PartBody body;
    friend bool operator==(const PartForm&, const PartForm&) = default;
};

// What is tried, looked at and wished for on attitude and chain: of one bike, not so on it, not on disk. Another bike has
// another.
struct Trial {
    Id tried_on{};
    std::vector<SetValue> tried{};
    TravelPlot over_travel = TravelPlot::none;
    std::optional<double> wanted_ratio{};   // nullopt: as it is
    double wanted_slack = 0;               // at the tight spot, mm; 0: as much as there is
    bool gears = false;                    // on the chain screen: speed in each gear in place of the chain
};

struct Season : Trial {
    std::vector<SwapPart> chosen;          // to be swapped, tidy
    Id item;                               // of the shelf, on the screen
    std::optional<SpringWish> wish;        // nullopt: as it is to begin with

    HistoryQuery query;
    std::vector<Entry> moments, with_them; // newest first
    std::set<Id> set_aside;
    bool more = false, asked = false;      // asked: a page is on its way

    std::optional<Entry> moment;           // opened from the time line
    std::optional<Entry> one, other;       // compared; other nullopt: the bike as it is
    Id taken;                              // remembered for a comparison
    bool same_shown = false;               // of the comparison, also what did not change
    Id target;                             // of the way shown; the open way has its own

    Watched what = Watched::rider_sag;
    End end = End::rear;
    Point point = Point::spring_free_length;
    std::vector<Sample> samples;
    std::vector<PartUse> parts;
    bool watched = false;                  // samples are those of what/end/point

    State looked_at = State::rider;
    double at_kmh = 100;                   // of which the engine speed in each gear is shown

    std::optional<EventForm> event;
    std::optional<PartForm> part;
};

struct Meeting {                           // devices, copies, files
    std::vector<FoundPlace> places;
    std::string folder;                    // where this device exchanges; kept in the draft
    std::vector<Seen> devices;
    std::string own_name;
    bool looked = false;
    std::vector<CopyOnDisk> copies;
    std::string copy_trouble;              // why no good copy is made by itself, and what to do; empty: all is well
    bool no_workshop = false;              // nothing can be read where the workshop should be: a new one may be begun
    std::vector<Error> refused;            // of the last exchange
    AsideShown aside;
    std::string table_path;
    std::optional<Table> table;
    std::vector<ColumnUse> columns;
    bool month_first = false;
};

// Long work under way: shown with its progress, can be cancelled.
struct Work { std::uint64_t job = 0; std::string what; std::uint64_t done = 0, total = 0; };

}  // namespace restand
