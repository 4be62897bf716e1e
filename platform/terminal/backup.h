#pragma once
// backup, backups, restore: verified copies of the workshop file.

#include "platform/terminal/request.h"

namespace restand {

int backup(const Request& request, std::ostream& out, std::ostream& err);
int list_backups(const Request& request, std::ostream& out, std::ostream& err);
int restore(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
