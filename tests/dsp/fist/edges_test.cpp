#include "dsp/fist/edges.h"

#include <numbers>

#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

struct EdgeErrors {
    double rms_s = 0.0;
    double told_s = 0.0;  // root mean square of the standard deviations given out
    double mean_on_s = 0.0;
    double mean_off_s = 0.0;
    int count = 0;
    int missing = 0;

    void add(const synth::Scene& scene, const Keying& keying) {
        const auto& truth = scene.truth.wanted.marks;
        const std::vector<int> mine = partners(truth, keying);
        for (std::size_t i = 0; i < truth.size(); ++i) {
            if (mine[i] < 0) {
                ++missing;
                continue;
            }
            const MeasuredMark& mark = keying.marks[static_cast<std::size_t>(mine[i])];
            const double on = mark.on_s - truth[i].on_s;
            const double off = mark.off_s - truth[i].off_s;
            sum_on_ += on;
            sum_off_ += off;
            squares_ += on * on + off * off;
            told_ += mark.length_variance();
            ++count;
        }
        mean_on_s = sum_on_ / count;
        mean_off_s = sum_off_ / count;
        rms_s = std::sqrt(squares_ / (2.0 * count));
        told_s = std::sqrt(told_ / (2.0 * count));
    }

 private:
    double sum_on_ = 0.0, sum_off_ = 0.0, squares_ = 0.0, told_ = 0.0;
};

EdgeErrors errors_at(double snr_db, synth::EdgeShape shape = synth::EdgeShape::raised_cosine) {
    const std::uint64_t seed = support::test_seed(1001);
    EdgeErrors errors;
    std::uint64_t part = 0;
    for (const char* hand : {"steady", "ordinary", "swinging"}) {
        auto config = scene_config(groups(10, support::seed_for_part(seed, part)), hand, snr_db,
                                   support::seed_for_part(seed, part + 100));
        config.wanted.edges = shape;
        const auto scene = made(config);
        errors.add(scene, measured(scene));
        ++part;
    }
    EXPECT_EQ(errors.missing, 0);
    return errors;
}

// Cramer-Rao for the delay of a known edge: variance d / (A^2 int e'(t)^2 dt) with noise density d
// and a raised cosine of whole length T = rise / 0.590 (10 to 90 %), whose integral is pi^2 / (8 T)
// (Kay, Estimation Theory, from memory; the integral worked out here).
double bound_s(double snr_db, double rise_s) {
    const double whole_s = rise_s / (1.0 - 2.0 * std::acos(0.8) / std::numbers::pi);
    const double slope_energy = std::numbers::pi * std::numbers::pi / (8.0 * whole_s);
    const double over_density = 2.0 * power_from_db(snr_db) * kReferenceBandwidthHz;
    return std::sqrt(1.0 / (over_density * slope_energy));
}

// What is to be reached: 0.3 ms rms at 15 dB for edges of 5 ms; the bound lies at 0.209 ms.
TEST(Edges, At15DbWithinThreeTenthsOfAMillisecond) {
    EXPECT_NEAR(1e3 * bound_s(15.0, 0.005), 0.209, 0.001);
    const EdgeErrors errors = errors_at(15.0);
    EXPECT_LE(errors.rms_s, 0.0003);
    EXPECT_GE(errors.rms_s, 0.9 * bound_s(15.0, 0.005));
    RecordProperty("rms_us", static_cast<int>(1e6 * errors.rms_s));
}

// The error that is told is the error that is made, and no edge is early or late as a rule.
TEST(Edges, KnowTheirError) {
    for (const double snr : {5.0, 15.0, 25.0}) {
        const EdgeErrors errors = errors_at(snr);
        EXPECT_NEAR(errors.told_s / errors.rms_s, 1.0, 0.12) << snr;
        EXPECT_LT(std::abs(errors.mean_on_s), 0.15 * errors.rms_s + 1e-5) << snr;
        EXPECT_LT(std::abs(errors.mean_off_s), 0.15 * errors.rms_s + 1e-5) << snr;
    }
}

// An RC rises and falls in other ways than a cosine; its half is found all the same.
TEST(Edges, OtherShapes) {
    for (const auto shape : {synth::EdgeShape::exponential, synth::EdgeShape::hard}) {
        const EdgeErrors errors = errors_at(20.0, shape);
        EXPECT_LE(errors.rms_s, 0.0004);
        EXPECT_LT(std::abs(errors.mean_off_s - errors.mean_on_s), 0.0001);
    }
}

TEST(Edges, RiseTimeAndSnr) {
    auto config = scene_config(groups(20, 9), "steady", 20.0, support::test_seed(1002));
    config.wanted.rise_s = 0.008;
    const Keying keying = measured(made(config));
    EXPECT_NEAR(keying.rise_s, 0.008, 0.0006);
    EXPECT_NEAR(keying.fall_s, 0.008, 0.0006);
    EXPECT_NEAR(keying.snr_2500hz_db, 20.0, 0.7);
}

// A note that chirps by 60 Hz at each key-down has its edges where they are.
TEST(Edges, ChirpDoesNotMoveThem) {
    auto config = scene_config(groups(20, 9), "steady", 20.0, support::test_seed(1003));
    config.wanted.note.chirp_hz = 60.0;
    const auto scene = made(config);
    EdgeErrors errors;
    errors.add(scene, measured(scene));
    EXPECT_EQ(errors.missing, 0);
    EXPECT_LE(errors.rms_s, 0.0005);
    EXPECT_LT(std::abs(errors.mean_on_s), 0.0003);
}

TEST(Edges, NoMarksNoEdges) { EXPECT_TRUE(measure_edges({}, {}).marks.empty()); }

}  // namespace
}  // namespace skedlark::fist
