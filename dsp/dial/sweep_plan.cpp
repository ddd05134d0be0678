#include "dsp/dial/sweep_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

constexpr int kPlaces = 50;  // at which kilohertz to a division are looked up

double coarsest_khz_per_div(const Dial& dial, double low_div, double high_div) {
    double coarsest = 0.0;
    for (int i = 0; i <= kPlaces; ++i) {
        coarsest =
            std::max(coarsest, dial.khz_per_div(low_div + (high_div - low_div) * i / kPlaces));
    }
    return coarsest;
}

double inside(const Setting& setting, double low_div, double high_div) {
    const boost::math::normal law(setting.div, setting.sd_div);
    return boost::math::cdf(law, high_div) - boost::math::cdf(law, low_div);
}

void set_speed(SweepPlan& plan, double coarsest, const ChanceByRate& chance,
               const SweepWish& wish) {
    const std::optional<double> safe = chance.fastest_with(wish.noticed_chance);
    if (!safe) return;
    const double hand = wish.fastest_div_per_min * coarsest * 1000.0 / 60.0;
    plan.rate_hz_per_s = std::min(*safe, hand);
    plan.div_per_min = 60.0 * *plan.rate_hz_per_s / (1000.0 * coarsest);
    plan.sweep_min = (plan.high_div - plan.low_div + 2.0 * plan.run_on_div) / *plan.div_per_min;
    plan.noticed_chance = chance.at(*plan.rate_hz_per_s);
}

}  // namespace

double run_on_div(const ReceiverAudio& audio, double khz_per_div) {
    return 1e-3 * audio.high_hz / khz_per_div;
}

Result<SweepPlan> plan_sweep(const Dial& dial, const Setting& setting, const ChanceByRate& chance,
                             const SweepWish& wish) {
    for (const Status& s :
         {within("limits_chance", wish.limits_chance.value_or(0.5), 0.1, 0.999),
          within("each_side_div", wish.each_side_div, 0.01, 1000.0),
          within("noticed_chance", wish.noticed_chance, 0.05, 0.99),
          within("fastest_div_per_min", wish.fastest_div_per_min, 0.1, 1000.0),
          within("setting.sd_div", setting.sd_div, 1e-6, 1e4),
          within("setting.div", setting.div, dial.receiver().from_div, dial.receiver().to_div)}) {
        if (!s) return s.error();
    }
    double reach = wish.each_side_div;
    if (wish.limits_chance) {
        reach = setting.sd_div *
                boost::math::quantile(boost::math::normal(), 0.5 + 0.5 * *wish.limits_chance);
    }
    SweepPlan plan;
    plan.low_div = std::max(dial.receiver().from_div, setting.div - reach);
    plan.high_div = std::min(dial.receiver().to_div, setting.div + reach);
    plan.inside_chance = inside(setting, plan.low_div, plan.high_div);
    plan.run_on_div = run_on_div(dial.receiver().audio, setting.khz_per_div);
    set_speed(plan, coarsest_khz_per_div(dial, plan.low_div, plan.high_div), chance, wish);
    return plan;
}

}  // namespace skedlark::dial
