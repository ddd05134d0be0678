#include "dsp/bench/event_rate.h"

#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <limits>

namespace skedlark::bench {
namespace {

constexpr double kTail = 0.025;
constexpr double kInfinite = std::numeric_limits<double>::infinity();

// P(X < count) + half of P(X = count), X of Poisson's law.
double mid_below(long count, double mean) {
    if (mean <= 0.0) return count == 0 ? 0.5 : 1.0;
    const auto k = static_cast<double>(count);
    const double up_to = boost::math::gamma_q(k + 1.0, mean);
    const double under = count == 0 ? 0.0 : boost::math::gamma_q(k, mean);
    return 0.5 * (up_to + under);
}

// The same for a binomial of so many trials.
double mid_below(long count, long trials, double share) {
    const auto k = static_cast<double>(count);
    const auto n = static_cast<double>(trials);
    const double up_to = count >= trials ? 1.0 : boost::math::ibetac(k + 1.0, n - k, share);
    const double under = count <= 0 ? 0.0 : boost::math::ibetac(k, n - k + 1.0, share);
    return 0.5 * (up_to + under);
}

// Where a falling function crosses a level.
template <typename Falling>
double crossing(double low, double high, double level, Falling&& f) {
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (f(middle) > level ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace

EventRate event_rate(long count, double seconds) {
    EventRate rate{count, seconds, 0.0, 0.0, kInfinite};
    if (!(seconds > 0.0)) return rate;
    const double most =
        static_cast<double>(count) + 10.0 * std::sqrt(static_cast<double>(count)) + 20.0;
    const auto below = [&](double mean) { return mid_below(count, mean); };
    rate.per_s = static_cast<double>(count) / seconds;
    rate.low_per_s = count == 0 ? 0.0 : crossing(0.0, most, 1.0 - kTail, below) / seconds;
    rate.high_per_s = crossing(0.0, most, kTail, below) / seconds;
    return rate;
}

RateRatio rate_ratio(const EventRate& touched, const EventRate& at_rest) {
    RateRatio result{1.0, 0.0, kInfinite, 1.0};
    const long sum = touched.count + at_rest.count;
    if (!(touched.seconds > 0.0 && at_rest.seconds > 0.0) || sum == 0) return result;
    result.ratio = at_rest.count == 0 ? kInfinite : touched.per_s / at_rest.per_s;
    const auto below = [&](double share) { return mid_below(touched.count, sum, share); };
    const double times = at_rest.seconds / touched.seconds;
    const auto of_share = [&](double share) {
        return share >= 1.0 ? kInfinite : times * share / (1.0 - share);
    };
    if (touched.count > 0) result.low = of_share(crossing(0.0, 1.0, 1.0 - kTail, below));
    if (at_rest.count > 0) result.high = of_share(crossing(0.0, 1.0, kTail, below));
    result.chance = 1.0 - below(touched.seconds / (touched.seconds + at_rest.seconds));
    return result;
}

}  // namespace skedlark::bench
