#include "core/ledger/map_of.h"

#include <cmath>

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

bool reads_along_fork(const BikeBody& bike) {
    const auto& typed = bike.front.leverage;
    if (typed) return std::fabs(*typed - 1) <= 1e-3;
    return bike.how_read.front_heights == FrontHeights::along_fork;
}

double upright_rise(const BikeBody& bike, End end) {
    if (end == End::rear || !reads_along_fork(bike) || !bike.geometry.rake) return 1.0;
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
