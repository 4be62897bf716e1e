#pragma once
// Everything a person can ask for, as plain values. The screen, the gauge, the tests and a replay all speak
// these.

#include <string>
#include <variant>

#include "core/ledger/ledger.h"

namespace restand {

enum class Screen { bikes, bike, bike_form, swap, baselines, baseline, people, settings };

// Numbers of a bike's description that the pad can fill (app/bike_fields.h).
enum class BikeField {
    name, note, rear_leverage, front_leverage, rear_tolerance, front_tolerance, rake, swingarm, wheelbase, rear_wheel_radius,
    front_wheel_radius, offset, pivot_height, pair_length, pair_height,
};

// What an open tag fills: a reading of the swap, a number of the bike, a name, or the reason of a baseline.
struct Field {
    enum class Of { reading, bike, person, reason, where } of = Of::reading;
    Phase phase = Phase::before;
    Point point = Point::ride_height_topped_out;
    BikeField bike = BikeField::name;
    friend bool operator==(const Field&, const Field&) = default;
};

namespace act {
// Id: bike or baseline
struct Go { Screen screen; Id id; friend bool operator==(const Go&, const Go&) = default; };
struct Back {};
struct AddBike {};
struct EditBike { Id bike; };
struct SaveBike {};
struct ArchiveBike { Id bike; bool archived; };
struct RemovePair { std::size_t index; };          // of the leverage table in the bike form
struct StartSwap { Id bike; SwapKind kind; };
struct ResumeSwap { Id swap; };
struct AbandonSwap { Id swap; };
struct GoToStep { Step6 step; };
struct Keep {};                                    // the swap's result as the bike's new baseline
struct OpenTag { Field field; };
struct CloseTag {};
struct PadText { std::string text; };              // typed: a digit, a letter, a fraction, a whole gauge line
struct PadErase {};
struct PadUnit {};                                 // next unit of the same dimension
struct PadSign {};
struct PadInstrument {};                           // the next instrument for this point
struct PadRepeat {};                               // keep this repeat, start another
struct PadDropRepeat { std::size_t index; };
struct PadSame {};                                 // as the last baseline
struct PadNext {};                                 // keep the reading, open the next tag
struct ConfirmSame { bool same; };                 // answer to 'same mark, same state?'
struct SetPerson { Id person; };
struct SetUnits { UnitChoice units; };
struct SetLook { bool night; int text_percent; };  // 80 to 200
struct Undo {};
struct DismissNotice {};
}  // namespace act

using Action =
    std::variant<act::Go, act::Back, act::AddBike, act::EditBike, act::SaveBike, act::ArchiveBike,
                 act::RemovePair, act::StartSwap, act::ResumeSwap, act::AbandonSwap, act::GoToStep, act::Keep,
                 act::OpenTag, act::CloseTag, act::PadText, act::PadErase, act::PadUnit, act::PadSign, act::PadInstrument,
                 act::PadRepeat, act::PadDropRepeat, act::PadSame, act::PadNext, act::ConfirmSame,
                 act::SetPerson, act::SetUnits, act::SetLook, act::Undo, act::DismissNotice>;

}  // namespace restand
