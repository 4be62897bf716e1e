#pragma once
// Shared by the commands on a workshop file: opening it, finding a bike or a baseline by a word, printing.
// Also the commands bikes, baselines, show, export and import.

#include <optional>
#include <string>
#include <vector>

#include "core/store/store.h"
#include "platform/terminal/plain_out.h"
#include "platform/terminal/request.h"

namespace restand {

// The store knows its file by path; messages use the name the person typed.
Error as_shown(Error error, const WorkshopPath& where);

// The workshop, opened for reading, with every bike's baselines.
struct Workshop {
    Store store;
    Ledger ledger;
};
Result<Workshop> open_workshop(const Request& request, std::ostream& err);

// Matches the whole name first, then the start of an id, then the start of a name. Errors: not_found,
// contradiction.
Result<const Bike*> bike_of(const Ledger& ledger, std::string_view word);
std::vector<const Baseline*> all_baselines(const Ledger& ledger);
Result<const Baseline*> baseline_by(const Ledger& ledger, std::string_view word);  // by the start of its id

std::size_t telling(const std::vector<Id>& ids);  // shortest id length that distinguishes them all
// Padded with blanks after (at least one) or before; counts letters, not bytes: "½" is one.
std::string padded(std::string text, std::size_t width);
std::string at_right(const std::string& text, std::size_t width);
std::string person_name(const Ledger& ledger, const Id& id);
std::string point_name(Point point);             // "ride height topped out": the key is the trade term
std::string value_text(const Reading& reading);  // "312.4 mm"

// Says on `err` where the unchanged file is kept, when it is upgraded to this version.
Result<Store> open_to_write(const WorkshopPath& where, Store::Mode mode, std::ostream& err);
// The file itself, under any name, or a file beside it that belongs to it.
bool is_the_workshop(const Request& request, const std::string& name);
// As `restand check` judges; reads everything. Error damaged, with the first damage found.
Outcome known_whole(const Store& store, const WorkshopPath& where);
// The exit code when `name` exists and --replace is not given; a sentence on `err`.
std::optional<int> may_write(const Request& request, const std::string& name, std::ostream& err);
int report_refused(const std::vector<Error>& refused, std::ostream& err);  // returns the exit code

int bikes(const Request& request, std::ostream& out, std::ostream& err);
int baselines(const Request& request, std::ostream& out, std::ostream& err);
int show(const Request& request, std::ostream& out, std::ostream& err);
int export_bundle(const Request& request, std::ostream& out, std::ostream& err);
int import_bundle(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
