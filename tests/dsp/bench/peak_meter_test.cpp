#include "dsp/bench/peak_meter.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/accuracy/bench_events/signals.h"
#include "tests/support/allocations.h"

namespace skedlark::bench {
namespace {

std::vector<float> tone(double amplitude, double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(48000.0 * seconds), 0.0F);
    accuracy::add_tone(audio, 48000.0, amplitude, 0.0, [](double) { return 700.0; });
    return audio;
}

TEST(PeakMeter, LevelOfATone) {
    auto meter = *PeakMeter::create({});
    meter.process(tone(0.1, 2.0));
    EXPECT_NEAR(meter.reading().level_dbfs, -20.0, 0.05);
    EXPECT_NEAR(meter.reading().below_db(), 0.0, 0.05);
    EXPECT_LT(meter.reading().noise_db, 0.05);
}

TEST(PeakMeter, AStepIsShownQuicklyAndThePeakIsHeld) {
    auto meter = *PeakMeter::create({});
    meter.process(tone(0.1, 2.0));
    // Closed form: after 2.3 time constants nine tenths of the change of power.
    meter.process(tone(0.2, 2.3 * 0.15));
    EXPECT_NEAR(meter.reading().level_dbfs, -20.0 + 10.0 * std::log10(1.0 + 3.0 * 0.9), 0.25);
    meter.process(tone(0.2, 2.0));
    meter.process(tone(0.1, 2.0));
    EXPECT_NEAR(meter.reading().below_db(), 6.02, 0.05);
    EXPECT_NEAR(meter.reading().held_dbfs, -13.98, 0.05);
    meter.release();
    EXPECT_NEAR(meter.reading().below_db(), 0.0, 1e-9);
}

TEST(PeakMeter, SameForAnySplitAndNoAllocation) {
    const auto audio = tone(0.3, 1.0);
    auto whole = *PeakMeter::create({}), pieces = *PeakMeter::create({});
    const support::AllocationCount before;
    EXPECT_TRUE(whole.process(audio));
    for (std::size_t at = 0; at < audio.size(); at += 77) {
        pieces.process(std::span<const float>(audio).subspan(
            at, std::min<std::size_t>(77, audio.size() - at)));
    }
    EXPECT_EQ(before.made(), 0);
    EXPECT_EQ(whole.reading().level_dbfs, pieces.reading().level_dbfs);
    EXPECT_EQ(whole.reading().held_dbfs, pieces.reading().held_dbfs);
}

TEST(PeakMeter, SilenceClippingAndNoNumbers) {
    auto meter = *PeakMeter::create({});
    meter.process(std::vector<float>(48000, 0.0F));
    EXPECT_EQ(meter.reading().level_dbfs, -200.0);
    meter.process(std::vector<float>(4800, std::numeric_limits<float>::quiet_NaN()));
    EXPECT_EQ(meter.bad_samples(), 4800);
    EXPECT_EQ(meter.reading().level_dbfs, -200.0);
    meter.process(tone(1.2, 0.2));
    EXPECT_TRUE(meter.reading().clipped);
    EXPECT_FALSE(PeakMeter::create({48000.0, 0.0}).ok());
    EXPECT_FALSE(PeakMeter::create({std::nan(""), 0.1}).ok());
}

}  // namespace
}  // namespace skedlark::bench
