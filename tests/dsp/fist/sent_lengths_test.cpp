// Lengths one by one and their histogram, against keying by the standard.
#include "dsp/fist/sent_lengths.h"

#include <gtest/gtest.h>

#include <numeric>

#include "dsp/morse/timing.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

constexpr double kDotS = 0.06;

struct Sent {
    Keying keying;
    Kinds kinds;
};

// Keyed exactly as ITU-R M.1677-1 has it.
Sent by_the_standard(std::string_view text) {
    Sent out;
    double now_s = 1.0;
    const auto elements = morse::timed_elements(text);
    EXPECT_TRUE(elements);
    for (const morse::TimedElement& element : *elements) {
        const double end_s = now_s + element.units * kDotS;
        if (morse::is_mark(element.kind)) {
            out.keying.marks.push_back({.on_s = now_s, .off_s = end_s});
            out.kinds.marks.push_back(element.kind);
        } else {
            out.kinds.gaps.push_back(element.kind);
            out.kinds.gap_odds.push_back(1.0);
            out.kinds.pauses.push_back(0);
        }
        now_s = end_s;
    }
    return out;
}

// The bin that holds so many dots; lengths lie on an edge of it, so either neighbour.
int near(const LengthHistogram& histogram, double units) {
    int count = 0;
    for (std::size_t i = 0; i < histogram.counts.size(); ++i) {
        const double from = histogram.from_units(i);
        if (from > units - 1.5 * histogram.bin_units && from < units + 0.5 * histogram.bin_units)
            count += histogram.counts[i];
    }
    return count;
}

// PARIS: 10 dots and 4 dashes, 9 gaps in characters, 4 between them (ITU-R M.1677-1, counted by hand).
TEST(SentLengths, ParisByTheStandard) {
    const Sent sent = by_the_standard("PARIS PARIS");
    const auto lengths = sent_lengths(sent.keying, read_sending(sent.keying, sent.kinds));
    EXPECT_EQ(lengths.size(), 2U * 28U - 1U);
    const std::tuple<LengthKind, int, double> wanted[] = {{LengthKind::dot, 20, 1.0},
                                                          {LengthKind::dash, 8, 3.0},
                                                          {LengthKind::element_gap, 18, 1.0},
                                                          {LengthKind::character_gap, 8, 3.0},
                                                          {LengthKind::word_gap, 1, 7.0}};
    for (const auto& [kind, count, units] : wanted) {
        const LengthHistogram histogram = histogram_of(lengths, kind, kDotS);
        EXPECT_EQ(std::accumulate(histogram.counts.begin(), histogram.counts.end(), 0), count)
            << name_of(kind);
        EXPECT_EQ(near(histogram, units), count) << name_of(kind);
        EXPECT_EQ(standard_units(static_cast<ElementKind>(kind)), units);
    }
    double now_s = 1.0;
    for (const SentLength& one : lengths) {
        EXPECT_NEAR(one.at_s, now_s, 1e-9);
        now_s += one.length_s;
    }
}

TEST(SentLengths, PausesAndLostAudio) {
    Sent sent = by_the_standard("EE EE");
    sent.kinds.pauses[1] = 1;
    auto lengths = sent_lengths(sent.keying, read_sending(sent.keying, sent.kinds));
    ASSERT_EQ(lengths.size(), 7U);
    EXPECT_EQ(lengths[3].kind, LengthKind::pause);
    sent.keying.marks[0].beside_lost = true;
    lengths = sent_lengths(sent.keying, read_sending(sent.keying, sent.kinds));
    EXPECT_EQ(lengths.size(), 5U);  // without that mark and the gap after it
    EXPECT_TRUE(sent_lengths({}, {}).empty());
}

TEST(SentLengths, LongOnesCountInTheLastBin) {
    const SentLength lengths[] = {{LengthKind::pause, 0.0, 1e6}, {LengthKind::pause, 0.0, -1.0}};
    const LengthHistogram histogram = histogram_of(lengths, LengthKind::pause, kDotS);
    EXPECT_EQ(histogram.counts.front(), 1);
    EXPECT_EQ(histogram.counts.back(), 1);
    EXPECT_NEAR(histogram.from_units(histogram.counts.size()), kMostHistogramUnits, 1e-9);
}

TEST(SentLengths, NamesComeBack) {
    for (const auto kind : {LengthKind::dot, LengthKind::dash, LengthKind::element_gap,
                            LengthKind::character_gap, LengthKind::word_gap, LengthKind::pause}) {
        EXPECT_EQ(length_kind_by_name(name_of(kind)), kind);
    }
    EXPECT_FALSE(length_kind_by_name("dit"));
}

}  // namespace
}  // namespace skedlark::fist
