#include "platform/terminal/request.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "app/sentences.h"
#include "core/codec/nearest.h"
#include "platform/places.h"
#include "platform/terminal/plain_out.h"

namespace restand {
namespace {

std::string cap_text(std::uint64_t cap) {
    return std::to_string(cap >> 20) + " MB";
}

// Reads at most one byte more than allowed, so that an endless pipe is detected.
Result<std::string> read_stream(std::istream& in, std::string_view name, std::uint64_t cap,
                                std::uint64_t expected, std::string_view start) {
    std::string bytes;
    bytes.reserve(std::min(expected, cap) + (1 << 16));
    std::string block(1 << 16, '\0');
    while (in && bytes.size() <= cap) {
        in.read(block.data(), static_cast<std::streamsize>(block.size()));
        bytes.append(block.data(), static_cast<std::size_t>(in.gcount()));
        if (!bytes.starts_with(start)) return Error{ErrorCode::not_ours, std::string(name), ""};
    }
    if (in.bad()) return Error{ErrorCode::io, std::string(name), "it cannot be read"};
    if (bytes.size() > cap) return Error{ErrorCode::too_large, std::string(name), cap_text(cap)};
    return bytes;
}

}  // namespace

namespace {

struct Switch {
    std::string_view name;
    bool Request::*to;
};
constexpr std::array switches = {
    Switch{"--json", &Request::json},       Switch{"--text", &Request::text},
    Switch{"--replace", &Request::replace}, Switch{"--help", &Request::help},
    Switch{"-h", &Request::help},           Switch{"--version", &Request::version},
    Switch{"--yes", &Request::yes},         Switch{"--month-first", &Request::month_first},
    Switch{"--schema", &Request::schema},   Switch{"--letter", &Request::letter},
    Switch{"--csv", &Request::csv},         Switch{"--other", &Request::other},
};
struct Valued {
    std::string_view name, needs;
    std::optional<std::string_view> Request::*to;
};
constexpr std::array valued = {
    Valued{"--file", "name the workshop file behind it", &Request::workshop},
    Valued{"--postgres", "say behind it how to reach the server", &Request::postgres},
    Valued{"--bike", "name the bike behind it", &Request::bike},
    Valued{"--words", "put the words to look for behind it", &Request::words},
    Valued{"--part", "name the part behind it", &Request::part},
    Valued{"--before", "name behind it what the bike is got ready for", &Request::milestone},
    Valued{"-o", "name the file to write behind it", &Request::output},
};

// Reads one option, with its value if it has one; nullopt when all is well.
std::optional<Error> read_option(std::span<const std::string_view> args, std::size_t& i, Request& request) {
    const std::string_view word = args[i];
    for (const Switch& one : switches)
        if (word == one.name) return request.*one.to = true, std::nullopt;
    for (const Valued& one : valued) {
        const bool joined = one.name.starts_with("--") && word.starts_with(one.name) &&
                            word.substr(one.name.size()).starts_with("=");
        if (joined) return request.*one.to = word.substr(one.name.size() + 1), std::nullopt;
        if (word != one.name) continue;
        if (i + 1 == args.size())
            return Error{ErrorCode::missing, std::string(one.name), std::string(one.needs)};
        return request.*one.to = args[++i], std::nullopt;
    }
    std::vector<std::string_view> names;
    for (const Switch& one : switches) names.push_back(one.name);
    for (const Valued& one : valued) names.push_back(one.name);
    return Error{ErrorCode::unknown_key, std::string(word), nearest(word, names)};
}

}  // namespace

Result<Request> read_request(std::span<const std::string_view> args) {
    Request request;
    bool only_operands = false;
    for (std::size_t i = 0; i < args.size(); ++i) {
        const std::string_view word = args[i];
        const bool option = !only_operands && word.size() > 1 && word.front() == '-';
        if (option && word == "--")
            only_operands = true;
        else if (option) {
            if (const auto error = read_option(args, i, request)) return *error;
        } else if (request.command.empty())
            request.command = word;
        else
            request.operands.push_back(word);
    }
    return request;
}

Result<WorkshopPath> workshop_path(std::optional<std::string_view> given) {
    if (given) return WorkshopPath{std::string(*given), std::string(*given)};
    const auto own = own_workshop();
    if (!own) return Error{own.error().code, "the workshop file", own.error().detail};
    return WorkshopPath{own->string(), "the workshop file"};
}

Result<std::string> read_bytes(std::string_view name, std::uint64_t cap, std::string_view start) {
    if (name == "-") return read_stream(std::cin, "standard input", cap, 0, start);
    namespace fs = std::filesystem;
    std::error_code failed;
    const fs::file_status status = fs::status(fs::path(name), failed);
    if (!fs::exists(status)) return Error{ErrorCode::not_found, std::string(name), ""};
    if (fs::is_directory(status))
        return Error{ErrorCode::wrong_type, std::string(name), "a file, this is a folder"};
    if (fs::is_character_file(status) || fs::is_block_file(status))
        return Error{ErrorCode::wrong_type, std::string(name), "a file, this is a device"};
    const std::uint64_t size = fs::is_regular_file(status) ? fs::file_size(fs::path(name), failed) : 0;
    if (size > cap) return Error{ErrorCode::too_large, std::string(name), cap_text(cap)};
    std::ifstream in(fs::path(name), std::ios::binary);
    if (!in) return Error{ErrorCode::io, std::string(name), "it cannot be opened"};
    return read_stream(in, name, cap, size, start);
}

int complain(std::ostream& err, const Error& error) {
    err << "restand: " << plain_line(sentence(error)) << "\n";
    return exit_bad_input;
}

}  // namespace restand
