#pragma once
// What the pad can fill in: a reading of a swap, a number of a bike, a name, a line of an event …

#include "core/ledger/swap.h"

namespace restand {

// Numbers of a bike's description that the pad can fill in (app/workshop/bike_fields.h).
enum class BikeField {
    name,
    note,
    rear_leverage,
    front_leverage,
    rear_tolerance,
    front_tolerance,
    rake,
    swingarm,
    wheelbase,
    rear_wheel_radius,
    front_wheel_radius,
    offset,
    pivot_height,
    pair_length,
    pair_height,
    chain_limit,
    // Of the mechanism (ledger/body.h): points in mm from the swingarm pivot.
    sprocket_x,
    sprocket_z,
    slot_length,
    unit_frame_x,
    unit_frame_z,
    unit_arm_x,
    unit_arm_z,
    rocker_x,
    rocker_z,
    rod_end_x,
    rod_end_z,
    rod,
    pivot_to_rod,
    pivot_to_unit,
    spread,
    chain_pitch,
    primary,
    gear_1,
    gear_2,
    gear_3,
    gear_4,
    gear_5,
    gear_6,
    rpm,
};
inline constexpr BikeField last_bike_field = BikeField::rpm;

// Fields of an event, and of a part with a service limit.
enum class EventField { day, circuit, session, weather, tyre, words, distance, running, air, track };
enum class PartField { name, limit_km, limit_h, used_km, used_h };
// Fields of a job; the last two are minutes.
enum class JobField { what, why, part, from, ordered, due, planned, taken };

// What an open tag fills in: a reading of the swap, a number of the bike, a name, the reason of a baseline.
// Outside a swap: the present value of a point (change), a value that is only tried (tried), a value that the
// restore plan asks for (plan), a field of an event or of a part, words to search for.
struct Field {
    enum class Of {
        reading,
        bike,
        person,
        reason,
        where,
        change,
        plan,
        event,
        part,
        find,
        device,
        folder,
        tried,
        shelf,
        job
    } of = Of::reading;
    Phase phase = Phase::before;
    Point point = Point::ride_height_topped_out;
    BikeField bike = BikeField::name;
    End end = End::rear;               // of a reading, a change or a tried value
    EventField event = EventField::circuit;
    PartField part = PartField::name;
    JobField job = JobField::what;
    friend bool operator==(const Field&, const Field&) = default;
};
bool is_text(const Field& field);
bool is_reading(const Field& field);   // in a swap or outside one
Dimension dimension_of(const Field& field);

}  // namespace restand
