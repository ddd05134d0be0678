#include "dsp/station/clock_offset.h"

#include <fmt/format.h>

#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <optional>
#include <vector>

namespace skedlark::station {

namespace {

double seconds_of(UtcTime time) {
    return 1.0e-3 * static_cast<double>(time.time_since_epoch().count());
}

// From -0.5 to 0.5.
double to_nearest_second(double seconds) { return seconds - std::round(seconds); }

// The phase that most ticks share.
double common_phase_s(std::span<const Tick> ticks) {
    double best_phase_s = 0.0;
    int best = -1;
    for (const Tick& candidate : ticks) {
        const double phase_s = to_nearest_second(seconds_of(candidate.heard));
        int near = 0;
        for (const Tick& tick : ticks) {
            near += std::abs(to_nearest_second(seconds_of(tick.heard) - phase_s)) <= kTickReachS;
        }
        if (near > best) {
            best = near;
            best_phase_s = phase_s;
        }
    }
    return best_phase_s;
}

// How far the ticks near the phase are from it. Of two in one second the first counts: the other
// is the second half of a doubled marker.
std::vector<double> misses_s(std::span<const Tick> ticks, double phase_s) {
    std::vector<double> misses;
    std::optional<double> last_second;
    for (const Tick& tick : ticks) {
        const double from_phase_s = seconds_of(tick.heard) - phase_s;
        const double miss_s = to_nearest_second(from_phase_s);
        const double second = std::round(from_phase_s);
        if (std::abs(miss_s) > kTickReachS || (last_second && *last_second == second)) continue;
        last_second = second;
        misses.push_back(miss_s);
    }
    return misses;
}

double mean_of(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double value : values) sum += value;
    return sum / static_cast<double>(values.size());
}

// Chance that so many of so many clicks at random fall within reach of one of them.
double chance_of_no_rhythm(std::size_t heard, std::size_t near) {
    const boost::math::binomial others(static_cast<double>(heard - 1), 2.0 * kTickReachS);
    const double more = near < 2 ? 1.0 : cdf(complement(others, static_cast<double>(near - 2)));
    return static_cast<double>(heard) * more;
}

Error refused(const std::string& why) { return {ErrorCode::invalid_value, "ticks: " + why}; }

Status check_order(std::span<const Tick> ticks) {
    if (ticks.size() < 2) return refused("too few; allowed: about ten of a time signal or more");
    if (ticks.size() > static_cast<std::size_t>(kMostTicks)) {
        return refused(fmt::format("{} of them; allowed: up to {}", ticks.size(), kMostTicks));
    }
    for (std::size_t i = 1; i < ticks.size(); ++i) {
        if (ticks[i].heard < ticks[i - 1].heard) {
            return refused(fmt::format("tick {} ({}) is before the one in front of it", i + 1,
                                       utc_text(ticks[i].heard)));
        }
    }
    return Done{};
}

// Whole seconds by the minute markers; empty where there is none.
Result<std::optional<double>> whole_seconds(std::span<const Tick> ticks, double phase_s) {
    std::optional<double> whole;
    for (const Tick& tick : ticks) {
        if (!tick.minute) continue;
        const double heard_s = seconds_of(tick.heard);
        const double from_minute_s = heard_s - 60.0 * std::round(heard_s / 60.0);
        const double this_whole = std::round(from_minute_s - phase_s);
        // Half a minute fast is half a minute slow.
        if (whole && std::fmod(*whole - this_whole, 60.0) != 0.0) {
            return refused(fmt::format("the minute marker at {} contradicts one before it",
                                       utc_text(tick.heard)));
        }
        if (!whole) whole = this_whole;
    }
    return whole;
}

}  // namespace

Result<ClockOffset> offset_from_ticks(std::span<const Tick> ticks) {
    if (const Status order = check_order(ticks); !order) return order.error();
    double phase_s = common_phase_s(ticks);
    phase_s += mean_of(misses_s(ticks, phase_s));
    const std::vector<double> misses = misses_s(ticks, phase_s);
    if (misses.empty() || chance_of_no_rhythm(ticks.size(), misses.size()) > kChanceOfNoRhythm) {
        return refused(
            fmt::format("no clear rhythm of one second: {} of {} keep it; allowed: about "
                        "ten ticks of a time signal or more, few clicks between them",
                        misses.size(), ticks.size()));
    }
    const double rest_s = mean_of(misses);
    double squares = 0.0;
    for (const double miss_s : misses) squares += (miss_s - rest_s) * (miss_s - rest_s);
    const auto count = static_cast<double>(misses.size());
    ClockOffset result;
    phase_s = to_nearest_second(phase_s + rest_s);
    const auto whole = whole_seconds(ticks, phase_s);
    if (!whole) return whole.error();
    result.offset_s = phase_s + whole->value_or(0.0);
    result.whole_second_known = whole->has_value();
    const boost::math::students_t student(count - 1.0);
    result.ticks_95_s = quantile(student, 0.975) * std::sqrt(squares / (count - 1.0) / count);
    result.uncertainty_95_s = std::hypot(result.ticks_95_s, kTickSystematicS);
    result.ticks_used = static_cast<int>(misses.size());
    result.ticks_heard = static_cast<int>(ticks.size());
    return result;
}

}  // namespace skedlark::station
