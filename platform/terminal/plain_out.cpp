#include "platform/terminal/plain_out.h"

#include <utility>

namespace restand {
namespace {

constexpr unsigned char two_byte_start = 0xC2;  // UTF-8 of U+0080 to U+00BF

bool is_control(unsigned char c) {
    return c < 0x20 || c == 0x7f;
}
// The second byte after C2 of U+0080 to U+009F.
bool ends_c1(unsigned char c) {
    return c >= 0x80 && c <= 0x9f;
}

}  // namespace

PlainOut::PlainOut(std::ostream& to) : std::ostream(nullptr), to_(*to.rdbuf()) {
    rdbuf(this);
}

PlainOut::~PlainOut() {
    sync();
}

bool PlainOut::put(unsigned char c) {
    return to_.sputc(static_cast<char>(c)) != std::char_traits<char>::eof();
}

bool PlainOut::escape(unsigned char c) {
    constexpr std::string_view digits = "0123456789abcdef";
    const char text[] = {'\\', 'u', '0', '0', digits[c >> 4], digits[c & 15]};
    return to_.sputn(text, sizeof text) == sizeof text;
}

// The held byte stands alone: a carriage return is a control character, C2 is broken text.
bool PlainOut::put_held() {
    const unsigned char held = std::exchange(held_, static_cast<unsigned char>(0));
    if (held == '\r') return escape(held);
    return held == 0 || put(held);
}

int PlainOut::overflow(int value) {
    if (value == std::char_traits<char>::eof()) return 0;
    const auto c = static_cast<unsigned char>(value);
    bool good = true;
    if (held_ == '\r' && c == '\n') {
        held_ = 0;
        good = put('\r') && put('\n');
    } else if (held_ == two_byte_start && ends_c1(c)) {
        held_ = 0;
        good = escape(c);
    } else {
        good = put_held();
        if (c == '\r' || c == two_byte_start)
            held_ = c;
        else
            good = good && (is_control(c) && c != '\n' && c != '\t' ? escape(c) : put(c));
    }
    return good ? value : std::char_traits<char>::eof();
}

// The text of a whole table comes this way: allowed text is passed on in one piece.
std::streamsize PlainOut::xsputn(const char* text, std::streamsize size) {
    const auto passes = [](unsigned char c) {
        return c != two_byte_start && (!is_control(c) || c == '\n' || c == '\t');
    };
    std::streamsize done = 0;
    while (done < size) {
        std::streamsize run = done;
        while (held_ == 0 && run < size && passes(static_cast<unsigned char>(text[run]))) ++run;
        if (run > done) {
            const auto put = to_.sputn(text + done, run - done);
            done += put;
            if (done < run) return done;
        } else {
            if (overflow(static_cast<unsigned char>(text[done])) == std::char_traits<char>::eof())
                return done;
            ++done;
        }
    }
    return done;
}

int PlainOut::sync() {
    return put_held() && to_.pubsync() == 0 ? 0 : -1;
}

std::string plain_line(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        const bool c1 =
            c == two_byte_start && i + 1 < text.size() && ends_c1(static_cast<unsigned char>(text[i + 1]));
        if (c1) ++i;
        out += c1 || is_control(c) ? ' ' : text[i];
    }
    return out;
}

}  // namespace restand
