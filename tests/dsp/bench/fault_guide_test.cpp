#include "dsp/bench/fault_guide.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "dsp/core/text_file.h"

namespace skedlark::bench {
namespace {

Measurement m(const char* name, double value, double uncertainty = 0.1, std::string at = {}) {
    return {.name = name, .figure = {value, uncertainty}, .what = name, .at = std::move(at)};
}
Sheet sheet(const char* test, std::vector<Measurement> measurements) {
    Sheet out{.test = test};
    out.report.measurements = std::move(measurements);
    return out;
}
std::string first(const std::vector<Sheet>& sheets) {
    const auto places = likely_places(sheets);
    return places.front().because.empty() ? "" : places.front().place;
}

// One source: to make the file anew, skedlark bench faults > docs/fault-guide.md
TEST(FaultGuide, TheDocumentIsTheTable) {
    const auto text = read_text_file(FAULT_GUIDE, 100000);
    ASSERT_TRUE(text) << text.error().message;
    EXPECT_EQ(*text, fault_guide_markdown());
}

TEST(FaultGuide, EveryTestItNamesIsOneAndEveryPlaceIsKnown) {
    std::set<std::string_view> tests;
    for (const MeasurementKind& kind : measurement_kinds()) tests.insert(kind.test);
    std::set<std::string> places;
    for (const LikelyPlace& place : likely_places({})) places.insert(place.place);
    for (const FaultSymptom& symptom : fault_guide()) {
        EXPECT_FALSE(symptom.causes.empty());
        for (const std::string& test : symptom.measure) EXPECT_TRUE(tests.contains(test)) << test;
        for (const FaultCause& cause : symptom.causes)
            EXPECT_TRUE(places.contains(cause.place)) << cause.place;
    }
    const auto cautions = fault_cautions();
    EXPECT_TRUE(std::any_of(cautions.begin(), cautions.end(), [](const std::string& c) {
        return c.find("isolation") != std::string::npos && c.find("licensed") != std::string::npos;
    }));
}

TEST(FaultGuide, WithoutAMeasurementTheOrderIsThatOfExperience) {
    const auto places = likely_places({});
    EXPECT_EQ(places[0].place, "valves and their sockets");
    EXPECT_EQ(places[1].place, "plugs, sockets and switches");
    EXPECT_EQ(places[2].place, "power supply and its capacitors");
    for (const LikelyPlace& place : places) EXPECT_TRUE(place.because.empty());
}

TEST(FaultGuide, WhatWasMeasuredComesFirst) {
    const auto hum = [](const char* at) {
        return sheet("hum", {m("supply_hz", 50.0), m("hum_to_tone_db", -20.0),
                             m("line_dbfs", -30.0, 0.1, at)});
    };
    EXPECT_EQ(first({hum("50.0 Hz")}), "heater circuit");
    EXPECT_EQ(first({hum("100.0 Hz")}), "power supply and its capacitors");
    EXPECT_EQ(first({hum("150.0 Hz")}), "magnetic pick-up, earth loops");
    EXPECT_EQ(first({sheet("hum", {m("supply_hz", 103.0), m("hum_to_tone_db", -20.0),
                                   m("line_dbfs", -30.0, 0.1, "103.0 Hz")})}),
              "power supply and its capacitors");
    EXPECT_EQ(first({sheet("hum", {m("fm_hz", 8.0)})}), "oscillator and its supply");
    EXPECT_EQ(first({sheet("contacts", {m("dropouts_touched_per_min", 30.0),
                                        m("crackles_touched_per_min", 4.0)})}),
              "plugs, sockets and switches");
    EXPECT_EQ(first({sheet("ring", {m("ring_over_noise_db", 35.0)})}), "valves and their sockets");
    EXPECT_EQ(first({sheet("tone", {m("thd_percent", 25.0)})}), "audio stages");
    EXPECT_EQ(
        first({sheet("chain", {m("noise_dbfs", -40.0)}), sheet("tone", {m("thd_percent", 25.0)})}),
        "measuring chain");
    EXPECT_EQ(first({sheet("sensitivity", {m("s_plus_n_over_n_db", 3.0)})}),
              "valves and their sockets");
    EXPECT_EQ(first({sheet("drift", {m("supply_prompt_hz", 40.0)})}), "oscillator and its supply");
    EXPECT_EQ(first({sheet("rundown", {m("failed_min", 40.0)})}), "battery and its leads");
    auto limits = Limits::parse("[dial]\nbacklash_div = { max = 0.2 }\n", "l");
    ASSERT_TRUE(limits);
    Sheet dial = sheet("dial", {m("backlash_div", 0.9)});
    dial.limits = *limits;
    EXPECT_EQ(first({dial}), "dial drive and chart");
}

// What is right speaks for nothing.
TEST(FaultGuide, GoodFiguresAreNoEvidence) {
    EXPECT_EQ(first({sheet("tone", {m("thd_percent", 1.0), m("sinad_db", 30.0)}),
                     sheet("contacts", {m("dropouts_touched_per_min", 0.5)}),
                     sheet("drift", {m("jumps", 0.0), m("total_drift_hz", 20.0)})}),
              "");
    Measurement none = m("dropouts_touched_per_min", 9.0);
    none.known = Known::at_most;
    EXPECT_EQ(first({sheet("contacts", {none})}), "") << "a bound is no event";
}

}  // namespace
}  // namespace skedlark::bench
