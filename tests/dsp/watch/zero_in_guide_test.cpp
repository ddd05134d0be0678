#include "dsp/watch/zero_in_guide.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::watch {
namespace {

dial::Dial band_2() { return *dial::Dial::create(test::mountain_set(), "2"); }

struct Way {
    bool held = false;
    double seconds = 0.0;
    double off_hz = 0.0;  // of the station above the dial, less the listening pitch
};

// A station offset_hz above the dial's frequency, keyed in noise; a hand that turns as far as the guide
// says, at 300 Hz a second, and then looks again a second later. A trial is 150 Hz.
Way led(const dial::Dial& dial, double offset_hz, double snr_2500hz_db, std::uint64_t seed) {
    const double div = 50.0;
    auto guide = ZeroInGuide::create(dial, div, {});
    EXPECT_TRUE(guide.ok());
    std::mt19937_64 random(seed);
    std::normal_distribution<float> normal(0.0F, 0.1F);
    const double amplitude =
        std::sqrt(2.0 * 0.01 / 4000.0 * 2500.0 * std::pow(10.0, snr_2500hz_db / 10.0));
    const double hz_per_div = 1000.0 * dial.khz_per_div(div);
    double phase = 0.0;
    double turn_hz = 0.0;  // of the dial's frequency, still to go
    double still_s = 0.0;  // since the hand stopped
    Way way;
    std::int64_t sample = 0;
    for (; way.seconds < 120.0 && !guide->held(); way.seconds += 0.25) {
        std::vector<float> audio(2000);
        for (float& out : audio) {
            const double pitch = std::abs(offset_hz);
            phase += 2.0 * std::numbers::pi * pitch / kWorkRateHz;
            const bool down = sample++ % 2400 < 1400;
            const bool passes = pitch > 250.0 && pitch < 3000.0;
            out = normal(random) +
                  (down && passes ? static_cast<float>(amplitude * std::sin(phase)) : 0.0F);
            const double step =
                std::copysign(std::min(std::abs(turn_hz), 300.0 / kWorkRateHz), turn_hz);
            offset_hz -= step;
            turn_hz -= step;
        }
        guide->process(audio, false);
        for (const ZeroInStep& step : guide->take_steps()) {
            const dial::ZeroInAdvice& said = step.advice;
            const double size = said.turn_div * std::abs(hz_per_div);
            const double far = said.sure ? size : std::min(size, 150.0);
            const double up =
                (said.turn == dial::Turn::up ? far : -far) * (hz_per_div > 0.0 ? 1.0 : -1.0);
            if (still_s < 1.0) continue;
            turn_hz = said.turn == dial::Turn::here ? 0.0 : up;
            still_s = 0.0;
        }
        if (turn_hz == 0.0) still_s += 0.25;
    }
    way.held = guide->held();
    way.off_hz = offset_hz - dial.receiver().audio.pitch_hz;
    return way;
}

TEST(ZeroInGuide, LeadsAHandToTheListeningPitch) {
    auto receiver = test::mountain_set();
    receiver.beat.listen = dial::ListenSide::above;
    const auto dial = *dial::Dial::create(receiver, "2");
    int held = 0, right = 0, tried = 0;
    for (const double start_hz : {-2200.0, -1500.0, -900.0, 400.0, 1200.0, 2600.0}) {
        for (const double snr : {10.0, -6.0}) {
            const Way way = led(dial, start_hz, snr, support::test_seed(80) + tried);
            ++tried;
            held += way.held ? 1 : 0;
            right += std::abs(way.off_hz) < 60.0 ? 1 : 0;
            EXPECT_TRUE(way.held) << start_hz << " Hz, " << snr << " dB";
        }
    }
    EXPECT_GE(right, 11) << "of " << held << " held";
}

TEST(ZeroInGuide, SaysThatNothingIsHeard) {
    const auto dial = band_2();
    auto guide = ZeroInGuide::create(dial, 61.2, {});
    ASSERT_TRUE(guide.ok());
    std::mt19937_64 random(support::test_seed(90));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> audio(80000);
    for (float& sample : audio) sample = normal(random);
    guide->process(audio, false);
    EXPECT_FALSE(guide->advice());
    EXPECT_FALSE(guide->held());
    EXPECT_FALSE(ZeroInGuide::create(dial, 61.2, {"Q?"}).ok());
}

}  // namespace
}  // namespace skedlark::watch
