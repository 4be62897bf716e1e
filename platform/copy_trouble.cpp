#include "platform/copy_trouble.h"

#include "app/views/season_wording.h"

namespace restand {

std::string copy_trouble(const Result<Backup>& made) {
    if (!made)
        return "No copy could be made: " + wording::file_sentence(made.error()) +
               " The workshop itself is stored. Mend that, then make a copy under 'Devices and copies'.";
    if (made->of_damaged)
        return "This workshop has damage: the copy just made holds what can be read and is marked. Good "
               "copies "
               "stay. Check the file, or go back to a good copy under 'Devices and copies'.";
    return "";
}

}  // namespace restand
