// skedlark bench contacts, dial, drift, passband, ring, rundown from outside.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "tests/accuracy/bench_events/signals.h"
#include "tests/cli/bench_program.h"

namespace skedlark::test {
namespace {

constexpr double kRateHz = 8000.0;

class BenchEvents : public ::testing::Test {
 protected:
    static Ended bench(const std::string& test, const std::vector<float>& audio,
                       std::vector<std::string> more = {}) {
        more.push_back("--json");
        return test::bench(test, audio, std::move(more));
    }
    static std::vector<float> noise(double seconds) {
        accuracy::BenchNoise config;
        config.rate_hz = kRateHz;
        config.seconds = seconds;
        config.filter = accuracy::valve_filter();
        return accuracy::bench_noise(config);
    }
    TempFolder folder_;
};

TEST_F(BenchEvents, ContactsTouched) {
    auto audio = noise(20.0);
    accuracy::apply_gates(audio, kRateHz,
                          {{11.0, 0.01, 30.0}, {12.0, 0.01, 30.0}, {13.0, 0.01, 30.0}});
    const Ended ended = bench("contacts", audio, {"--touched", "10-15"});
    EXPECT_EQ(ended.status, 1) << ended.error;  // more than the project's limit
    EXPECT_NEAR(value(ended, "dropouts_touched_per_min"), 36.0, 0.1);
    EXPECT_EQ(events_of(json_lines(ended.out), "occurrence").size(), 3U);
    EXPECT_EQ(bench("contacts", audio, {"--touched", "15-10"}).status, 2);
    EXPECT_EQ(bench("contacts", noise(2.0)).status, 2);
}

TEST_F(BenchEvents, DriftWithItsCurve) {
    std::vector<float> audio(static_cast<std::size_t>(60.0 * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.1, 0.0,
                       [](double t) { return 700.0 + 0.1 * t + (t > 30.0 ? 3.0 : 0.0); });
    accuracy::add_noise_for(audio, kRateHz, 0.1, 20.0, 1);
    const std::string curve = folder_.put("curve.csv", "");
    const Ended ended = bench(
        "drift", audio, {"--supply", "30=low", "--for", "20", "--within", "5", "--curve", curve});
    EXPECT_EQ(ended.status, 1) << ended.error;  // a jump, and none is allowed
    EXPECT_NEAR(value(ended, "supply_prompt_hz"), 3.0, 0.05);
    std::ifstream file(curve);
    std::string heading;
    std::getline(file, heading);
    EXPECT_EQ(heading, "seconds,pitch_hz,uncertainty_95_hz,low_hz,high_hz");
    EXPECT_EQ(bench("drift", noise(40.0)).status, 2);
    EXPECT_EQ(bench("drift", audio, {"--supply", "30=loud"}).status, 2);
}

TEST_F(BenchEvents, RingPassbandAndRunDown) {
    auto taps = noise(6.0);
    accuracy::RingSignal ring;
    ring.at_s = {0.7, 1.8, 2.9, 4.0, 5.1};
    accuracy::add_ringing(taps, kRateHz, ring, 3);
    EXPECT_NEAR(value(bench("ring", taps), "ring_hz"), 400.0, 4.0);
    EXPECT_EQ(bench("passband", noise(20.0)).status, 0);
    EXPECT_EQ(bench("passband", noise(20.0), {"--sweep", "1-10"}).status, 2);
    std::vector<float> dying(static_cast<std::size_t>(180.0 * kRateHz), 0.0F);
    accuracy::add_tone(dying, kRateHz, 0.1, 0.0, [](double) { return 700.0; });
    std::fill(dying.begin() + static_cast<std::ptrdiff_t>(140.0 * kRateHz), dying.end(), 0.0F);
    accuracy::add_noise_for(dying, kRateHz, 0.1, 30.0, 3);
    const std::string log = folder_.path("log.db");
    EXPECT_NEAR(
        value(bench("rundown", dying, {"--log", "--log-file", log, "--who", "Ida"}), "failed_min"),
        140.0 / 60.0, 0.03);
    const auto entries = json_lines(run_skedlark({"log", "--log-file", log, "--json"}).out);
    ASSERT_EQ(entries.size(), 1U);
    EXPECT_EQ(entries[0]["kind"], "bench");
    EXPECT_EQ(entries[0]["who"], "Ida");
    EXPECT_NEAR(entries[0]["seconds"].get<double>(), 180.0, 0.01);
    EXPECT_EQ(entries[0]["outcome"], "done") << "there is no limit of the project's own";
    EXPECT_EQ(entries[0]["measurements"][0]["name"], "rundown.level_at_start_dbfs");
}

TEST_F(BenchEvents, DialWritesACorrectedReceiver) {
    const std::string chart = std::string(EXAMPLE_CHART);
    const std::string out = folder_.put("out.toml", "");
    const std::string points =
        folder_.put("points.csv", "mhz,div,from\n5,57.4,below\n5,57.6,above\n");
    const Ended ended = run_skedlark({"bench", "dial", "--chart", chart, "--band", "2", "--points",
                                      points, "--out", out, "--json"});
    EXPECT_NE(ended.status, 2) << ended.error;
    EXPECT_NEAR(value(ended, "backlash_div"), 0.2, 1e-6);
    const std::string log = folder_.path("log.db");
    const Ended again = run_skedlark({"bench", "dial", "--chart", out, "--band", "2", "--points",
                                      points, "--json", "--log", "--log-file", log});
    const auto logged = json_lines(run_skedlark({"log", "--log-file", log, "--json"}).out);
    ASSERT_EQ(logged.size(), 1U);
    EXPECT_EQ(logged[0]["input"], points);
    EXPECT_EQ(logged[0]["measurements"].size(),
              events_of(json_lines(again.out), "measurement").size());
    EXPECT_EQ(again.status, 0) << again.out << again.error;
    EXPECT_NEAR(value(again, "offset_div"), 0.0, 0.01);
    const std::string wrong = folder_.put("wrong.csv", "5;57\n");
    EXPECT_EQ(
        run_skedlark({"bench", "dial", "--chart", chart, "--band", "2", "--points", wrong}).status,
        2);
}

}  // namespace
}  // namespace skedlark::test
