#pragma once
// Commands on a case of the whole bike, written as JSON.

#include <fstream>

#include "tests/terminal/program.h"

namespace restand::test {

inline nlohmann::json demo_case() {
    std::ifstream file(std::string(RESTAND_SOURCE_DIR) + "/demo/bike.json");
    return nlohmann::json::parse(file);
}

inline Ran ran(const Folder& folder, const std::string& command, const nlohmann::json& c) {
    std::ofstream(folder("case.json")) << c.dump();
    return run(folder, command + " case.json");
}

}  // namespace restand::test
