#include "dsp/bench/contact_scan.h"

#include <gtest/gtest.h>

#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

std::vector<float> noise(std::uint64_t seed) {
    accuracy::BenchNoise config;
    config.rate_hz = 16000.0;
    config.filter = accuracy::valve_filter();
    config.seed = seed;
    return accuracy::bench_noise(config);
}

TEST(ContactScan, LongerIsFoundShallower) {
    const auto levels = measure_contact_levels(noise(1), 16000.0, {{0.0, 10.0}});
    ASSERT_TRUE(levels.ok());
    const auto limits = scan_limits(*levels, 16000.0, 0.3, 1.0);
    double last = 0.0;
    for (const ScanLimit& limit : limits) {
        if (limit.quiet == 0.0) continue;
        EXPECT_GE(limit.quiet, last);
        last = limit.quiet;
    }
    // Fewer false alarms ask for deeper dips.
    const auto stricter = scan_limits(*levels, 16000.0, 0.003, 1.0);
    EXPECT_LT(stricter[4].quiet, limits[4].quiet);
}

TEST(ContactScan, TwoDropoutsCloseTogetherAreTwo) {
    auto audio = noise(2);
    accuracy::apply_gates(audio, 16000.0, {{4.0, 0.005, 40.0}, {4.015, 0.005, 40.0}});
    const auto levels = measure_contact_levels(audio, 16000.0, {{0.0, 10.0}});
    ASSERT_TRUE(levels.ok());
    const auto limits = scan_limits(*levels, 16000.0, 0.3, 3.0);
    const auto events =
        fit_events(audio, 16000.0, *levels, scan_contacts(audio, 16000.0, *levels, limits));
    ASSERT_EQ(events.size(), 2U);
    EXPECT_NEAR(static_cast<double>(events[0].from) / 16000.0, 4.0, 0.0003);
    EXPECT_NEAR(static_cast<double>(events[1].to) / 16000.0, 4.020, 0.0003);
}

}  // namespace
}  // namespace skedlark::bench
