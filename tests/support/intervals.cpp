#include "tests/support/intervals.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace skedlark::support {

Interval wilson_interval(long events, long trials, double z) {
    if (trials <= 0) return {};
    const double n = static_cast<double>(trials);
    const double p = static_cast<double>(events) / n;
    const double scale = 1.0 / (1.0 + z * z / n);
    const double middle = scale * (p + z * z / (2.0 * n));
    const double half = scale * z * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    return {std::max(0.0, middle - half), std::min(1.0, middle + half)};
}

Interval bootstrap_interval(std::span<const ErrorCount> runs, std::uint64_t seed, int draws) {
    if (runs.empty() || draws < 1) return {};
    std::mt19937_64 random(seed);
    std::uniform_int_distribution<std::size_t> pick(0, runs.size() - 1);
    std::vector<double> rates;
    rates.reserve(static_cast<std::size_t>(draws));
    for (int draw = 0; draw < draws; ++draw) {
        ErrorCount sum;
        for (std::size_t i = 0; i < runs.size(); ++i) sum += runs[pick(random)];
        rates.push_back(sum.rate());
    }
    std::sort(rates.begin(), rates.end());
    const auto at = [&rates](double share) {
        const double place = share * static_cast<double>(rates.size() - 1);
        return rates[static_cast<std::size_t>(std::lround(place))];
    };
    return {at(0.025), at(0.975)};
}

}  // namespace skedlark::support
