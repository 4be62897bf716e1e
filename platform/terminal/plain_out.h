#pragma once
// All text to a terminal goes through here. Names and notes come from other devices' files. Characters that a
// terminal would act on (escape sequences, backspaces) are shown as their number, "\u001b", and never sent.
// Line ends and tabs pass. In JSON such an escape is the character itself, so other programs lose nothing.

#include <ostream>
#include <streambuf>
#include <string>

namespace restand {

class PlainOut : private std::streambuf, public std::ostream {
public:
    explicit PlainOut(std::ostream& to);
    ~PlainOut() override;

protected:
    int overflow(int c) override;
    std::streamsize xsputn(const char* text, std::streamsize size) override;
    int sync() override;

private:
    bool put(unsigned char c);
    bool put_held();
    bool escape(unsigned char c);
    std::streambuf& to_;
    unsigned char held_ = 0;  // '\r' or 0xC2, until the next byte is known; 0: none
};

// One line of text: line ends and tabs also become blanks.
std::string plain_line(std::string_view text);

}  // namespace restand
