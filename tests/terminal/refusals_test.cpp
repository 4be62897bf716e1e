// Bad input to `restand solve`: exit 2, nothing on standard output, one sentence naming file, field and what
// is allowed there.

#include <algorithm>

#include "tests/terminal/program.h"

using namespace restand::test;

namespace {

// Refused with a sentence that has all these parts.
void refuses(const std::string& text, std::initializer_list<std::string> parts) {
    const Folder folder;
    write_bytes(folder("case.json"), text);
    const Ran ran = run(folder, "solve case.json");
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(ran.out == "");
    CHECK(has(ran.err, "restand: case.json: "));
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
    for (const std::string& part : parts) CHECK_MESSAGE(has(ran.err, part), part);
    CHECK(bytes_of(folder("case.json")) == text);
}

std::string with(const std::string& from, const std::string& to) {
    return changed(issue_case, from, to);
}

}  // namespace

TEST_CASE("refused: what stands where a number belongs") {
    const std::string rate = "\"rate_n_per_mm\": 100";
    for (const std::string wrong : {"\"100\"", "null", "true", "[100]", "{}"})
        refuses(with(rate, "\"rate_n_per_mm\": " + wrong), {"new_unit.spring.rate_n_per_mm", "is no number"});
}

TEST_CASE("refused: NaN and infinities, by name and by size") {
    const std::string rate = "\"rate_n_per_mm\": 100";
    for (const std::string wrong : {"NaN", "nan", "Infinity", "-Infinity"})
        refuses(with(rate, "\"rate_n_per_mm\": " + wrong),
                {"new_unit.spring.rate_n_per_mm", wrong, "is no number"});
    refuses(with(rate, "\"rate_n_per_mm\": 1e999"), {"new_unit.spring.rate_n_per_mm", "is no number"});
    refuses(with(R"({ "leverage": 2.05 })", R"({ "pairs": [[300, 480], [310, NaN]] })"),
            {"map.pairs[2]", "NaN"});
}

TEST_CASE("refused: numbers out of range, with the range") {
    refuses(with("\"rate_n_per_mm\": 100", "\"rate_n_per_mm\": -95"),
            {"new_unit.spring.rate_n_per_mm: -95 is out of range; allowed: 0 < rate ≤ 2000"});
    refuses(with("\"eye_to_eye_mm\": 310", "\"eye_to_eye_mm\": -310"),
            {"baseline.unit.eye_to_eye_mm: -310 is out of range; allowed: 0 < length ≤ 2000"});
    refuses(with("\"free_length_mm\": 155", "\"free_length_mm\": -155"),
            {"new_unit.spring.free_length_mm", "-155"});
    refuses(with("\"travel_mm\": 66", "\"travel_mm\": 0"), {"new_unit.travel_mm", "0 < travel"});
    refuses(with("\"gas_force_n\": 420", "\"gas_force_n\": -1"), {"new_unit.gas_force_n", "0 ≤ force"});
    refuses(with("\"leverage\": 2.05", "\"leverage\": 0"), {"map.leverage", "0.3 < ratio ≤ 6"});
    refuses(with("\"topped_out\": 500.0", "\"topped_out\": 50000"), {"baseline.ride_height_mm.topped_out"});
    refuses(with("\"mm_per_turn\": 1.25", "\"mm_per_turn\": 0"),
            {"new_unit.eye_to_eye_mm.mm_per_turn", "pitch"});
}

TEST_CASE("refused: fields that contradict each other") {
    refuses(with("\"min\": 300, \"max\": 316", "\"min\": 316, \"max\": 300"),
            {"new_unit.eye_to_eye_mm.min contradicts max", "min ≤ max"});
    refuses(with("\"now\": 305", "\"now\": 320"), {"new_unit.eye_to_eye_mm.now", "min ≤ now ≤ max"});
    refuses(with("\"free_length_mm\": 160", "\"free_length_mm\": 140"),
            {"baseline.unit.spring.free_length_mm", "installed_length_mm", "not shorter"});
    refuses(with("\"free_length_mm\": 155", "\"free_length_mm\": 145"),
            {"new_unit.spring.free_length_mm", "installed_length_now_mm", "not shorter"});
    refuses(with("\"block_length_mm\": 72", "\"block_length_mm\": 172"), {"new_unit.spring.block_length_mm"});
    refuses(with("\"rider\": 469.8", "\"rider\": 495"), {"baseline.ride_height_mm.rider"});
    refuses(with(R"({ "leverage": 2.05 })", R"({ "leverage": 2.05, "pairs": [[300, 480], [310, 500]] })"),
            {"map.leverage contradicts pairs"});
    refuses(with("\"travel_mm\": 66", "\"travel_mm\": 66, \"fork_length_mm\": 700"),
            {"new_unit.fork_length_mm contradicts end"});
}

TEST_CASE("refused: pairs that do not rise") {
    const std::string map = R"({ "leverage": 2.05 })";
    refuses(with(map, R"({ "pairs": [[290, 460], [310, 500], [300, 480], [316, 512]] })"),
            {"map.pairs", "not in rising order", "pair 3"});
    refuses(with(map, R"({ "pairs": [[290, 460], [290, 461], [310, 500], [316, 512]] })"),
            {"map.pairs", "pair 2"});
    refuses(with(map, R"({ "pairs": [[290, 460], [300, 480], [310, 470], [316, 512]] })"),
            {"map.pairs", "ride height must rise", "pair 3"});
    refuses(with(map, R"({ "pairs": [[290, 460]] })"), {"map.pairs is missing", "at least 2 pairs"});
    refuses(with(map, R"({ "pairs": [[290, 460, 1], [310, 500]] })"), {"map.pairs[1]", "two numbers"});
    refuses(with(map, R"({ "pairs": 7 })"), {"map.pairs", "expected a list"});
}

TEST_CASE("refused: unknown keys, with the nearest known one") {
    refuses(with("\"travel_mm\": 66", "\"stroke\": 66"), {"new_unit.stroke: unknown key"});
    refuses(with("\"travel_mm\": 66", "\"travel\": 66"),
            {"new_unit.travel: unknown key; did you mean 'travel_mm'?"});
    refuses(with("\"leverage\"", "\"leverag\""), {"map.leverag: unknown key; did you mean 'leverage'?"});
    refuses(with("\"gas_force_n\": 420", "\"gasforce_n\": 420"), {"did you mean 'gas_force_n'?"});
}

TEST_CASE("refused: a key given twice, at every level") {
    refuses(with("\"travel_mm\": 66", "\"travel_mm\": 66, \"travel_mm\": 67"),
            {"new_unit.travel_mm is given twice"});
    refuses(with("\"end\": \"rear\"", "\"end\": \"rear\", \"end\": \"front\""), {"end is given twice"});
}

TEST_CASE("refused: what is missing is named") {
    refuses(with("\"eye_to_eye_mm\": 310, ", ""), {"baseline.unit.eye_to_eye_mm is missing"});
    refuses(with(", \"static\": 490.3, \"rider\": 469.8", ""), {"baseline.ride_height_mm.rider is missing"});
    refuses(with("\"end\": \"rear\",", ""), {"end is missing", "\"front\""});
    refuses(with("\"leverage\": 2.05", ""), {"map.leverage is missing"});
    refuses(with("\"end\": \"rear\"", "\"end\": \"middle\""), {"end: out of range", "\"rear\" or \"front\""});
}

TEST_CASE("refused: kilograms without a place, without a wheelbase, or of no state") {
    const auto loads = [](const std::string& list) {
        return with("\"end\": \"rear\"", "\"end\": \"rear\", \"wheelbase_mm\": 1400, \"loads\": " + list);
    };
    refuses(loads(R"([{"kg": 12}])"), {"loads[1].ahead_mm is missing"});
    refuses(loads(R"([{"kg": 1200, "ahead_mm": 700}])"), {"loads[1].kg", "≤ 500"});
    refuses(loads(R"([{"kg": 1, "ahead_mm": 7000}])"), {"loads[1].ahead_mm", "≤ 3000"});
    refuses(loads(R"([{"kg": 1, "ahead_mm": 700, "state": "static"}])"), {"loads[1].state", "\"rider\""});
    refuses(loads(R"({"kg": 1, "ahead_mm": 700})"), {"loads", "expected a list"});
    refuses(with("\"end\": \"rear\"", R"("end": "rear", "loads": [{"kg": 1, "ahead_mm": 700}])"),
            {"wheelbase_mm is missing"});
}

TEST_CASE("refused: other files, newer cases, broken text") {
    refuses(with("\"restand_case\": 1, ", ""), {"restand_case", "no file of Restand's"});
    refuses(with("\"restand_case\": 1, ", "\"restand_case\": 3, \"later\": true, "),
            {"newer Restand", "version 3"});
    refuses(with("\"travel_mm\": 66,", "\"travel_mm\": 66,,"), {"line 6", "is damaged"});
    refuses(issue_case.substr(0, issue_case.size() / 2), {"is cut short"});
    refuses(issue_case + "}", {"is damaged", "line 8"});
    refuses("", {"is cut short"});
    refuses("[1, 2]", {"an object"});
    refuses("\xff\xfe garbage \x01", {"line 1, column 1", "is damaged"});
    refuses(with("\"rear\"",
                 "\"re\xff"
                 "ar\""),
            {"is damaged"});
}

TEST_CASE("refused: nested deep or wide enough to hurt") {
    refuses(std::string(500'000, '['), {"larger than allowed", "levels"});
    std::string wide = "{";
    for (int i = 0; i < 50'000; ++i) wide += "\"k" + std::to_string(i) + "\":0,";
    refuses(wide + "\"end\":\"rear\"}", {"larger than allowed", "keys in one object"});
}

TEST_CASE("refused: a case of 100 MB, without reading it") {
    const Folder folder;
    write_bytes(folder("big.json"), issue_case);
    std::filesystem::resize_file(folder("big.json"), 100u << 20);  // sparse
    const Ran ran = run(folder, "solve big.json");
    CHECK(ran.code == 2);
    CHECK(ran.err == "restand: big.json is larger than allowed: 1 MB\n");
    // Without a size to look at, reading stops at the cap: this input never ends.
    const Ran endless = run(folder, "solve -", "yes '[[[[' |");
    CHECK(endless.code == 2);
    CHECK(endless.err == "restand: standard input is larger than allowed: 1 MB\n");
}

TEST_CASE("refused: an uncertainty of something that is no number of the case") {
    const std::string start = "\"end\": \"rear\", ";
    refuses(with("\"end\": \"rear\",", start + R"("uncertainty": { "new_unit.spring.rate": 2 },)"),
            {"uncertainty was not found", "new_unit.spring.rate"});
    refuses(with("\"end\": \"rear\",", start + R"("uncertainty": { "new_unit.spring.rate_n_per_mm": -2 },)"),
            {"uncertainty.new_unit.spring.rate_n_per_mm", "-2 is out of range"});
}

TEST_CASE("refused: files that are not there, and folders") {
    const Folder folder;
    CHECK(run(folder, "solve nowhere.json").err == "restand: nowhere.json was not found\n");
    CHECK(run(folder, "solve nowhere.json").code == 2);
    CHECK(run(folder, "solve .").code == 2);
    CHECK(has(run(folder, "solve .").err, "this is a folder"));
}

TEST_CASE("refused: commands and options nobody knows, with a suggestion") {
    const Folder folder;
    const Ran command = run(folder, "sovle case.json");
    CHECK(command.code == 2);
    CHECK(has(command.err, "no command 'sovle'; did you mean 'solve'?"));
    const Ran option = run(folder, "solve case.json --txt");
    CHECK(option.code == 2);
    CHECK(has(option.err, "no option '--txt'; did you mean '--text'?"));
    CHECK(run(folder, "solve").code == 2);
    CHECK(has(run(folder, "solve").err, "restand solve CASE.json"));
    CHECK(run(folder, "solve a b").code == 2);
    CHECK(run(folder, "bikes --file").code == 2);
}

TEST_CASE("help and version are answers, not errors") {
    const Folder folder;
    const Ran help = run(folder, "--help");
    CHECK(help.code == 0);
    for (const char* command :
         {"solve", "bikes", "baselines", "show", "export", "import", "check", "--screenshot"})
        CHECK(has(help.out, command));
    CHECK(has(run(folder, "solve --help").out, "Exit codes"));
    CHECK(run(folder, "--version").code == 0);
    CHECK(run(folder, "--version").out.starts_with("restand "));
}
