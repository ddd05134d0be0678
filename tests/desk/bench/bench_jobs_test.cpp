// Each test of the page on made audio of which the truth is known.
#include "gui/bench/bench_jobs.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/dial/receiver_file.h"
#include "gui/bench/bench_work.h"
#include "tests/accuracy/bench_events/signals.h"
#include "tests/desk/bench/bench_sounds.h"

namespace skedlark::gui {
namespace {

using test::made;
using test::take_of;
using test::value;

BenchOrder order_of(const std::string& name, const FieldTexts& changed = {}) {
    BenchOrder order;
    order.test = name;
    order.texts = standard_texts(kind_named(name));
    for (const auto& [key, text] : changed) order.texts[key] = text;
    const auto steps = steps_of(kind_named(name), order.texts);
    EXPECT_TRUE(steps);
    if (steps) order.steps = *steps;
    return order;
}

std::vector<float> noise(double seconds, std::uint64_t seed) {
    accuracy::BenchNoise config;
    config.rate_hz = kWorkRateHz;
    config.seconds = seconds;
    config.seed = seed;
    config.filter = accuracy::valve_filter();
    return accuracy::bench_noise(config);
}

std::string said(const BenchOrder& order) {
    const auto done = measure(order);
    return done ? "" : done.error().message;
}

TEST(BenchJobs, ATone) {
    BenchOrder order = order_of("tone");
    const test::TestTone tone{.snr_db = 20.0};
    order.takes["tone"] = take_of(made(tone));
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "sinad_db"), bench::test::true_sinad_db(tone), 0.2);
    EXPECT_TRUE(done->kept);
    EXPECT_TRUE(done->live);
    EXPECT_EQ(done->sheet.input, "card");
    EXPECT_EQ(done->sheet.seconds, 10.0);
    EXPECT_FALSE(done->picture.empty());
}

TEST(BenchJobs, WrongToneAudioGetsASentence) {
    const auto of = [](std::vector<float> audio, const FieldTexts& texts = {}) {
        BenchOrder order = order_of("tone", texts);
        order.takes["tone"] = take_of(std::move(audio));
        return said(order);
    };
    std::vector<float> only_noise;
    for (const double x : bench::test::band_noise(80000, 8000.0, 300.0, 2700.0, 0.05, 3))
        only_noise.push_back(static_cast<float>(x));
    EXPECT_NE(of(only_noise).find("no tone"), std::string::npos) << of(only_noise);
    EXPECT_NE(of(made({.seconds = 1.0})).find("too short"), std::string::npos);
    auto two = made({.snr_db = 30.0});
    const auto second = made({.pitch_hz = 1030.0});
    for (std::size_t n = 0; n < two.size(); ++n) two[n] += second[n];
    EXPECT_NE(of(two).find("two tones"), std::string::npos);
    EXPECT_NE(of(made({}), {{"pitch", "9"}}).find("Near Hz: '9'"), std::string::npos);
    EXPECT_NE(said(order_of("tone")).find("has not been recorded yet"), std::string::npos);
}

// (S+N)/N at 12 dB over the noise: 10 lg(1 + 10^1.2) = 12.27 dB.
TEST(BenchJobs, SensitivityFromTwoTakes) {
    BenchOrder order = order_of("sensitivity");
    order.takes["on"] = take_of(bench::test::made(test::TestReceiver{.seed = 3}, {{10.0, -108.0}}));
    order.takes["off"] = take_of(bench::test::made(test::TestReceiver{.seed = 4}, {{10.0, {}}}));
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "s_plus_n_over_n_db"), 12.27, 0.25);
    order.takes["off"] = order.takes["on"];
    EXPECT_NE(said(order).find("same all through"), std::string::npos);
    order.takes["on"] = take_of(
        bench::test::made(test::TestReceiver{.gain_control = true, .seed = 3}, {{10.0, -108.0}}));
    order.takes["off"] = take_of(bench::test::made(test::TestReceiver{.seed = 4}, {{10.0, {}}}));
    EXPECT_FALSE(measure(order).ok()) << "gain control leaves the level as it was";
}

TEST(BenchJobs, SensitivityFromASeriesAndItsImage) {
    BenchOrder order = order_of("sensitivity", {{"way", "levels and image"},
                                                {"levels", "-116 -112 -108 -104"},
                                                {"image_levels", "-76 -72 -68 -64"}});
    std::uint64_t seed = 20;
    for (const BenchStep& step : order.steps) {
        if (step.kind != StepKind::record) continue;
        const bool image = step.id.starts_with("image ");
        const auto space = step.id.rfind(' ');
        const std::string level = space == std::string::npos ? step.id : step.id.substr(space + 1);
        std::vector<bench::test::TestStep> one{{6.0, {}}};
        if (level != "off") one[0].dbm = std::stod(level);
        order.takes[step.id] = take_of(bench::test::made(
            test::TestReceiver{.equal_dbm = image ? -80.0 : -120.0, .seed = ++seed}, one));
    }
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "level_for_10db_dbm"), -110.46, 0.4);
    EXPECT_NEAR(value(*done, "image_db"), 40.0, 0.7);
    order.takes.erase("-108");
    EXPECT_EQ(said(order), "-108 dBm has not been recorded yet.");
}

TEST(BenchJobs, SeveralPointsOfABandAndTheirDeadSpot) {
    BenchOrder order = order_of(
        "sensitivity",
        {{"way", "levels"}, {"levels", "-116 -112 -108 -104 -100"}, {"points", "3.5 3.6 3.7"}});
    std::uint64_t seed = 40;
    for (const BenchStep& step : order.steps) {
        if (step.kind != StepKind::record) continue;
        std::vector<bench::test::TestStep> one{{6.0, {}}};
        const std::string level = step.id.substr(step.id.rfind(' ') + 1);
        if (level != "off") one[0].dbm = std::stod(level);
        const double equal = step.id.starts_with("3.6") ? -111.0 : -120.0;
        order.takes[step.id] =
            take_of(bench::test::made(test::TestReceiver{.equal_dbm = equal, .seed = ++seed}, one));
    }
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_EQ(value(*done, "dead_spots"), 1.0);
    EXPECT_FALSE(done->kept) << "no dead spot is allowed";
}

TEST(BenchJobs, HumWithAndWithoutATone) {
    BenchOrder order = order_of("hum", {{"way", "a steady tone"}});
    auto audio = made({.seconds = 20.0, .pitch_hz = 712.0, .snr_db = 40.0});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] += 0.02F * static_cast<float>(std::sin(2.0 * std::numbers::pi * 100.2 *
                                                        static_cast<double>(n) / 8000.0));
    }
    order.takes["with tone"] = take_of(audio);
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "supply_hz"), 50.1, 0.01);
    EXPECT_NEAR(value(*done, "hum_dbfs"), 20.0 * std::log10(0.02), 0.2);
    EXPECT_FALSE(done->picture.empty());
    EXPECT_NE(said(order_of("hum")).find("Hum alone has not been recorded"), std::string::npos);
}

TEST(BenchJobs, ContactsAtRestAndMoved) {
    BenchOrder order = order_of("contacts", {{"what", "aerial plug"}});
    auto touched = noise(20.0, 12);
    accuracy::apply_gates(touched, kWorkRateHz, {{5.0, 0.01, 30.0}, {9.0, 0.01, 30.0}});
    order.takes["rest"] = take_of(noise(20.0, 11));
    order.takes["touched"] = take_of(touched);
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_EQ(done->sheet.report.occurrences.size(), 2U);
    EXPECT_FALSE(done->kept) << "more than one a minute";
    EXPECT_EQ(done->sheet.report.remarks.front(), "Moved: aerial plug.");
}

TEST(BenchJobs, Ringing) {
    BenchOrder order = order_of("ring");
    auto taps = noise(6.0, 1);
    accuracy::RingSignal ringing;
    ringing.at_s = {0.7, 1.8, 2.9, 4.0, 5.1};
    accuracy::add_ringing(taps, kWorkRateHz, ringing, 3);
    order.takes["taps"] = take_of(taps);
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "ring_hz"), 400.0, 4.0);
}

// A resonance with 6 dB points 100 Hz to each side of 700: |H|^2 = 1 / (1 + (d / c)^2), c = 100 / sqrt(10^0.6 - 1).
TEST(BenchJobs, PassbandFromStepsOfTheGenerator) {
    BenchOrder order = order_of("passband", {{"way", "steps"}, {"above", "17x0"}});
    const double c = 100.0 / std::sqrt(std::pow(10.0, 0.6) - 1.0);
    int n = 0;
    for (const BenchStep& step : order.steps) {
        if (step.kind != StepKind::record) continue;
        const double hz = 500.0 + 25.0 * n++;
        const double d = (hz - 700.0) / c;
        auto audio =
            made({.seconds = 2.0, .amplitude = 0.3 / std::sqrt(1.0 + d * d), .pitch_hz = hz});
        const auto hiss = bench::test::band_noise(audio.size(), 8000.0, 300.0, 2700.0, 1e-3,
                                                  static_cast<std::uint64_t>(n));
        for (std::size_t i = 0; i < audio.size(); ++i) audio[i] += static_cast<float>(hiss[i]);
        order.takes[step.id] = take_of(audio);
    }
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "width_6db_hz"), 200.0, 4.0);
    EXPECT_EQ(done->picture.curves[0].points.size(), 17U);
}

TEST(BenchJobs, PassbandFromNoiseAndASweepThatIsNone) {
    BenchOrder order = order_of("passband");
    order.takes["noise"] = take_of(noise(20.0, 2));
    EXPECT_TRUE(measure(order).ok());
    BenchOrder swept = order_of("passband", {{"way", "a sweep"}});
    swept.takes["sweep"] = take_of(noise(20.0, 2));
    EXPECT_NE(said(swept).find("a tone stands over the noise in"), std::string::npos);
}

TEST(BenchJobs, TheChainOfBothTakes) {
    BenchOrder order =
        order_of("chain", {{"name", "lead A"}, {"reference", "1000"}, {"volts", "2"}});
    std::vector<float> closed;
    for (const double x : bench::test::band_noise(80000, 8000.0, 50.0, 3900.0, 1e-4, 3))
        closed.push_back(static_cast<float>(x));
    order.takes["closed"] = take_of(closed);
    const auto alone = measure(order);
    ASSERT_TRUE(alone) << alone.error().message;
    EXPECT_FALSE(alone->chain->clock_ppm);
    order.takes["generator"] = take_of(made({.pitch_hz = 999.96, .snr_db = 60.0}));
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    ASSERT_TRUE(done->chain && done->chain->clock_ppm);
    EXPECT_EQ(done->chain->name, "lead A");
    EXPECT_NEAR(done->chain->clock_ppm->value, 40.0, 0.5);
    EXPECT_NEAR(value(*done, "noise_dbfs"), 20.0 * std::log10(1e-4 * std::sqrt(2.0)), 0.4);
    BenchOrder tone = order_of("tone");
    tone.chain = done->chain;
    tone.takes["tone"] = take_of(made({.snr_db = 20.0}));
    EXPECT_EQ(measure(tone)->sheet.report.chain, "lead A");
}

TEST(BenchJobs, TheDialAndItsCorrectedChart) {
    BenchOrder order = order_of("dial", {{"check_points", "5 57.4 below; 5 57.6 above"}});
    EXPECT_NE(said(order).find("No receiver file is open"), std::string::npos);
    const auto receiver = dial::read_receiver(EXAMPLES "/saddle-hut.toml");
    ASSERT_TRUE(receiver);
    order.receiver = *receiver;
    order.texts["band"] = "2";
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "backlash_div"), 0.2, 1e-6);
    EXPECT_FALSE(done->live);
    ASSERT_TRUE(done->corrected);
    order.receiver = done->corrected;
    const auto again = measure(order);
    ASSERT_TRUE(again);
    EXPECT_NEAR(value(*again, "offset_div"), 0.0, 0.01);
    EXPECT_TRUE(again->kept);
    order.texts["check_points"] = "";
    EXPECT_NE(said(order).find("Check points: none"), std::string::npos);
    order.texts["band"] = "99";
    order.texts["check_points"] = "5 57";
    EXPECT_FALSE(measure(order).ok());
}

TEST(BenchJobs, RunsThatWereTooShortSaySo) {
    BenchOrder order = order_of("drift");
    EXPECT_NE(said(order).find("has not been recorded"), std::string::npos);
    auto meter = bench::DriftMeter::create({.sample_rate_hz = kWorkRateHz});
    ASSERT_TRUE(meter);
    order.takes["run"] = {};
    order.takes["run"].drift = std::make_shared<bench::DriftMeter>(*std::move(meter));
    order.takes["run"].drift->process(made({.seconds = 5.0, .snr_db = 30.0}));
    EXPECT_NE(said(order).find("too short"), std::string::npos);
    order.takes["run"].drift->process(made({.seconds = 55.0, .snr_db = 30.0}));
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_TRUE(measure(order).ok()) << "measured again from the same run";
    EXPECT_FALSE(done->picture.empty());
    EXPECT_EQ(drift_config_of({{"within", "0"}}).error().message,
              "Within, Hz: '0', allowed: 0.01 to 3000");
}

TEST(BenchJobs, ABatteryUntilItFails) {
    BenchOrder order = order_of("rundown");
    auto meter = bench::RunDownMeter::create({.sample_rate_hz = kWorkRateHz});
    ASSERT_TRUE(meter);
    order.takes["run"] = {};
    order.takes["run"].run_down = std::make_shared<bench::RunDownMeter>(*std::move(meter));
    auto& run = *order.takes["run"].run_down;
    run.process(made({.seconds = 140.0, .amplitude = 0.1, .snr_db = 30.0}));
    std::vector<float> dead;
    for (const double x : bench::test::band_noise(40 * 8000, 8000.0, 300.0, 2700.0, 0.003, 3))
        dead.push_back(static_cast<float>(x));
    run.process(dead);
    const auto done = measure(order);
    ASSERT_TRUE(done) << done.error().message;
    EXPECT_NEAR(value(*done, "failed_min"), 140.0 / 60.0, 0.05);
}

TEST(BenchJobs, LostAudioIsRemarkedOn) {
    BenchOrder order = order_of("tone");
    order.takes["tone"] = take_of(made({.snr_db = 20.0}));
    order.takes["tone"].lost_s = 0.5;
    const auto done = measure(order);
    ASSERT_TRUE(done);
    EXPECT_NE(done->sheet.report.remarks.back().find("0.50 s of the audio were lost"),
              std::string::npos);
}

TEST(BenchWorkThread, GivesItsResultOnce) {
    BenchWork work;
    EXPECT_FALSE(work.result());
    BenchOrder order = order_of("tone");
    order.takes["tone"] = take_of(made({.snr_db = 20.0}));
    work.start(order);
    std::optional<Result<BenchDone>> result;
    for (int i = 0; i < 2000 && !result; ++i) {
        result = work.result();
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    ASSERT_TRUE(result);
    EXPECT_TRUE(result->ok());
    EXPECT_FALSE(work.working());
    EXPECT_FALSE(work.result());
}

}  // namespace
}  // namespace skedlark::gui
