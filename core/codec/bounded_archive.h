#pragma once
// cereal archives for bytes of unknown origin. Only the .cpp files that read or write archives include this.
//
// Integers are little-endian, doubles are stored by their bits. The reader throws ArchiveFault if a value or
// a stated size does not fit into the bytes left. So a size in a file never makes it allocate more than a
// small multiple of the file size. No pointers and no polymorphic types: <cereal/types/memory.hpp> must not
// be included.

#include <bit>
#include <cereal/cereal.hpp>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <type_traits>

namespace restand {

struct ArchiveFault : std::runtime_error {
    using std::runtime_error::runtime_error;
};

template <class T>
concept Plain = std::is_arithmetic_v<T>;

class BoundedOut : public cereal::OutputArchive<BoundedOut, cereal::AllowEmptyClassElision> {
public:
    explicit BoundedOut(std::string& bytes) : OutputArchive(this), bytes_(bytes) {}
    template <Plain T>
    void put(T v) {
        if constexpr (std::is_floating_point_v<T>) {
            static_assert(sizeof(T) == 8);
            put(std::bit_cast<std::uint64_t>(v));
        } else {
            for (std::size_t i = 0; i < sizeof(T); ++i)
                bytes_ += static_cast<char>(static_cast<std::uint64_t>(v) >> (8 * i) & 0xff);
        }
    }
    void put(std::string_view v) { bytes_ += v; }

private:
    std::string& bytes_;
};

class BoundedIn : public cereal::InputArchive<BoundedIn, cereal::AllowEmptyClassElision> {
public:
    explicit BoundedIn(std::string_view bytes) : InputArchive(this), left_(bytes) {}
    std::size_t left() const { return left_.size(); }
    std::string_view take(std::uint64_t count) {
        if (count > left_.size()) throw ArchiveFault("ends early");
        const auto taken = left_.substr(0, count);
        left_.remove_prefix(count);
        return taken;
    }
    template <Plain T>
    void get(T& v) {
        std::uint64_t bits = 0;
        const auto bytes = take(sizeof(T));
        for (std::size_t i = 0; i < sizeof(T); ++i)
            bits |= static_cast<std::uint64_t>(static_cast<unsigned char>(bytes[i])) << (8 * i);
        if constexpr (std::is_same_v<T, bool>) {
            if (bits > 1) throw ArchiveFault("neither true nor false");
            v = bits == 1;
        } else if constexpr (std::is_floating_point_v<T>) {
            static_assert(sizeof(T) == 8);
            v = std::bit_cast<double>(bits);
        } else {
            v = static_cast<T>(bits);
        }
    }

private:
    std::string_view left_;
};

template <Plain T>
void CEREAL_SAVE_FUNCTION_NAME(BoundedOut& out, const T& v) {
    out.put(v);
}
template <Plain T>
void CEREAL_LOAD_FUNCTION_NAME(BoundedIn& in, T& v) {
    in.get(v);
}

template <class T>
void CEREAL_SAVE_FUNCTION_NAME(BoundedOut& out, const cereal::SizeTag<T>& tag) {
    out.put(static_cast<std::uint64_t>(tag.size));
}
// Every element takes at least one byte, so a size larger than the number of bytes left is false.
template <class T>
void CEREAL_LOAD_FUNCTION_NAME(BoundedIn& in, cereal::SizeTag<T>& tag) {
    std::uint64_t size = 0;
    in.get(size);
    if (size > in.left()) throw ArchiveFault("size beyond the end");
    tag.size = static_cast<cereal::size_type>(size);
}

// Names serve archives in text form. This binary archive drops them.
template <class T>
void CEREAL_SAVE_FUNCTION_NAME(BoundedOut& out, const cereal::NameValuePair<T>& pair) {
    out(pair.value);
}
template <class T>
void CEREAL_LOAD_FUNCTION_NAME(BoundedIn& in, cereal::NameValuePair<T>& pair) {
    in(pair.value);
}

inline void CEREAL_SAVE_FUNCTION_NAME(BoundedOut& out, const std::string& v) {
    out(cereal::make_size_tag(static_cast<cereal::size_type>(v.size())));
    out.put(std::string_view(v));
}
inline void CEREAL_LOAD_FUNCTION_NAME(BoundedIn& in, std::string& v) {
    cereal::size_type size = 0;
    in(cereal::make_size_tag(size));
    v = in.take(size);
}

}  // namespace restand

CEREAL_REGISTER_ARCHIVE(restand::BoundedOut)
CEREAL_REGISTER_ARCHIVE(restand::BoundedIn)
CEREAL_SETUP_ARCHIVE_TRAITS(restand::BoundedIn, restand::BoundedOut)
