// `restand sheet`: the page for the toolbox from the command line, of the released workshop file.

#include "tests/terminal/program.h"

using namespace restand;
using test::Ran;

namespace {

struct TextPlace {
    test::Folder folder;
    std::string id;
    TextPlace() {
        const std::string fixture = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand";
        test::write_bytes(folder("team.restand"), test::bytes_of(fixture));
        const Store store = test::open(folder("team.restand"), Store::Mode::read);
        for (const Entry& e : test::got(store.all()))
            if (e.kind == "baseline") id = to_text(e.id);
        REQUIRE(!id.empty());
    }
    Ran sheet(const std::string& args) { return test::run(folder, "sheet --file team.restand " + args); }
    std::string file(const std::string& name) { return test::bytes_of(folder(name)); }
};

}  // namespace

TEST_CASE("restand sheet writes one page, and none over a file that is there") {
    TextPlace at;
    const Ran first = at.sheet(at.id + " -o page.pdf");
    CHECK_MESSAGE(first.code == 0, first.err);
    CHECK(test::has(first.out, "page.pdf"));
    CHECK(at.file("page.pdf").starts_with("%PDF-"));
    CHECK(test::has(at.file("page.pdf"), "%%EOF"));

    const std::string kept = at.file("page.pdf");
    const Ran again = at.sheet(at.id + " -o page.pdf --letter");
    CHECK(again.code == 2);
    CHECK(at.file("page.pdf") == kept);
    CHECK(at.sheet(at.id + " -o page.pdf --letter --replace").code == 0);
    CHECK(at.file("page.pdf") != kept);
}

TEST_CASE("restand sheet says what is missing and writes nothing") {
    TextPlace at;
    CHECK(at.sheet(at.id).code == 2);
    CHECK(test::has(at.sheet(at.id).err, "-o"));
    const Ran unknown = at.sheet("ffffffff -o page.pdf");
    CHECK(unknown.code == 2);
    CHECK(test::has(unknown.err, "ffffffff"));
    CHECK(at.sheet(at.id + " -o no/such/folder/page.pdf").code == 2);
    CHECK(!std::filesystem::exists(at.folder("page.pdf")));
}
