#pragma once
// Everything a person can ask for, as plain values. The screen, the gauge, the tests and a replay all speak
// these.

#include <string>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "core/ledger/trend.h"

namespace restand {

// The last ones are the season's.
enum class Screen {
    bikes, bike, bike_form, swap, baselines, baseline, people, settings,
    history, moment, change, event, compare, way, trend, parts, devices, table, attitude, chain, choose, shelf, item, which_spring,
};

// Numbers of a bike's description that the pad can fill (app/bike_fields.h).
enum class BikeField {
    name, note, rear_leverage, front_leverage, rear_tolerance, front_tolerance, rake, swingarm, wheelbase, rear_wheel_radius,
    front_wheel_radius, offset, pivot_height, pair_length, pair_height, chain_limit,
    // Of the mechanism (ledger/body.h): points in mm from the swingarm pivot.
    sprocket_x, sprocket_z, slot_length, unit_frame_x, unit_frame_z, unit_arm_x, unit_arm_z, rocker_x, rocker_z, rod_end_x,
    rod_end_z, rod, pivot_to_rod, pivot_to_unit, spread,
    chain_pitch, primary, gear_1, gear_2, gear_3, gear_4, gear_5, gear_6, rpm,
};
inline constexpr BikeField last_bike_field = BikeField::rpm;

// Of what happened on a day, and of a part with a service limit.
enum class EventField { day, circuit, session, weather, tyre, words, distance, running, air, track };
enum class PartField { name, limit_km, limit_h, used_km, used_h };

// What an open tag fills: a reading of the swap, a number of the bike, a name, the reason of a baseline; outside
// a swap a value as it now is (change), one that is only looked at (tried), one that the way back asks for (way), what happened, a part, words to find.
struct Field {
    enum class Of { reading, bike, person, reason, where, change, way, event, part, find, device, folder, tried, shelf } of =
        Of::reading;
    Phase phase = Phase::before;
    Point point = Point::ride_height_topped_out;
    BikeField bike = BikeField::name;
    End end = End::rear;               // of a reading, a change, what is tried
    EventField event = EventField::circuit;
    PartField part = PartField::name;
    friend bool operator==(const Field&, const Field&) = default;
};

// What is wished of a spring (restore/spring_choice.h).
enum class WishOf { rider_sag, free_low, free_high, preload_low, preload_high };

// What the attitude screen plots over the travel; none: it draws the bike.
enum class TravelPlot { none, motion_ratio, wheel_rate, slack };

namespace act {
// Id: bike or baseline
struct Go { Screen screen; Id id; friend bool operator==(const Go&, const Go&) = default; };
struct Back {};
struct AddBike {};
struct EditBike { Id bike; };
struct SaveBike {};
struct ArchiveBike { Id bike; bool archived; };
struct RemovePair { std::size_t index; };          // of the leverage table in the bike form
struct ChooseParts { Id bike; };                   // what is to be swapped
struct TogglePart { SwapPart part; };
struct StartSwap { Id bike; std::vector<SwapPart> parts; };
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
struct Ask { std::string row; };                   // what a row asks before it does what it says
struct Undo {};
struct DismissNotice {};

// The season.
struct FindKind { std::string kind; };             // of the time line: this kind alone; "" = all
struct FindPart { std::string part; };             // name of a part; "" = any
struct FindWords { std::string words; };
struct OlderMoments {};
struct OpenMoment { Id entry; };
struct OpenBoth { Id one, other; };                // compare; other nil: the bike as it is
struct TakeForCompare { Id entry; };               // remembered; the next one opened is compared with it
struct StartChange { Id bike; };
struct Nudge { End end; Point point; double by; }; // one step of a setting, written at once; canonical
struct StartEvent { Id bike; };
struct SaveEvent {};
struct ShowWay { Id bike, target; };               // what would have to be done; nothing is written
struct BeginWay {};
struct TickAction { std::string key; };
struct EndWay { bool reached; };
struct KeepThis { Id baseline; };                  // of two that were kept on the same one
struct ShowSame { bool shown; };                   // of a comparison: what did not change
struct ShowTrend { Id bike; Watched what; End end; Point point; };
struct StartPart { Id bike, part; };               // part nil: a new one
struct SavePart {};
struct Serviced { Id part; };
struct PartGone { Id part; };

// The bike's own mechanism, in its form.
struct LinkageKind { int kind; };                  // 0 none, 1 direct, 2 rocker on the frame, 3 rocker on the arm
struct LinkageSide {};                             // the rocker's rod on the other side
struct TakeBestPoints {};                          // those that meet the strut table best, into the form
struct TypedPoints {};                             // back to those from before

// Attitude and chain: set-ups that are only looked at until somebody says that it is so.
struct ShowAttitude { Id bike; };
struct ShowChain { Id bike; };
struct Try { End end; Point point; double by; };   // one step, canonical
struct TryTo { End end; Point point; double value; };   // dragged there; canonical
struct TryGear { int front, rear, links; double axle; };
struct TryNothing {};
struct KeepTried {};                               // it is set so on the bike: a change on disk
struct LookAt { State state; };                    // of the attitude
struct OverTravel { TravelPlot plot; };
struct WantRatio { double by; };
struct WantSlack { double by; };                   // at the tight spot, mm
struct ShowGears { bool shown; };
struct AtSpeed { double by; };                     // km/h

// The parts shelf.
struct AddToShelf { SwapPart part; };
struct OpenItem { Id item; };
struct ItemGone { Id item; };
struct MeasureItem { Id item; Reading reading; };  // part_name: what it is called
struct PickItem { Id item; };                      // for the swap on the screen: its readings are the new part's
struct ShowSprings { Id bike; End end; };
struct Wish { WishOf of; double by; };             // mm

// Devices, copies, files. What takes long answers later (errand.h).
struct ChoosePlace { std::string folder; };
struct ExchangeNow {};
struct ExportTo { std::string folder; };
struct ImportFrom { std::string path; };
struct BackUpNow {};
struct TakeAside {};                               // what the disk would not take, into the workshop
struct ThrowAside {};
struct RestoreFrom { std::string path; bool other; };   // other: also of another workshop
struct BeginNew {};                                // a workshop, where none can be read
struct SheetTo { std::string folder; };            // of the baseline or the way on the screen
struct OpenTable { std::string path; };
struct TableColumn { std::size_t column; };        // what this column is: the next thing it can be
struct TableDays {};                               // day first, month first
struct TableBike { Id bike; };
struct TakeTable {};
struct CancelWork {};
}  // namespace act

using AnyAct =
    std::variant<act::Go, act::Back, act::AddBike, act::EditBike, act::SaveBike, act::ArchiveBike,
                 act::RemovePair, act::ChooseParts, act::TogglePart, act::AddToShelf, act::OpenItem, act::ItemGone, act::MeasureItem, act::PickItem,
                 act::ShowSprings, act::Wish, act::StartSwap, act::ResumeSwap, act::AbandonSwap, act::GoToStep, act::Keep,
                 act::OpenTag, act::CloseTag, act::PadText, act::PadErase, act::PadUnit, act::PadSign, act::PadInstrument,
                 act::PadRepeat, act::PadDropRepeat, act::PadSame, act::PadNext, act::ConfirmSame,
                 act::SetPerson, act::SetUnits, act::SetLook, act::Ask, act::Undo, act::DismissNotice, act::FindKind,
                 act::FindPart, act::FindWords, act::OlderMoments, act::OpenMoment, act::OpenBoth,
                 act::TakeForCompare, act::StartChange, act::Nudge, act::StartEvent, act::SaveEvent, act::ShowWay,
                 act::BeginWay, act::TickAction, act::EndWay, act::KeepThis, act::ShowSame, act::ShowTrend, act::StartPart, act::SavePart,
                 act::Serviced, act::PartGone, act::ChoosePlace, act::ExchangeNow, act::ExportTo, act::ImportFrom,
                 act::BackUpNow, act::TakeAside, act::ThrowAside, act::RestoreFrom, act::BeginNew, act::SheetTo, act::OpenTable,
                 act::LinkageKind, act::LinkageSide, act::TakeBestPoints, act::TypedPoints, act::ShowAttitude, act::ShowChain,
                 act::Try, act::TryTo, act::TryGear, act::TryNothing, act::KeepTried, act::LookAt, act::OverTravel, act::ShowGears, act::AtSpeed, act::WantRatio,
                 act::WantSlack, act::TableColumn, act::TableDays, act::TableBike, act::TakeTable, act::CancelWork>;

// Any one of them. A class of its own, so that how one is copied and moved is compiled once (action.cpp).
class Action : public AnyAct {
public:
    template <class Act>
        requires(!std::is_base_of_v<AnyAct, std::remove_cvref_t<Act>>)
    Action(Act&& act) : AnyAct(std::forward<Act>(act)) {}
    Action();
    Action(const Action&);
    Action(Action&&) noexcept;
    Action& operator=(const Action&);
    Action& operator=(Action&&) noexcept;
    ~Action();
};

}  // namespace restand
