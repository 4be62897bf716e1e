// The commands on a workshop file: what they print, and that no bad file is changed by them.

#include <unistd.h>

#include <algorithm>

#include "core/codec/bundle.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

// Two bikes, one with two baselines.
struct Made {
    Begun begun;
    Id other, first, second;
};
Made make_workshop(const std::string& path) {
    Store store = test::open(path);
    Made made{begin_swap(store), {}, {}, {}};
    made.other = got(store.append(encode(test::bike("No. 9"), {}, {}, made.begun.person))).id;
    BaselineBody body;
    body.reason = "after practice";
    body.values = {{End::rear,
                    {test::reading(Point::eye_to_eye, "12 5/16 in", Unit::inch),
                     {},
                     made.begun.person,
                     {1'760'000'000'000, 0},
                     made.begun.swap,
                     false}},
                   {End::rear,
                    {test::reading(Point::ride_height_rider, "469,8"),
                     {},
                     made.begun.person,
                     {1'760'000'000'000, 0},
                     {},
                     false}}};
    made.first = got(store.append(encode(body, made.begun.bike, made.begun.swap, made.begun.person))).id;
    body.reason = "new shock";
    made.second = got(store.append(encode(body, made.begun.bike, made.begun.swap, made.begun.person))).id;
    return made;
}

// The program in a folder anybody may enter, run as nobody when the tests run as root: to root no file is
// read-only. Empty when that cannot be had here.
std::string as_nobody(const Folder& folder) {
    if (geteuid() != 0) return "env";
    namespace fs = std::filesystem;
    fs::permissions(folder(""), fs::perms::all);
    const std::string become = "setpriv --reuid=65534 --regid=65534 --clear-groups";
    const std::string probe = become + " '" RESTAND_PROGRAM "' --version >/dev/null 2>&1";
    return std::system(probe.c_str()) == 0 ? become : "";
}

}  // namespace

TEST_CASE("bikes: every bike with its newest baseline") {
    const Folder folder;
    const Made made = make_workshop(folder("w.restand"));
    const Ran ran = run(folder, "bikes --file w.restand");
    CHECK(ran.code == 0);
    CHECK(ran.err == "");
    CHECK(has(ran.out, "No. 27"));
    CHECK(has(ran.out, "swap open"));
    CHECK(has(ran.out, "No. 9"));
    CHECK(has(ran.out, "no baseline yet"));
    const auto list = nlohmann::json::parse(run(folder, "bikes --json --file w.restand").out);
    REQUIRE(list.size() == 2);
    CHECK(list[0]["id"] == to_text(made.begun.bike));
    CHECK(list[0]["newest_baseline"] == to_text(made.second));
    CHECK(list[1]["newest_baseline"].is_null());
}

TEST_CASE("baselines: newest first, by the bike's name, the start of it, or its id") {
    const Folder folder;
    const Made made = make_workshop(folder("w.restand"));
    for (const std::string& bike :
         {std::string("'No. 27'"), std::string("'no. 2'"), to_text(made.begun.bike)}) {
        const Ran ran = run(folder, "baselines " + bike + " --file w.restand");
        CHECK_MESSAGE(ran.code == 0, ran.err);
        CHECK(ran.out.find("new shock") < ran.out.find("after practice"));
        CHECK(has(ran.out, "Ines"));
    }
    const Ran unknown = run(folder, "baselines 'No. 3' --file w.restand");
    CHECK(unknown.code == 2);
    CHECK(unknown.err == "restand: bike 'No. 3' was not found: see restand bikes\n");
    const Ran several = run(folder, "baselines No. --file w.restand");
    CHECK(several.code == 2);
    CHECK(has(several.err, "2 bikes fit"));
}

TEST_CASE("show: a baseline's numbers as typed, by the id the list prints") {
    const Folder folder;
    const Made made = make_workshop(folder("w.restand"));
    const std::string list = run(folder, "baselines 'No. 27' --file w.restand").out;
    const std::string id = list.substr(0, list.find(' '));
    const Ran ran = run(folder, "show " + id + " --file w.restand");
    CHECK_MESSAGE(ran.code == 0, ran.err);
    CHECK(has(ran.out, "No. 27, baseline of "));
    CHECK(has(ran.out, "Reason: new shock"));
    CHECK(has(ran.out, "12 5/16 in"));
    CHECK(has(ran.out, "469,8 mm"));
    CHECK(has(ran.out, "2025-10-09 08:53 UTC"));  // 1 760 000 000 s, by `date -u`
    CHECK(has(ran.out, to_text(made.begun.swap)));
    const auto parsed = nlohmann::json::parse(run(folder, "show --json " + id + " --file w.restand").out);
    CHECK(parsed["values"].size() == 2);
    CHECK(run(folder, "show ffffffff --file w.restand").code == 2);
    CHECK(run(folder, "show '' --file w.restand").code == 2);
}

TEST_CASE("export, import: a workshop goes whole to another file, twice is once") {
    const Folder folder;
    make_workshop(folder("w.restand"));
    CHECK(run(folder, "export b.bundle --file w.restand").code == 0);
    CHECK(has(run(folder, "check b.bundle").out, "bundle, 9 entries, whole"));
    const Ran first = run(folder, "import b.bundle --file other.restand");
    CHECK_MESSAGE(first.code == 0, first.err);
    CHECK(first.out == "b.bundle: 9 entries added, 0 known already\n");
    CHECK(run(folder, "import b.bundle --file other.restand").out ==
          "b.bundle: 0 entries added, 9 known already\n");
    CHECK(run(folder, "bikes --json --file other.restand").out ==
          run(folder, "bikes --json --file w.restand").out);
    CHECK(has(run(folder, "check other.restand").out, "workshop file, 9 entries, whole"));
    // A file that is there is not written over by accident.
    const std::string before = bytes_of(folder("b.bundle"));
    CHECK(run(folder, "export b.bundle --file other.restand").code == 2);
    CHECK(bytes_of(folder("b.bundle")) == before);
    CHECK(run(folder, "export b.bundle --replace --file other.restand").code == 0);
}

TEST_CASE("import: a truncated or damaged bundle adds nothing") {
    const Folder folder;
    make_workshop(folder("w.restand"));
    run(folder, "export whole.bundle --file w.restand");
    const std::string whole = bytes_of(folder("whole.bundle"));
    make_workshop(folder("mine.restand"));
    const std::string before = bytes_of(folder("mine.restand"));
    const auto refused = [&](const std::string& bytes, const std::string& words) {
        write_bytes(folder("b.bundle"), bytes);
        for (const std::string command : {"import b.bundle --file mine.restand", "check b.bundle"}) {
            const Ran ran = run(folder, command);
            CAPTURE(ran.err);
            CHECK(ran.code == 2);
            CHECK(has(ran.err, "b.bundle"));
            CHECK(has(ran.err, words));
        }
        CHECK(bytes_of(folder("mine.restand")) == before);
    };
    for (const std::size_t length : {std::size_t{5}, std::size_t{40}, whole.size() / 2, whole.size() - 1})
        refused(whole.substr(0, length), "cut short");
    std::string flipped = whole;
    flipped[whole.size() - 20] ^= 1;
    refused(flipped, "is damaged");
    refused(whole + "x", "is damaged");
    refused(seal("BNDL", 9, "what a later version writes"), "newer Restand (version 9)");
    refused("PK\x03\x04 something else", "no file of Restand's");
    refused("", "no file of Restand's");
}

TEST_CASE("a workshop file that is not ours, newer or corrupt is named and left alone") {
    const Folder folder;
    make_workshop(folder("w.restand"));
    const std::string whole = bytes_of(folder("w.restand"));
    const auto refused = [&](const std::string& bytes, const std::string& words, bool reads = false) {
        write_bytes(folder("bad.restand"), bytes);
        run(folder, "export b.bundle --replace --file w.restand");
        for (const std::string command :
             {"check bad.restand", "bikes --file bad.restand", "import b.bundle --file bad.restand"}) {
            if (reads && command.starts_with("bikes")) continue;
            const Ran ran = run(folder, command);
            CAPTURE(command);
            CAPTURE(ran.err);
            CHECK(ran.code == 2);
            CHECK(has(ran.err, "bad.restand"));
            CHECK(has(ran.err, words));
        }
        CHECK(bytes_of(folder("bad.restand")) == bytes);
    };
    // The database header, SQLite file format 1.3: user_version at 60, application_id at 68, big-endian.
    std::string foreign = whole;
    foreign[68] = 'X';
    refused(foreign, "no file of Restand's");
    refused("just some notes", "no file of Restand's");
    std::string corrupt = whole;
    for (std::size_t i = 4096; i < std::min<std::size_t>(corrupt.size(), 3 * 4096); ++i) corrupt[i] = '\x5a';
    refused(corrupt, "is damaged");
}

TEST_CASE("a workshop file from a newer Restand can be read and is not written") {
    const Folder folder;
    make_workshop(folder("w.restand"));
    run(folder, "export b.bundle --file w.restand");
    std::string newer = bytes_of(folder("w.restand"));
    newer[63] = 9;
    write_bytes(folder("newer.restand"), newer);
    const Ran ran = run(folder, "import b.bundle --file newer.restand");
    CHECK(ran.code == 2);
    CHECK(has(ran.err, "newer.restand is from a newer Restand (version 9)"));
    CHECK(run(folder, "bikes --file newer.restand").code == 0);
    CHECK(bytes_of(folder("newer.restand")) == newer);
}

TEST_CASE("a read-only workshop file is read, and an import into it refused") {
    const Folder folder;
    make_workshop(folder("w.restand"));
    run(folder, "export b.bundle --file w.restand");
    const std::string become = as_nobody(folder);
    if (become.empty()) {
        MESSAGE("skipped: no way to run as somebody for whom a file can be read-only");
        return;
    }
    namespace fs = std::filesystem;
    fs::permissions(folder("w.restand"),
                    fs::perms::owner_read | fs::perms::group_read | fs::perms::others_read);
    fs::permissions(folder("b.bundle"), fs::perms::others_read, fs::perm_options::add);
    const std::string before = bytes_of(folder("w.restand"));
    const Ran import = run(folder, "import b.bundle --file w.restand", become);
    CAPTURE(import.err);
    CHECK(import.code == 2);
    CHECK(has(import.err, "w.restand is read-only; nothing was written"));
    CHECK(run(folder, "bikes --file w.restand", become).code == 0);
    CHECK(bytes_of(folder("w.restand")) == before);
}

TEST_CASE("no workshop file: said by the name that was typed, none is made") {
    const Folder folder;
    const Ran ran = run(folder, "bikes --file none.restand");
    CHECK(ran.code == 2);
    CHECK(ran.err == "restand: none.restand was not found\n");
    CHECK(!std::filesystem::exists(folder("none.restand")));
    // Without a name no path of this machine shows.
    const Ran own = run(folder, "bikes", "XDG_DATA_HOME='" + folder("data") + "'");
    CHECK(own.code == 2);
    CHECK(own.err == "restand: the workshop file was not found\n");
}

TEST_CASE("check: says what a file is, and knows a case") {
    const Folder folder;
    write_bytes(folder("case.json"), issue_case);
    CHECK(run(folder, "check case.json").out == "case.json: case of a rear end, whole\n");
    write_bytes(folder("case.json"), changed(issue_case, "\"min\": 300", "\"min\": 399"));
    CHECK(run(folder, "check case.json").code == 2);
    write_bytes(folder("notes.txt"), "buy brake pads");
    const Ran notes = run(folder, "check notes.txt");
    CHECK(notes.code == 2);
    CHECK(has(notes.err, "notes.txt: this is no file of Restand's"));
    CHECK(run(folder, "check nowhere").code == 2);
    CHECK(run(folder, "check .").code == 2);
}
