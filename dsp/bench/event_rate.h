// How often something happens, from how often it was seen; and whether more often than otherwise.
//
// Stage:   bench. In: counts and the time they were counted in. Out: rates with 95 % intervals.
// Units:   events, seconds, events a second.
// Shape:   any counts, none too.
// Time:    none.
// Errors:  none; times must be above 0 (no time at all gives the interval 0 to infinity).
// Threads: pure.
// Source:  Poisson interval with half the weight of what was seen (mid-P: Lancaster, J. Amer. Stat.
//          Assoc. 56 (1961) 223-234): the exact one holds 97 to 99 % for small counts. Ratio: given
//          the sum, one count is binomial (Przyborowski and Wilenski, Biometrika 31 (1940) 313-323).
// Checked: tests/dsp/bench/event_rate_test.cpp, against GSL and by drawn counts
#pragma once

namespace skedlark::bench {

struct EventRate {
    long count = 0;
    double seconds = 0.0;
    double per_s = 0.0;
    double low_per_s = 0.0;
    double high_per_s = 0.0;
};

[[nodiscard]] EventRate event_rate(long count, double seconds);

struct RateRatio {
    double ratio = 1.0;  // infinite where nothing was seen at rest
    double low = 0.0;
    double high = 0.0;    // may be infinite
    double chance = 1.0;  // of so many or more while touched if touching did nothing
    [[nodiscard]] bool raised() const { return chance < 0.025; }
};

[[nodiscard]] RateRatio rate_ratio(const EventRate& touched, const EventRate& at_rest);

}  // namespace skedlark::bench
