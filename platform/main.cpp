#include <iostream>
#include <string_view>
#include <vector>

#include "platform/start.h"

int main(int argc, char** argv) {
    const std::vector<std::string_view> words(argv + 1, argv + argc);
    return restand::start(words, std::cout, std::cerr);
}
