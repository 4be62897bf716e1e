// The program on Windows: a console program, so that a shell waits for its commands and reads what they print. Opened
// from the desktop it has a console of its own, which it leaves at once, and says in a box what it would print.

#include <windows.h>

#include <fcntl.h>
#include <io.h>
#include <shellapi.h>

#include <filesystem>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "platform/start.h"

namespace {

// As text arrived: Windows would split lines with two signs, and end the input at one.
void keep_bytes() {
    for (std::FILE* stream : {stdin, stdout, stderr}) ::_setmode(::_fileno(stream), _O_BINARY);
}

// What is written to a console is UTF-8; whoever has it afterwards finds it as it was.
class ConsoleSigns {
public:
    ConsoleSigns() : before_(::GetConsoleOutputCP()) { ::SetConsoleOutputCP(CP_UTF8); }
    ~ConsoleSigns() { ::SetConsoleOutputCP(before_); }
    ConsoleSigns(const ConsoleSigns&) = delete;
    ConsoleSigns& operator=(const ConsoleSigns&) = delete;

private:
    UINT before_;
};

std::vector<std::string> words_behind_name() {
    int count = 0;
    wchar_t** all = ::CommandLineToArgvW(::GetCommandLineW(), &count);
    std::vector<std::string> words;
    for (int i = 1; all && i < count; ++i) words.push_back(std::filesystem::path(all[i]).string());
    ::LocalFree(all);
    return words;
}

// Nobody else has our console, and what we print goes nowhere else.
bool is_from_desktop() {
    DWORD processes[2];
    const DWORD type = ::GetFileType(::GetStdHandle(STD_ERROR_HANDLE));
    return ::GetConsoleProcessList(processes, 2) <= 1 && type != FILE_TYPE_DISK && type != FILE_TYPE_PIPE;
}

int start_from_desktop(const std::vector<std::string_view>& words) {
    ::FreeConsole();
    std::ostringstream out, err;
    const int code = restand::start(words, out, err);
    const std::wstring said = std::filesystem::path(err.str()).wstring();
    if (code != 0) ::MessageBoxW(nullptr, said.c_str(), L"Restand", MB_OK | MB_ICONERROR);
    return code;
}

}  // namespace

int main() {
    const std::vector<std::string> all = words_behind_name();
    const std::vector<std::string_view> words(all.begin(), all.end());
    if (is_from_desktop()) return start_from_desktop(words);
    const ConsoleSigns utf8;
    keep_bytes();
    return restand::start(words, std::cout, std::cerr);
}
