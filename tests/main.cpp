// Every test program: with places of its own, so that no test sees the machine's sticks and documents.
#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

#include "tests/own_places.h"

int main(int argc, char** argv) {
    const restand::test::OwnPlaces places;
    return doctest::Context(argc, argv).run();
}
