#include "dsp/watch/simulated_dial.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/dial/receiver_file.h"

namespace skedlark::watch {
namespace {

SimulatedDialConfig alone() {
    SimulatedDialConfig config;
    config.receiver = *dial::read_receiver(std::string(EXAMPLES) + "/saddle-hut.toml");
    config.band = "2";
    config.base_mhz = 3.57;
    config.others = 0;
    config.snr_2500hz_db = 60.0;
    config.dial_is_off = false;
    return config;
}

// Of a tone that is there most of the time, by zero crossings of its loud stretches.
double pitch_of(const std::vector<float>& audio) {
    double crossings = 0.0, frames = 0.0;
    for (std::size_t from = 0; from + 400 <= audio.size(); from += 400) {
        double square = 0.0;
        int here = 0;
        for (std::size_t n = from + 1; n < from + 400; ++n) {
            square += static_cast<double>(audio[n] * audio[n]);
            here += (audio[n] > 0.0F) != (audio[n - 1] > 0.0F) ? 1 : 0;
        }
        if (square < 0.5 * 400 * 0.005) continue;  // a whole mark at -20 dBFS
        crossings += here;
        frames += 399.0;
    }
    return frames > 0.0 ? crossings / 2.0 / (frames / 8000.0) : 0.0;
}

// By the chart alone: the dial's frequency at a division, less the station's.
TEST(SimulatedDial, ThePitchIsTheDistanceByTheChart) {
    const auto config = alone();
    const auto chart = dial::Dial::create(config.receiver, "2");
    auto dial = SimulatedDial::create(config);
    ASSERT_TRUE(dial.ok()) << dial.error().message;
    const double at_base = chart->setting(3.57)->div;
    std::vector<float> audio(16000);
    for (const double off : {-0.06, -0.03, 0.025, 0.05, 0.09}) {
        (*dial)->turn_to(at_base + off);
        (*dial)->read(std::span(audio).first(2000));
        (*dial)->read(audio);
        const double expected_hz = std::abs(1e6 * (chart->mhz_at(at_base + off) - 3.57));
        EXPECT_NEAR(pitch_of(audio), expected_hz, 12.0) << off;
        EXPECT_NEAR(std::abs((*dial)->base_pitch_hz()), expected_hz, 1e-6);
    }
    (*dial)->turn_to(at_base + 5.0);
    (*dial)->read(audio);
    (*dial)->read(audio);
    EXPECT_EQ(pitch_of(audio), 0.0);
}

TEST(SimulatedDial, FoundAtTheListeningPitchOnly) {
    auto dial = SimulatedDial::create(alone());
    ASSERT_TRUE(dial.ok());
    (*dial)->turn_to((*dial)->base_division());
    EXPECT_TRUE((*dial)->is_found());
    EXPECT_NEAR((*dial)->base_pitch_hz(), 700.0, 1.0);  // and on the side it is listened to
    const double per_hz = 0.001 / 25.0;                 // some 25 kHz to a division there
    (*dial)->turn_to((*dial)->base_division() + 500.0 * per_hz);
    EXPECT_FALSE((*dial)->is_found());
    (*dial)->turn_to(1e9);
    EXPECT_EQ((*dial)->division(), 100.0);
}

TEST(SimulatedDial, TheSetIsOffItsChartAsFarAsItsUncertaintySays) {
    auto config = alone();
    config.dial_is_off = true;
    const auto setting = dial::Dial::create(config.receiver, "2")->setting(3.57);
    double square = 0.0;
    for (config.seed = 1; config.seed <= 60; ++config.seed) {
        const auto dial = SimulatedDial::create(config);
        ASSERT_TRUE(dial.ok());
        const double off = (*dial)->base_division() - setting->listen_div;
        EXPECT_LE(std::abs(off), 2.0 * setting->sd_div + 1e-9);
        square += off * off / 60.0;
    }
    // A normal cut at two standard deviations and put there has 0.96 of its spread; 60 draws of it have
    // a standard error of a tenth.
    EXPECT_NEAR(std::sqrt(square) / setting->sd_div, 0.96, 0.3);
}

TEST(SimulatedDial, TheBaseSendsItsMessageWhenAsked) {
    auto dial = SimulatedDial::create(alone());
    ASSERT_TRUE(dial.ok());
    (*dial)->turn_to((*dial)->base_division());
    const auto seconds = (*dial)->send_message("EEEEE");
    ASSERT_TRUE(seconds.ok());
    // Five dots and four gaps of three units of 0.1 s, from 2 s on.
    EXPECT_NEAR(*seconds, 2.0 + 0.1 * (5 + 4 * 3), 1e-6);
    std::vector<float> audio(8000 * 5);
    (*dial)->read(audio);
    const auto loud = [&](double from_s, double to_s) {
        float peak = 0.0F;
        for (auto n = static_cast<std::size_t>(from_s * 8000);
             n < static_cast<std::size_t>(to_s * 8000); ++n)
            peak = std::max(peak, std::abs(audio[n]));
        return peak;
    };
    EXPECT_LT(loud(0.2, 1.95), 0.01F);
    EXPECT_GT(loud(2.02, 2.08), 0.05F);
    EXPECT_LT(loud(4.0, 5.0), 0.01F);
    EXPECT_FALSE((*dial)->send_message("\x01").ok());
}

TEST(SimulatedDial, NoLouderThanItIsToldAndRefusesNonsense) {
    auto config = alone();
    config.others = 20;
    config.snr_2500hz_db = 3.0;
    config.loudness_dbfs = -30.0;
    auto dial = SimulatedDial::create(config);
    ASSERT_TRUE(dial.ok());
    std::vector<float> audio(80000);
    (*dial)->read(audio);
    for (const float sample : audio) ASSERT_LE(std::abs(sample), 0.126F);  // -18 dBFS
    const auto said = [&](auto change) {
        auto wrong = alone();
        change(wrong);
        const auto made = SimulatedDial::create(wrong);
        return made ? std::string() : made.error().message;
    };
    EXPECT_NE(said([](auto& c) { c.band = "9"; }).find("band '9'"), std::string::npos);
    EXPECT_NE(said([](auto& c) { c.base_mhz = 30.0; }).find("outside the chart"),
              std::string::npos);
    EXPECT_NE(said([](auto& c) { c.speed_wpm = 99.0; }).find("4 to 60"), std::string::npos);
    EXPECT_NE(said([](auto& c) { c.fading = "fog"; }).find("fog"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::watch
