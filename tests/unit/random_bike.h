#pragma once
// Invented bikes that can work, with all three kinds of linkage: the unit gets longer as the arm droops, with
// a sensible motion ratio over the travel. Seeded; the same on every machine.


#include <cmath>
#include <random>

#include "core/machine/standing_bike.h"

namespace restand::test {

class RandomBikes {
public:
    explicit RandomBikes(unsigned seed) : random_(seed) {}

    double between(double low, double high) {
        // std::uniform_real_distribution is not used: its numbers differ between libraries.
        return low + (high - low) * (static_cast<double>(random_() >> 11) / 9007199254740992.0);
    }
    int one_of(int low, int high) { return low + static_cast<int>(between(0, 1) * (high - low + 1)); }
    PlanePoint around(double x, double z, double by) {
        return {mm(x + between(-by, by)), mm(z + between(-by, by))};
    }

    Linkage linkage() {
        for (;;) {
            const Linkage l = some_linkage();
            if (sensible(l)) return l;
        }
    }

    WholeBike bike() {
        WholeBike b;
        b.linkage = linkage();
        b.arm = mm(between(540, 620));
        b.rear.radius = mm(between(305, 330));
        b.front.radius = mm(between(290, 305));
        b.geometry = {around(555, 370, 15), degrees(between(22, 26)), mm(between(24, 35))};
        b.fork.length = mm(between(590, 610));
        b.fork.travel = mm(120);
        b.fork.legs = 2;
        b.fork.spring = {newton_per_mm(between(8.5, 10.5)), mm(300), {}};
        b.fork.installed_length = mm(300 - between(8, 18));
        b.masses = Masses{{kilogram(between(135, 160)), around(170, 120, 30)},
                          {kilogram(between(5, 8)), around(-250, 15, 20)},
                          kilogram(between(12, 16)),
                          kilogram(between(13, 17)),
                          {kilogram(between(60, 95)), around(40, 480, 40)}};
        b.tail_mark = around(-480, 330, 40);
        // A spring that carries this bike on this linkage: about 30 mm of rider sag and 10 mm of free sag.
        const auto near = place_at(b.linkage, degrees(14));
        const double ratio = near->slope / (b.arm.value * std::cos(degrees(14).value));
        b.shock.length = near->length;
        b.shock.travel = mm(70 * ratio / 0.5);
        const double wheel_rate = between(17, 26), wheel_preload = between(400, 620);
        b.shock.spring.rate = newton_per_mm(wheel_rate / (ratio * ratio));
        b.shock.spring.free_length = mm(160);
        b.shock.gas.topped_out = newton(between(0, 200));
        const double preload =
            (wheel_preload / ratio - b.shock.gas.topped_out.value) / b.shock.spring.rate.value;
        b.shock.installed_length = mm(160 - std::max(0.5, preload));
        ChainRun chain{around(82, 14, 12), {one_of(14, 17), one_of(40, 47)}, mm(15.875), 0, {}};
        chain.links = 114;
        const Angle top = degrees(14);
        const double needed = in_mm(*needed_length(chain, centre_distance(chain, b.arm, top)));
        chain.links = 2 * static_cast<int>(std::lround(needed / 15.875 / 2));
        chain.length = mm(needed);
        b.chain = calibrated(chain, b.arm, top, mm(between(30, 50)));
        return b;
    }

private:
    Linkage some_linkage() {
        Linkage l;
        switch (one_of(0, 2)) {
            case 0:
                l.unit_end = {Carrier::frame, around(-20, 260, 40)};
                l.direct = {Carrier::arm, around(-240, 20, 40)};
                return l;
            case 1:
                l.unit_end = {Carrier::frame, around(-8, 180, 20)};
                l.rocker = Rocker{{Carrier::frame, around(-22, -100, 12)},
                                  {Carrier::arm, around(-170, -40, 12)},
                                  mm(between(100, 120)),
                                  mm(between(52, 66)),
                                  mm(between(90, 115)),
                                  degrees(between(-60, -35)),
                                  1};
                return l;
            default:
                l.unit_end = {Carrier::frame, around(-10, 200, 40)};
                l.rocker = Rocker{{Carrier::arm, around(-150, -30, 40)},
                                  {Carrier::frame, around(-40, -140, 40)},
                                  mm(between(90, 180)),
                                  mm(between(40, 80)),
                                  mm(between(40, 110)),
                                  degrees(between(-180, 180)),
                                  one_of(0, 1) ? 1 : -1};
                return l;
        }
    }

    // False if the ratio falls so much as the wheel comes up that the bike drops through; nobody builds that.
    static bool sensible(const Linkage& l) {
        double last = 0;
        for (double droop = 18; droop >= 0; droop -= 3) {
            const auto at = place_at(l, degrees(droop));
            if (!at) return false;
            const double ratio = at->slope / (580 * std::cos(degrees(droop).value));
            if (!(ratio > 0.3 && ratio < 0.9 && ratio > 0.97 * last)) return false;
            last = ratio;
        }
        return true;
    }

    std::mt19937_64 random_;
};

}  // namespace restand::test
