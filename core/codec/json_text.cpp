#include "core/codec/json_text.h"

#include <cmath>
#include <optional>
#include <vector>

namespace restand {
namespace {

using nlohmann::json;

// Builds the value itself: the library's builder has no depth limit and keeps the last of two equal keys.
class JsonTextBuilder : public nlohmann::json_sax<json> {
public:
    bool null() override { return put(nullptr); }
    bool boolean(bool v) override { return put(v); }
    bool number_integer(number_integer_t v) override { return put(v); }
    bool number_unsigned(number_unsigned_t v) override { return put(v); }
    bool number_float(number_float_t v, const string_t&) override {
        return std::isfinite(v) ? put(v) : refuse("number is not finite");
    }
    bool string(string_t& v) override { return put(std::move(v)); }
    bool binary(binary_t&) override { return refuse("binary value"); }
    bool start_object(std::size_t) override { return enter(json::object()); }
    bool start_array(std::size_t) override { return enter(json::array()); }
    bool end_object() override { return leave(); }
    bool end_array() override { return leave(); }
    bool key(string_t& name) override {
        if (open_.back()->contains(name)) return refuse("key twice: " + name.substr(0, 40));
        slot_ = &(*open_.back())[name];
        return true;
    }
    bool parse_error(std::size_t at, const std::string&, const json::exception&) override {
        return refuse("syntax at byte " + std::to_string(at));
    }

    json root;
    std::string reason;

private:
    json* place(json&& v) {
        if (open_.empty()) return &(root = std::move(v));
        if (open_.back()->is_array()) return &open_.back()->emplace_back(std::move(v));
        return &(*slot_ = std::move(v));
    }
    template <class T>
    bool put(T&& v) {
        place(json(std::forward<T>(v)));
        return true;
    }
    bool enter(json&& v) {
        if (open_.size() == json_depth) return refuse("more than 64 levels");
        open_.push_back(place(std::move(v)));
        return true;
    }
    bool leave() {
        open_.pop_back();
        return true;
    }
    bool refuse(std::string why) {
        if (reason.empty()) reason = std::move(why);
        return false;
    }

    std::vector<json*> open_;  // containers being filled, outermost first
    json* slot_ = nullptr;     // place for the value of the last key
};

}  // namespace

Result<nlohmann::json> parse_json(std::string_view text) {
    JsonTextBuilder builder;
    try {
        if (json::sax_parse(text.begin(), text.end(), &builder) && builder.reason.empty())
            return std::move(builder.root);
    } catch (const std::exception& e) {
        builder.reason = e.what();
    }
    return Error{ErrorCode::damaged, "json", builder.reason};
}

std::string print_json(const nlohmann::json& value) {
    return value.dump(-1, ' ', false, json::error_handler_t::replace);
}

}  // namespace restand
