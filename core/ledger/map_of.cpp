#include "core/ledger/map_of.h"

namespace restand {

Linkage linkage_with(Linkage linkage, const std::optional<Length>& rod) {
    if (rod && linkage.rocker) linkage.rocker->rod = *rod;
    return linkage;
}

LinkageTable strut_table(const BikeBody& bike) {
    LinkageTable table;
    for (const auto& [strut, height] : bike.rear.pairs) table.pairs.push_back({strut, -height});
    return table;
}

std::optional<double> front_ratio(const BikeBody& bike) {
    if (bike.front.leverage) return *bike.front.leverage;
    if (bike.how_read.front_heights == FrontHeights::along_fork) return 1.0;
    return bike.geometry.rake ? std::optional(cos(*bike.geometry.rake)) : std::nullopt;
}

double upright_rise(const BikeBody& bike, End end) {
    const bool along = end == End::front && bike.how_read.front_heights == FrontHeights::along_fork;
    // A ratio that was typed is taken as upright, whatever it is made of.
    if (!along || bike.front.leverage || !bike.geometry.rake) return 1.0;
    return cos(*bike.geometry.rake);
}

Result<HeightMap> map_of(const BikeBody& bike, End end, const Fitted& fitted) {
    const EndSetup& setup = bike.setup(end);
    if (end == End::rear && bike.mechanism.linkage && bike.geometry.swingarm) {
        const auto linkage = LinkageMap::of(linkage_with(*bike.mechanism.linkage, fitted.link_rod));
        if (linkage) return HeightMap::linkage(*linkage, *bike.geometry.swingarm + fitted.arm_longer);
        // An incomplete linkage counts as absent. With another rod the error says that the rod does not fit.
        if (fitted.link_rod) return linkage.error();
    }
    if (setup.pairs.size() >= 2) return HeightMap::pairs(setup.pairs);
    if (const auto ratio = end == End::front ? front_ratio(bike) : setup.leverage)
        return HeightMap::leverage(*ratio);
    return Error{ErrorCode::missing, "leverage", std::string(key(end))};
}

}  // namespace restand
