#pragma once
// The real program, run as a person runs it: in a folder of its own, with what it printed and its exit code.

#include <sys/wait.h>

#include <cstdlib>
#include <nlohmann/json.hpp>

#include "tests/store/workshop.h"

namespace restand::test {

struct Ran {
    int code = -1;
    std::string out, err;
};

// `args` as typed behind the program's name; file names are relative to the folder. A crash has code 128 +
// signal.
inline Ran run(const Folder& folder, const std::string& args, const std::string& before = "",
               const std::string& program = RESTAND_PROGRAM) {
    const std::string out = folder(".out"), err = folder(".err");
    const std::string command = "cd '" + folder("") + "' && " + before + " '" + program + "' " + args +
                                " >'" + out + "' 2>'" + err + "'";
    const int status = std::system(command.c_str());
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return {code, bytes_of(out), bytes_of(err)};
}

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// The case of the issue, word for word.
inline const std::string issue_case = R"({ "restand_case": 1, "end": "rear",
  "map": { "leverage": 2.05 },
  "baseline": { "unit": { "eye_to_eye_mm": 310, "gas_force_n": 150,
                "spring": { "rate_n_per_mm": 95, "free_length_mm": 160, "installed_length_mm": 150 } },
                "ride_height_mm": { "topped_out": 500.0, "static": 490.3, "rider": 469.8 } },
  "new_unit": { "eye_to_eye_mm": { "min": 300, "max": 316, "now": 305, "mm_per_turn": 1.25 }, "travel_mm": 66, "gas_force_n": 420,
                "spring": { "rate_n_per_mm": 100, "free_length_mm": 155, "block_length_mm": 72,
                            "installed_length_now_mm": 148, "collar_mm_per_turn": 1.5 } } })";

// The case with one passage changed; the passage must be there.
inline std::string changed(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

inline nlohmann::json solved(const Folder& folder, const std::string& text, int code = 0) {
    write_bytes(folder("case.json"), text);
    const Ran ran = run(folder, "solve case.json");
    CHECK_MESSAGE(ran.code == code, ran.err);
    CHECK(ran.err == "");
    const auto json = nlohmann::json::parse(ran.out, nullptr, false);
    REQUIRE_MESSAGE(json.is_object(), ran.out);
    return json;
}

// What is said where the case cannot be solved.
inline std::string refused(const nlohmann::json& c) {
    const Folder folder;
    write_bytes(folder("case.json"), c.dump());
    const Ran ran = run(folder, "solve case.json");
    CHECK_MESSAGE(ran.code == 2, ran.out);
    CHECK(ran.out == "");
    return ran.err;
}

}  // namespace restand::test
