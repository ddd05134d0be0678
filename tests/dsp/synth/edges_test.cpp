#include "dsp/synth/edges.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace skedlark::synth {
namespace {

std::vector<float> shape(const std::vector<Mark>& marks, EdgeShape edges, double rise_s,
                         double rate_hz, double seconds) {
    KeyingEdges keying(marks, edges, rise_s, rate_hz);
    std::vector<float> out(static_cast<std::size_t>(seconds * rate_hz));
    keying.fill(out);
    return out;
}

// Time at which the amplitude passes level, by a straight line between samples; from the front.
double crossing_s(const std::vector<float>& x, double level, double rate_hz, double from_s) {
    auto n = static_cast<std::size_t>(from_s * rate_hz);
    const bool rising = static_cast<double>(x[n]) < level;
    while ((static_cast<double>(x[n]) < level) == rising) ++n;
    const double a = static_cast<double>(x[n - 1]);
    const double b = static_cast<double>(x[n]);
    return (static_cast<double>(n) - 1.0 + (level - a) / (b - a)) / rate_hz;
}

// Definition: rise_s is 10 to 90 %; the amplitude passes one half at a mark's ends.
TEST(Edges, RiseTimeAndHalfAmplitude) {
    const double on_s = 0.05003;
    const double off_s = 0.15011;
    for (const EdgeShape edges : {EdgeShape::raised_cosine, EdgeShape::exponential}) {
        for (const double rise_s : {0.002, 0.005, 0.020}) {
            const double rate_hz = 48000.0;
            const auto x = shape({{on_s, off_s}}, edges, rise_s, rate_hz, 0.25);
            const double limit = 2e-5;  // one sample
            EXPECT_NEAR(crossing_s(x, 0.9, rate_hz, 0.0) - crossing_s(x, 0.1, rate_hz, 0.0), rise_s,
                        limit);
            EXPECT_NEAR(crossing_s(x, 0.1, rate_hz, 0.1) - crossing_s(x, 0.9, rate_hz, 0.1), rise_s,
                        limit);
            EXPECT_NEAR(crossing_s(x, 0.5, rate_hz, 0.0), on_s, limit);
            EXPECT_NEAR(crossing_s(x, 0.5, rate_hz, 0.1), off_s, limit);
            EXPECT_NEAR(static_cast<double>(x[4800]), 1.0, 0.005);
        }
    }
}

TEST(Edges, HardEdgesTakeOneSample) {
    const auto x = shape({{0.01, 0.02}}, EdgeShape::hard, 0.005, 8000.0, 0.03);
    EXPECT_EQ(x[79], 0.0F);
    EXPECT_NEAR(static_cast<double>(x[80]), 0.5, 1e-6);
    EXPECT_EQ(x[81], 1.0F);
    EXPECT_EQ(x[159], 1.0F);
    EXPECT_EQ(x[161], 0.0F);
    // Mean amplitude is exact to a fraction of a sample: 10.03 ms of key-down.
    const auto y = shape({{0.01, 0.02003}}, EdgeShape::hard, 0.005, 8000.0, 0.03);
    double sum = 0.0;
    for (const float value : y) sum += static_cast<double>(value);
    EXPECT_NEAR(sum / 8000.0, 0.01003, 1e-8);
}

TEST(Edges, StaysBetweenZeroAndOneAlsoWhereMarksAreShort) {
    std::vector<Mark> marks;
    for (int i = 0; i < 50; ++i) marks.push_back({0.01 + 0.006 * i, 0.012 + 0.006 * i});
    for (const EdgeShape edges :
         {EdgeShape::raised_cosine, EdgeShape::exponential, EdgeShape::hard}) {
        for (const float value : shape(marks, edges, 0.02, 8000.0, 0.4)) {
            ASSERT_GE(value, -1e-6F);
            ASSERT_LE(value, 1.0F + 1e-6F);
        }
    }
}

TEST(Edges, AnySplitGivesTheSame) {
    const std::vector<Mark> marks = {{0.01, 0.03}, {0.04, 0.1}, {0.101, 0.15}};
    for (const EdgeShape edges :
         {EdgeShape::raised_cosine, EdgeShape::exponential, EdgeShape::hard}) {
        const auto whole = shape(marks, edges, 0.005, 11025.0, 0.2);
        KeyingEdges keying(marks, edges, 0.005, 11025.0);
        std::vector<float> parts(whole.size());
        std::size_t at = 0;
        for (std::size_t size = 0; at < parts.size(); size = (size * 3 + 1) % 97) {
            const std::size_t frames = std::min(size, parts.size() - at);
            keying.fill(std::span(parts).subspan(at, frames));
            at += frames;
        }
        EXPECT_EQ(whole, parts);
    }
}

TEST(Edges, NoMarksAndHeldDown) {
    for (const float value : shape({}, EdgeShape::raised_cosine, 0.005, 8000.0, 0.1)) {
        ASSERT_EQ(value, 0.0F);
    }
    KeyingEdges held = KeyingEdges::held_down(8000.0);
    std::vector<float> out(100);
    held.fill(out);
    for (const float value : out) ASSERT_EQ(value, 1.0F);
}

}  // namespace
}  // namespace skedlark::synth
