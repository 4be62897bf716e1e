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

Result<HeightMap> map_of(const BikeBody& bike, End end, const Fitted& fitted) {
    const EndSetup& setup = bike.setup(end);
    if (end == End::rear && bike.mechanism.linkage && bike.geometry.swingarm) {
        const auto linkage = LinkageMap::of(linkage_with(*bike.mechanism.linkage, fitted.link_rod));
        if (linkage) return HeightMap::linkage(*linkage, *bike.geometry.swingarm + fitted.arm_longer);
        // An incomplete linkage counts as absent. With another rod the error says that the rod does not fit.
        if (fitted.link_rod) return linkage.error();
    }
    if (setup.pairs.size() >= 2) return HeightMap::pairs(setup.pairs);
    if (setup.leverage) return HeightMap::leverage(*setup.leverage);
    if (end == End::front && bike.geometry.rake) return HeightMap::leverage(cos(*bike.geometry.rake));
    return Error{ErrorCode::missing, "leverage", std::string(key(end))};
}

}  // namespace restand
