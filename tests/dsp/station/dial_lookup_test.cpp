// What a card is told of the dial is what the dial itself says.
#include "dsp/station/dial_lookup.h"

#include <gtest/gtest.h>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::station {
namespace {

DialLookup lookup(const std::vector<dial::KnownStation>& known = {}) {
    const auto set = test::mountain_set();
    return dial_lookup(set, *chance_of(set, {}), known);
}

TEST(DialLookup, GivesTheFinestBandAsTheDialHasIt) {
    const auto set = test::mountain_set();
    // 3.9 MHz: on bands 1 and 2, where 2 has more divisions to it below and 1 above.
    for (const double khz : {3900.0, 5000.0, 6200.0, 9000.0}) {
        const DialSetting found = lookup()(khz);
        ASSERT_EQ(found.problem, "") << khz;
        EXPECT_EQ(found.band, dial::bands_with(set, khz / 1000.0)->front());
        const auto today = dial::Dial::create(set, found.band);
        const auto setting = today->setting(khz / 1000.0);
        EXPECT_DOUBLE_EQ(found.division, setting->div);
        EXPECT_DOUBLE_EQ(*found.listen_division, setting->listen_div);
        EXPECT_DOUBLE_EQ(*found.low95_division, setting->low95_div);
        EXPECT_DOUBLE_EQ(*found.high95_division, setting->high95_div);
        EXPECT_NEAR(found.from_division, setting->div - 2.0, 1e-9);
        EXPECT_NEAR(found.to_division, setting->div + 2.0, 1e-9);
        EXPECT_GT(found.sweep_min.value_or(0.0), 0.0);
    }
}

TEST(DialLookup, AFrequencyOffTheDialHasAProblem) {
    EXPECT_NE(lookup()(15000.0).problem.find("MHz"), std::string::npos);
}

TEST(DialLookup, KnownStationsMoveTheSetting) {
    const double before = lookup()(4800.0).division;
    const auto today = dial::Dial::create(test::mountain_set(), "2");
    // Found one division above the chart.
    const double found_at = today->setting(5.0)->div + 1.0;
    EXPECT_NEAR(lookup({{5.0, found_at}})(4800.0).division, before + 1.0, 1e-9);
}

TEST(DialLookup, AKnownStationOfAnotherBandIsLeftOut) {
    const auto set = test::mountain_set();
    const double before = lookup()(4800.0).division;
    // 9 MHz is on band 3 alone; 3.9 MHz at 94 is band 1's, and on band 2 it would be at 6.
    EXPECT_EQ(lookup({{9.0, 30.0}, {3.9, 94.0}})(4800.0).division, before);
    EXPECT_EQ(known_in(set, "1", {{9.0, 30.0}, {3.9, 94.0}}).size(), 1U);
    EXPECT_EQ(known_in(set, "2", {{9.0, 30.0}, {3.9, 94.0}}).size(), 0U);
}

TEST(DialLookup, ADetectionFileThatIsNotThereIsNamed) {
    const auto chance = chance_of(test::mountain_set(), {.detection = "/nowhere/curve.csv"});
    ASSERT_FALSE(chance);
    EXPECT_NE(chance.error().message.find("/nowhere/curve.csv"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::station
