#pragma once
// Actions of the number and text pad.

#include "app/action.h"
#include "app/pad/field.h"

namespace restand {

namespace act {
struct OpenTag { Field field; };
struct ReadAgain { Field field; };                 // opens the field for one more repeat, settled anew
struct CloseTag {};                                // what was typed is dropped; PutBack takes it up again
struct PadText { std::string text; };              // typed: digit, letter, fraction or a gauge's whole line
struct PadErase {};
struct PadUnit {};                                 // next unit of the same dimension
struct PadSign {};
struct PadInstrument {};                           // the next instrument for this point
struct PadSettled {};                              // repeats: settled anew each time, or as it sat
struct PadRepeat {};                               // keep this repeat, start another
struct PadDropRepeat { std::size_t index; };
struct PadUnread {};                               // takes the stored reading out: not read
struct PadSame {};                                 // the value of the last baseline
struct PadNext {};                                 // keep the reading, open the next tag
struct ConfirmSame { bool same; };                 // answer to 'same mark, same state?'
}  // namespace act

void act_on(AppState&, const act::OpenTag&);
void act_on(AppState&, const act::ReadAgain&);
void act_on(AppState&, const act::CloseTag&);
void act_on(AppState&, const act::PadText&);
void act_on(AppState&, const act::PadErase&);
void act_on(AppState&, const act::PadUnit&);
void act_on(AppState&, const act::PadSign&);
void act_on(AppState&, const act::PadInstrument&);
void act_on(AppState&, const act::PadSettled&);
void act_on(AppState&, const act::PadRepeat&);
void act_on(AppState&, const act::PadDropRepeat&);
void act_on(AppState&, const act::PadUnread&);
void act_on(AppState&, const act::PadSame&);
void act_on(AppState&, const act::PadNext&);
void act_on(AppState&, const act::ConfirmSame&);

}  // namespace restand
