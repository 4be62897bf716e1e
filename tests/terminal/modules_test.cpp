// What the program loads, and when. The window, paper and the server are modules beside it.

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "core/sync/postgres.h"
#include "tests/terminal/program.h"

using namespace restand;
using test::Folder;
using test::has;
using test::Ran;
namespace fs = std::filesystem;

namespace {

const fs::path program = RESTAND_PROGRAM;
const std::vector<std::string> modules = {"restand_window.so", "restand_paper.so", "restand_server.so"};

// The libraries that the system loads with a file: those that it needs, and those that they need.
std::string loads(const Folder& folder, const fs::path& file) {
    REQUIRE(std::system(("ldd '" + file.string() + "' >'" + folder("loads") + "'").c_str()) == 0);
    return test::bytes_of(folder("loads"));
}

// A program installed below `folder`, with its modules or alone.
struct Installed {
    Folder folder{Folder::On::disk};
    std::string at = folder("bin/restand");

    explicit Installed(const std::vector<std::string>& with) {
        fs::create_directories(folder("bin"));
        const std::string library = (fs::path(folder("bin")) / RESTAND_MODULE_FOLDER).lexically_normal();
        fs::create_directories(library);
        fs::copy_file(program, at);
        for (const auto& module : with)
            fs::copy_file(program.parent_path() / module, fs::path(library) / module);
        const std::string fixture = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand";
        test::write_bytes(folder("team.restand"), test::bytes_of(fixture));
        test::write_bytes(folder("case.json"), test::issue_case);
    }
    Ran run(const std::string& args) const { return test::run(folder, args, "SDL_VIDEODRIVER=dummy", at); }
    std::string baseline() const {
        const Store store = test::open(folder("team.restand"), Store::Mode::read);
        for (const Entry& e : test::got(store.all()))
            if (e.kind == "baseline") return to_text(e.id);
        return {};
    }
};

}  // namespace

TEST_CASE("modules: the program loads no library of the window, of paper or of the server") {
    const Folder folder;
    const std::string own = loads(folder, program);
    CHECK(has(own, "libc.so"));
    for (const char* library : {"SDL", "cairo", "libpq", "freetype", "X11", "ssl", "stb"})
        CHECK_MESSAGE(!has(own, library), own);
    // Each module loads its own and neither of the others.
    const auto module = [&](int i) { return loads(folder, program.parent_path() / modules[i]); };
    CHECK(has(module(0), "SDL"));
    CHECK(!has(module(0), "cairo"));
    CHECK(!has(module(0), "libpq"));
    CHECK(has(module(1), "cairo"));
    CHECK(!has(module(1), "SDL"));
    if (postgres_built_in()) CHECK(has(module(2), "libpq"));
    CHECK(!has(module(2), "SDL"));
}

TEST_CASE("modules: installed, the program finds its modules in the folder of libraries") {
    const Installed there(modules);
    const Ran sheet = there.run("sheet " + there.baseline() + " --file team.restand -o page.pdf");
    CHECK_MESSAGE(sheet.code == 0, sheet.err);
    CHECK(test::bytes_of(there.folder("page.pdf")).starts_with("%PDF"));
    // It gets as far as the server, which is not there.
    const Ran exchange = there.run("exchange --postgres 'host=/nowhere' --file team.restand");
    CHECK(exchange.code == 2);
    CHECK_MESSAGE(has(exchange.err, "PostgreSQL"), exchange.err);
    CHECK(!has(exchange.err, "restand_server.so"));
}

TEST_CASE(
    "modules: without them the other commands work, and these say what is missing, where, and what to do") {
    const Installed alone({});
    CHECK(alone.run("solve case.json").code == 0);
    const std::string before = test::bytes_of(alone.folder("team.restand"));
    const std::vector<std::pair<std::string, std::string>> asked = {
        {"restand_paper.so", "sheet " + alone.baseline() + " --file team.restand -o page.pdf"},
        {"restand_server.so", "exchange --postgres 'host=/nowhere' --file team.restand"},
        {"restand_window.so", "--screenshot shots"},
        {"restand_window.so", "./team.restand"},
    };
    for (const auto& [module, args] : asked) {
        const Ran ran = alone.run(args);
        // demo/run takes 4 for 'no window can be opened'.
        CHECK(ran.code == (args == "./team.restand" ? 4 : 2));
        CHECK_MESSAGE(has(ran.err, module + " was not found"), ran.err);
        CHECK_MESSAGE(has(ran.err, alone.folder("bin")), ran.err);
        CHECK_MESSAGE(has(ran.err, "install Restand again"), ran.err);
    }
    CHECK(!fs::exists(alone.folder("page.pdf")));
    CHECK(test::bytes_of(alone.folder("team.restand")) == before);
}

TEST_CASE("modules: a file that is no module is said to be damaged, not used") {
    const Installed there({});
    test::write_bytes(there.folder("bin/restand_paper.so"), "no library");
    const Ran ran = there.run("sheet " + there.baseline() + " --file team.restand -o page.pdf");
    CHECK(ran.code == 2);
    CHECK_MESSAGE(has(ran.err, "restand_paper.so is damaged"), ran.err);
    // A module of another part has no paper in it.
    fs::remove(there.folder("bin/restand_paper.so"));
    fs::copy_file(program.parent_path() / "restand_server.so", there.folder("bin/restand_paper.so"));
    const Ran other = there.run("sheet " + there.baseline() + " --file team.restand -o page.pdf");
    CHECK(other.code == 2);
    CHECK_MESSAGE(has(other.err, "restand_paper.so is damaged"), other.err);
}
