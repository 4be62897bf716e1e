#pragma once
// The content of an entry, by kind. One struct per kind; codec/body_json.cpp writes and reads the JSON.
// Units in the JSON: lengths mm, rates N/mm, forces N, angles deg; the keys carry the unit as suffix.
// Readings keep the text as typed.
// bike_body.h, job_body.h, swap_body.h and season_body.h have the structs of their areas; the rest is here.

#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>

#include "core/ledger/bike_body.h"
#include "core/ledger/job_body.h"
#include "core/ledger/season_body.h"
#include "core/ledger/swap_body.h"

namespace restand {

struct PersonBody {
    std::string name;
    friend bool operator==(const PersonBody&, const PersonBody&) = default;
};
struct UnitsBody { UnitChoice units; friend bool operator==(const UnitsBody&, const UnitsBody&) = default; };

// Takes back what it supersedes and puts nothing in its place.
struct RetractionBody {
    std::string why;
    friend bool operator==(const RetractionBody&, const RetractionBody&) = default;
};

// The name of a device; `about` nil. Written at install and at every restore; a rename supersedes it.
struct DeviceBody {
    std::string name;
    std::string incarnation;             // 16 hex digits: Entry::device
    std::string follows;                 // the incarnation before a restore; empty: none; itself: at rest
    friend bool operator==(const DeviceBody&, const DeviceBody&) = default;
};

using AnyBody = std::variant<PersonBody, UnitsBody, BikeBody, SwapBody, StepBody, SwapEndBody, ReadingBody,
                             BaselineBody, RetractionBody, ChangeBody, EventBody, PartBody, PlanBody,
                             PlanStepBody, PlanEndBody, RecordBody, DeviceBody, ShelfBody, PickBody, JobBody>;

// The content of an entry. A separate class, so that copy and move are compiled once (body.cpp).
class Body : public AnyBody {
public:
    template <class One>
        requires(!std::is_base_of_v<AnyBody, std::remove_cvref_t<One>>)
    Body(One&& one) : AnyBody(std::forward<One>(one)) {}
    Body();
    Body(const Body&);
    Body(Body&&) noexcept;
    Body& operator=(const Body&);
    Body& operator=(Body&&) noexcept;
    ~Body();
};
std::string_view kind_of(
    const Body& body);  // "person", "units", "bike", "swap", "step", "swap_end", "reading", …
bool is_kind(std::string_view kind);   // true if this version knows it

}  // namespace restand
