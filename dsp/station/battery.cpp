#include "dsp/station/battery.h"

#include <algorithm>

namespace skedlark::station {

double share_drawn(const Battery& battery, double on_h, double send_h) {
    const double sending_h = std::clamp(send_h, 0.0, std::max(on_h, 0.0));
    return (std::max(on_h, 0.0) - sending_h) / battery.receive_h + sending_h / battery.send_h;
}

double charge_owed_h(const Battery& battery, double share) {
    return std::max(0.0, 1.0 - share) * battery.receive_h * battery.charge_ratio;
}

std::vector<BatteryAfter> run_down(const Battery& battery,
                                   std::span<const BatteryUse> uses_in_order) {
    std::vector<BatteryAfter> all;
    double share = battery.charge;
    for (const BatteryUse& use : uses_in_order) {
        BatteryAfter result;
        result.before = share;
        if (!battery.as_of || use.from >= *battery.as_of) {
            share += use.charge_h / (battery.receive_h * battery.charge_ratio);
            share = std::min(share, 1.0);
            share -= share_drawn(battery, use.on_h, use.send_h);
        }
        result.short_by = std::max(0.0, -share);
        share = std::max(share, 0.0);
        result.after = share;
        result.charge_owed_h = charge_owed_h(battery, share);
        result.receive_left_h = share * battery.receive_h;
        all.push_back(result);
    }
    return all;
}

}  // namespace skedlark::station
