#include "app/workshop/settings_view.h"

#include "app/views/view_parts.h"

namespace restand {

namespace {
row::Choice unit_choice(const UnitChoice& now, const char* id, const char* label, Unit UnitChoice::*slot,
                        std::initializer_list<Unit> options) {
    row::Choice c{id, label, {}, {}, 0};
    for (Unit unit : options) {
        UnitChoice with = now;
        with.*slot = unit;
        if (now.*slot == unit) c.selected = c.options.size();
        c.options.emplace_back(symbol(unit));
        c.taps.push_back(act::SetUnits{with});
    }
    return c;
}
}  // namespace

PageView settings_view(const AppState& state) {
    PageView page = blank_page(state, "Settings");
    page.panel.title = "Units and looks";
    auto& rows = page.panel.rows;
    const UnitChoice now = state.ledger.units();
    rows.push_back(row::Heading{"Units of this workshop"});
    rows.push_back(unit_choice(now, "units:length", "length", &UnitChoice::length, {Unit::mm, Unit::inch}));
    rows.push_back(unit_choice(now, "units:rate", "spring rate", &UnitChoice::rate,
                               {Unit::n_per_mm, Unit::kgf_per_mm, Unit::lbf_per_in}));
    rows.push_back(
        unit_choice(now, "units:force", "force", &UnitChoice::force, {Unit::newton, Unit::lbf, Unit::kgf}));
    rows.push_back(unit_choice(now, "units:mass", "mass", &UnitChoice::mass, {Unit::kg, Unit::lb}));
    rows.push_back(unit_choice(now, "units:pressure", "pressure", &UnitChoice::pressure,
                               {Unit::bar, Unit::psi, Unit::kpa}));
    rows.push_back(row::Note{"A field's unit can be switched on its pad. What was typed stays as typed.",
                             Ink::ink, false, true});
    rows.push_back(row::Heading{"This screen"});
    rows.push_back(row::Choice{
        "look:paper",
        "light",
        {"day", "night"},
        {act::SetLook{false, state.look.text_percent}, act::SetLook{true, state.look.text_percent}},
        state.look.night ? 1u : 0u});
    row::Choice text{"look:text", "text", {}, {}, 1};
    for (int percent : {80, 100, 125, 150, 200}) {
        if (percent == state.look.text_percent) text.selected = text.options.size();
        text.options.push_back(std::to_string(percent) + " %");
        text.taps.push_back(act::SetLook{state.look.night, percent});
    }
    rows.push_back(std::move(text));
    rows.push_back(row::Heading{"Other devices"});
    rows.push_back(row::Button{"devices", "Devices and copies", "exchange, copies, files",
                               act::Go{Screen::devices, {}}});
    rows.push_back(row::Note{"The workshop's file: " + state.file_name, Ink::ink, false, true});
    page.primary = {"Done", act::Back{}, ""};
    return page;
}

}  // namespace restand
