#include "app/pad/question_wording.h"

#include <fmt/format.h>

#include "app/views/point_wording.h"
#include "app/views/wording.h"

namespace restand::wording {

std::string out_of_range(double low, double high, Unit unit) {
    const std::string s(symbol(unit));
    return fmt::format("Cannot be. Allowed: {} to {}{}.", plain(low, unit), plain(high, unit),
                       s.empty() ? "" : " " + s);
}

std::string far_from_last(double away, Unit unit) {
    return fmt::format("{} {} from the last baseline. Same mark, same state?", signed_value(away, unit),
                       symbol(unit));
}

std::string far_from_answer(double away, Unit unit) {
    return fmt::format("{} {} from what the answer says. Is it set so?", signed_value(away, unit),
                       symbol(unit));
}

std::string far_from_expected(double away, Unit unit) {
    return fmt::format("{} {} from what is expected. Same mark, same state?", signed_value(away, unit),
                       symbol(unit));
}

std::string unusual(double low, double high, Unit unit) {
    return fmt::format("Usual is {} to {} {}. Right number, right unit?", plain(low, unit), plain(high, unit),
                       symbol(unit));
}

std::string little_sag(double sag, Unit unit) {
    return fmt::format(
        "Topped out and static are only {} {} apart. A stand under the swingarm lets the shock "
        "carry the bike: lift the frame, the wheel hangs. Did it hang?",
        plain(sag, unit), symbol(unit));
}

std::string out_of_order(const OutOfOrder& order, Unit unit) {
    const auto in_unit = [unit](Length length) { return plain(from_canonical(length.value, unit), unit); };
    if (is_ride_height(order.small))
        return fmt::format(
            "Higher than {}, {} {}: with more load it stands lower. Right number, right place?",
            label(order.large), in_unit(order.large_is), symbol(unit));
    if (order.small == Point::spring_installed_length)
        return fmt::format(
            "Installed, {} {}, is longer than the loose spring, {}. Right spring, right number?",
            in_unit(order.small_is), symbol(unit), in_unit(order.large_is));
    if (order.small == Point::spring_block_length || order.small == Point::helper_block_length)
        return fmt::format("The coils would touch at {} {}: longer than {}, {}. Right number?",
                           in_unit(order.small_is), symbol(unit), label(order.large),
                           in_unit(order.large_is));
    return fmt::format("{}, {} {}, is more than {}, {}. Right number, right place?", label(order.small),
                       in_unit(order.small_is), symbol(unit), label(order.large), in_unit(order.large_is));
}

std::string two_preloads(const TwoPreloads& two, Unit unit) {
    const auto in_unit = [unit](Length length) { return plain(from_canonical(length.value, unit), unit); };
    return fmt::format(
        "Free less installed length is a preload of {} {}, not {}. The lengths count. Keep it all the same?",
        in_unit(two.by_lengths), symbol(unit), in_unit(two.read));
}

std::string count_again(int links, int fits) {
    return fmt::format("{} links do not fit here. Count again: {} fits. Same count?", links, fits);
}

std::string odd_links() {
    return "An odd count needs a cranked link. Count again: same count?";
}

std::string other_rate(double old, Unit unit) {
    return fmt::format("The old spring has {} {}. Right number, right unit?", plain(old, unit), symbol(unit));
}

}  // namespace restand::wording
