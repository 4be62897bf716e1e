#include "platform/terminal/request.h"

#include <filesystem>
#include <fstream>
#include <iostream>

#include "core/exchange/words.h"
#include "platform/desktop/places.h"

namespace restand {
namespace {

std::string cap_text(std::uint64_t cap) {
    return std::to_string(cap >> 20) + " MB";
}

// Reads at most one byte more than allowed, so that a pipe without end is noticed.
Result<std::string> read_stream(std::istream& in, std::string_view name, std::uint64_t cap) {
    std::string bytes;
    std::string block(1 << 16, '\0');
    while (in && bytes.size() <= cap) {
        in.read(block.data(), static_cast<std::streamsize>(block.size()));
        bytes.append(block.data(), static_cast<std::size_t>(in.gcount()));
    }
    if (in.bad()) return Error{ErrorCode::io, std::string(name), "it cannot be read"};
    if (bytes.size() > cap) return Error{ErrorCode::too_large, std::string(name), cap_text(cap)};
    return bytes;
}

}  // namespace

Result<Request> read_request(std::span<const std::string_view> args) {
    Request request;
    bool only_operands = false;
    for (std::size_t i = 0; i < args.size(); ++i) {
        const std::string_view word = args[i];
        const bool option = !only_operands && word.size() > 1 && word.front() == '-';
        if (!option && request.command.empty())
            request.command = word;
        else if (!option)
            request.operands.push_back(word);
        else if (word == "--")
            only_operands = true;
        else if (word == "--json")
            request.json = true;
        else if (word == "--text")
            request.text = true;
        else if (word == "--replace")
            request.replace = true;
        else if (word == "--help" || word == "-h")
            request.help = true;
        else if (word == "--version")
            request.version = true;
        else if (word.starts_with("--file="))
            request.workshop = word.substr(7);
        else if (word == "--file" && i + 1 < args.size())
            request.workshop = args[++i];
        else if (word == "--file")
            return Error{ErrorCode::missing, "--file", "name the workshop file behind it"};
        else
            return Error{ErrorCode::unknown_key, std::string(word),
                         nearest(word, {"--json", "--text", "--replace", "--help", "--version", "--file"})};
    }
    return request;
}

Result<WorkshopPath> workshop_path(std::optional<std::string_view> given) {
    if (given) return WorkshopPath{std::string(*given), std::string(*given)};
    const auto own = own_workshop();
    if (!own) return Error{own.error().code, "the workshop file", own.error().detail};
    return WorkshopPath{own->string(), "the workshop file"};
}

Result<std::string> read_bytes(std::string_view name, std::uint64_t cap) {
    if (name == "-") return read_stream(std::cin, "standard input", cap);
    namespace fs = std::filesystem;
    std::error_code failed;
    const fs::file_status status = fs::status(fs::path(name), failed);
    if (!fs::exists(status)) return Error{ErrorCode::not_found, std::string(name), ""};
    if (fs::is_directory(status))
        return Error{ErrorCode::wrong_type, std::string(name), "a file, this is a folder"};
    if (fs::is_regular_file(status) && fs::file_size(fs::path(name), failed) > cap)
        return Error{ErrorCode::too_large, std::string(name), cap_text(cap)};
    std::ifstream in(fs::path(name), std::ios::binary);
    if (!in) return Error{ErrorCode::io, std::string(name), "it cannot be opened"};
    return read_stream(in, name, cap);
}

int complain(std::ostream& err, const Error& error) {
    err << "restand: " << sentence(error) << "\n";
    return exit_bad_input;
}

}  // namespace restand
