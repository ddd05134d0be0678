#include "dsp/bench/event_reports.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "dsp/bench/limits.h"

namespace skedlark::bench {
namespace {

void expect_known(const std::string& test, const Report& report) {
    std::set<std::string> names;
    for (const MeasurementKind& kind : measurement_kinds()) {
        if (kind.test == test) names.insert(std::string(kind.name));
    }
    for (const Measurement& m : report.measurements) {
        EXPECT_TRUE(names.count(m.name) == 1)
            << test << "." << m.name << " is in no table of limits";
        EXPECT_FALSE(m.what.empty()) << m.name;
    }
}

TEST(EventReports, EveryNameIsOneThatLimitsKnow) {
    Contacts contacts;
    contacts.dropouts = {event_rate(3, 20.0), event_rate(0, 40.0),
                         rate_ratio(event_rate(3, 20.0), event_rate(0, 40.0))};
    contacts.crackles = contacts.dropouts;
    contacts.events = {{ContactKind::dropout, 1.0, 0.002, {20.0, 3.0}, true}};
    const Report told = contacts_report(contacts);
    expect_known("contacts", told);
    ASSERT_EQ(told.occurrences.size(), 1U);
    EXPECT_EQ(told.occurrences[0].kind, "dropout");
    // None seen is a bound, not a zero.
    EXPECT_EQ(told.measurements[1].known, Known::at_most);

    Drift drift;
    drift.wander = {{1.0, {0.1, 0.01}, 10}};
    drift.settled_s = Figure{60.0, 1.0};
    drift.jumps = {{80.0, {2.0, 0.1}}};
    drift.supply = {{{60.0, Supply::low}, Figure{1.0, 0.1}, Figure{2.0, 0.1}}};
    drift.retraces = {{{600.0, 700.0}, {2.0, 0.1}, 500.0}};
    expect_known("drift", drift_report(drift, {}));
    Ring ring;
    ring.frequency_hz = Figure{400.0, 1.0};
    ring.decay_s = Figure{0.05, 0.001};
    ring.over_noise_db = Figure{20.0, 1.0};
    ring.taps = {Tap{}};
    expect_known("ring", ring_report(ring));
    Passband band;
    band.at_6_db = {6.0, Figure{}, Figure{}, Figure{}};
    band.at_60_db.width_hz = band.shape_factor = band.noise_bandwidth_hz = band.centre_hz =
        band.side_ratio_db = Figure{};
    band.pulling = {Pulling{}};
    expect_known("passband", passband_report(band, {}));
    DialCheck check;
    check.points = {CheckedPoint{}};
    check.stretch = check.backlash_div = Figure{};
    expect_known("dial", dial_report(check, {}));
    RunDown run;
    run.fallen_at_s = Figure{};
    expect_known("rundown", run_down_report(run, {}));
}

// The response against its highest point, the pitch in minutes; seconds without a tone are no points.
TEST(EventReports, CurvesForPlots) {
    Passband band;
    band.peak_db = -20.0;
    band.points = {{-500.0, {-26.0, 0.1}}, {700.0, {-20.0, 0.2}}};
    const auto response = passband_report(band, {}).curves.at(0);
    ASSERT_EQ(response.rows.size(), 2U);
    EXPECT_EQ(response.rows[0].x, -500.0);
    EXPECT_EQ(response.rows[0].y, -6.0);
    EXPECT_EQ(response.rows[1].uncertainty_95, 0.2);
    EXPECT_EQ(response.y_name, "level_db");
    Drift drift;
    drift.curve = PitchCurve(64);
    PitchSecond second;
    second.state = ToneState::one;
    second.pitch_hz = 700.0;
    second.sd_hz = 0.01;
    for (int i = 0; i < 4; ++i) drift.curve.add(second);
    for (int i = 0; i < 3; ++i) drift.curve.add_none();
    const auto pitch = drift_report(drift, {}).curves.at(0);
    ASSERT_EQ(pitch.rows.size(), 4U);
    EXPECT_NEAR(pitch.rows[3].x, 3.5 / 60.0, 1e-12);
    EXPECT_NEAR(pitch.rows[3].y, 700.0, 1e-12);
    EXPECT_NEAR(pitch.rows[3].uncertainty_95, 1.96 * 0.01, 1e-5);
    EXPECT_EQ(run_down_report(RunDown{}, {}).curves.size(), 2U);
}

}  // namespace
}  // namespace skedlark::bench
