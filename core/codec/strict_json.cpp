#include "core/codec/strict_json.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "core/codec/nearest.h"

namespace restand {
namespace {

std::string place_in(std::string_view text, std::size_t offset) {
    offset = std::min(offset, text.size());
    const auto head = text.substr(0, offset);
    const auto line = std::count(head.begin(), head.end(), '\n') + 1;
    const auto start = head.rfind('\n');
    const std::size_t column = offset - (start == std::string_view::npos ? 0 : start + 1) + 1;
    return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

bool word_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// The word around a position in the text, with its sign, e.g. "NaN".
std::string word_round(std::string_view text, std::size_t at) {
    if (at >= text.size()) return "";
    std::size_t begin = at, end = at;
    while (begin > 0 && word_letter(text[begin - 1])) --begin;
    while (end < text.size() && word_letter(text[end])) ++end;
    if (begin > 0 && end > begin && text[begin - 1] == '-') --begin;
    return std::string(text.substr(begin, std::min<std::size_t>(end - begin, 20)));
}

bool means_no_number(std::string word) {
    if (!word.empty() && word.front() == '-') word.erase(0, 1);
    for (char& c : word) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return word == "nan" || word == "inf" || word == "infinity";
}

// Builds the tree itself, to detect duplicate keys and to know the path at which parsing stops.
class StrictJsonBuilder final : public nlohmann::json_sax<Json> {
public:
    explicit StrictJsonBuilder(std::string_view text) : text_(text) {}

    bool null() override { return put(nullptr); }
    bool boolean(bool v) override { return put(v); }
    bool number_integer(number_integer_t v) override { return put(v); }
    bool number_unsigned(number_unsigned_t v) override { return put(v); }
    bool number_float(number_float_t v, const string_t&) override { return put(v); }
    bool string(string_t& v) override { return put(std::move(v)); }
    bool binary(binary_t&) override { return false; }
    bool start_object(std::size_t) override { return open(Json::object()); }
    bool start_array(std::size_t) override { return open(Json::array()); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }

    bool key(string_t& name) override {
        frames_.back().key = name;
        // The time to find a duplicate key grows with the width. Valid files are never this wide.
        if (frames_.back().node->size() >= json_width_cap) {
            error =
                Error{ErrorCode::too_large, path(), std::to_string(json_width_cap) + " keys in one object"};
            return false;
        }
        if (!frames_.back().node->contains(name)) return true;
        error = Error{ErrorCode::contradiction, path(), "given twice"};
        return false;
    }

    bool parse_error(std::size_t position, const std::string&,
                     const nlohmann::detail::exception& what) override {
        // Positions count from 1; the position is just after the character that could not be read.
        const std::size_t at = position == 0 ? 0 : position - 1;
        const std::string word = word_round(text_, at);
        if (what.id == 406) {
            error = Error{ErrorCode::not_a_number, path(), "beyond what a number can hold"};
        } else if (means_no_number(word)) {
            error = Error{ErrorCode::not_a_number, path(), word};
        } else {
            const bool ended = at >= text_.size();
            error = Error{ended ? ErrorCode::truncated : ErrorCode::damaged, place_in(text_, at),
                          ended ? "the text ends in the middle" : "no JSON from here on"};
        }
        return false;
    }

    Json root;
    std::optional<Error> error;

private:
    struct Frame {
        Json* node;
        std::string key;
    };

    std::string path() const {
        std::string text;
        for (const Frame& frame : frames_) {
            if (frame.node->is_array()) {
                text += "[" + std::to_string(frame.node->size() + (&frame == &frames_.back() ? 1 : 0)) + "]";
            } else {
                if (!text.empty()) text += ".";
                text += frame.key;
            }
        }
        return text.empty() ? "case" : text;
    }
    Json* put(Json&& value, Json*& where) {
        if (frames_.empty()) {
            root = std::move(value);
            return where = &root;
        }
        Frame& frame = frames_.back();
        if (frame.node->is_array()) {
            frame.node->push_back(std::move(value));
            return where = &frame.node->back();
        }
        return where = &((*frame.node)[frame.key] = std::move(value));
    }
    bool put(Json&& value) {
        Json* where = nullptr;
        return put(std::move(value), where) != nullptr;
    }
    bool open(Json&& value) {
        if (frames_.size() >= json_depth_cap) {
            error = Error{ErrorCode::too_large, path(), std::to_string(json_depth_cap) + " levels"};
            return false;
        }
        Json* where = nullptr;
        put(std::move(value), where);
        frames_.push_back({where, ""});
        return true;
    }
    bool close() {
        frames_.pop_back();
        return true;
    }

    std::string_view text_;
    std::vector<Frame> frames_;
};

std::string clipped(const Json& node) {
    std::string text = node.dump(-1, ' ', false, Json::error_handler_t::replace);
    if (text.size() > 40) text = text.substr(0, 37) + "...";
    return text;
}

}  // namespace

Result<Json> parse_strictly(std::string_view text) {
    StrictJsonBuilder builder(text);
    const bool whole = Json::sax_parse(text.begin(), text.end(), &builder);
    if (builder.error) return *builder.error;
    if (!whole) return Error{ErrorCode::damaged, "line 1, column 1", "no JSON"};
    return std::move(builder.root);
}

std::string exact_text(double v) {
    char buffer[32];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, v);
    return std::string(buffer, end.ptr);
}

std::string to_text(const Range& range) {
    return exact_text(range.low) + (range.open_low ? " < " : " <= ") + std::string(range.name) +
           " <= " + exact_text(range.high);
}

std::optional<double> number_at(const Json& node, const std::string& path, const Range& range,
                                std::optional<Error>& error) {
    if (error) return std::nullopt;
    if (!node.is_number()) {
        error = Error{ErrorCode::not_a_number, path, clipped(node)};
        return std::nullopt;
    }
    const double value = node.get<double>();
    const bool inside = std::isfinite(value) && (range.open_low ? value > range.low : value >= range.low) &&
                        value <= range.high;
    if (inside) return value;
    error = Error{ErrorCode::out_of_range, path, clipped(node) + "; " + to_text(range)};
    return std::nullopt;
}

Fields::Fields(const Json* object, std::string path, std::initializer_list<std::string_view> known,
               std::optional<Error>& error)
    : object_(object), path_(std::move(path)), error_(error) {
    if (error_ || !object_) {
        object_ = nullptr;
        return;
    }
    if (!object_->is_object()) {
        error_ = Error{ErrorCode::wrong_type, path_.empty() ? "case" : path_, "an object { … }"};
        object_ = nullptr;
        return;
    }
    for (const auto& [name, value] : object_->items()) {
        if (std::find(known.begin(), known.end(), std::string_view(name)) != known.end()) continue;
        error_ = Error{ErrorCode::unknown_key, this->path(name.substr(0, 80)),
                       nearest(name, std::vector<std::string_view>(known))};
        object_ = nullptr;
        return;
    }
}

std::string Fields::path(std::string_view key) const {
    if (key.empty()) key = "\"\"";  // an empty key is valid JSON and must be visible in the message
    return path_.empty() ? std::string(key) : path_ + "." + std::string(key);
}

const Json* Fields::node(std::string_view key) const {
    if (error_ || !object_) return nullptr;
    const auto found = object_->find(std::string(key));
    return found == object_->end() ? nullptr : &*found;
}

bool Fields::has(std::string_view key) const {
    return node(key) != nullptr;
}

const Json* Fields::required_node(std::string_view key) {
    const Json* found = node(key);
    if (!found) refuse(ErrorCode::missing, key, "");
    return found;
}

std::optional<double> Fields::number(std::string_view key, const Range& range) {
    const Json* found = node(key);
    return found ? number_at(*found, path(key), range, error_) : std::nullopt;
}

double Fields::required(std::string_view key, const Range& range) {
    if (!has(key)) refuse(ErrorCode::missing, key, to_text(range));
    return number(key, range).value_or(0.0);
}

std::optional<std::string> Fields::text(std::string_view key) {
    const Json* found = node(key);
    if (!found) return std::nullopt;
    if (found->is_string()) return found->get<std::string>();
    refuse(ErrorCode::wrong_type, key, "a text in quotes");
    return std::nullopt;
}

void Fields::refuse(ErrorCode code, std::string_view key, std::string detail) {
    if (!error_) error_ = Error{code, path(key), std::move(detail)};
}

}  // namespace restand
