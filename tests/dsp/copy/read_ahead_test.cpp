#include "dsp/copy/read_ahead.h"

#include <gtest/gtest.h>

#include <vector>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

struct Sent {
    MarkEvidence evidence{8192};
    std::vector<tone::BasebandFrame> frames;
};

constexpr double kDotS = 0.06;

Timing hand() {
    Timing timing;
    const double dot = kDotS * tone::kBasebandRateHz;
    timing.dot = {dot, 0.1};
    timing.dash = {3.0 * dot, 0.1};
    timing.element_gap = {dot, 0.1};
    timing.character_gap = {3.0 * dot, 0.1};
    timing.word_gap = {7.0 * dot, 0.1};
    return timing;
}

void send(Sent& sent, unsigned seed) {
    std::mt19937_64 random(support::test_seed(seed));
    test::Keying text;
    text.up(0.5);
    text.send(test::random_groups(6, random), 1.2 / kDotS);
    text.up(1.0);
    sent.frames = text.frames(3.0, random);
    sent.evidence.reset();
}

// Firm sums are the same whether or not the reader looked beyond them in between, and however the
// evidence arrived.
TEST(ReadAhead, LookingBeyondChangesNothingFirm) {
    Sent once, often;
    send(once, 5);
    send(often, 5);
    const double a = test::amplitude_of(3.0);
    ReadAhead one(8192), other(8192);
    one.begin(0, {hand()}, a * a);
    other.begin(0, {hand()}, a * a);
    for (std::size_t i = 0; i < once.frames.size(); ++i) {
        once.evidence.append(once.frames[i], a);
        often.evidence.append(often.frames[i], a);
        while (other.advance(often.evidence)) {
        }
        if (i % 20 == 0) {
            other.extend(often.evidence);
            EXPECT_EQ(other.trellis().now(), other.now());
        }
    }
    while (one.advance(once.evidence)) {
    }
    ASSERT_EQ(one.firm(), other.firm());
    ASSERT_GT(one.firm(), 1000);
    for (std::int64_t t = 1; t <= one.firm(); ++t) {
        ASSERT_EQ(one.trellis().exponent(t), other.trellis().exponent(t)) << t;
        EXPECT_FLOAT_EQ(one.trellis().character_end(t, 0), other.trellis().character_end(t, 0))
            << t;
    }
}

// It stays so far behind as the header says, and finish() leaves nothing.
TEST(ReadAhead, StaysBehindByTheDotsOfTheHand) {
    Sent sent;
    send(sent, 6);
    const double a = test::amplitude_of(3.0);
    ReadAhead reader(4096);
    reader.begin(0, {hand()}, a * a);
    const double ahead = 16.0 * kDotS * tone::kBasebandRateHz;
    for (const auto& frame : sent.frames) {
        sent.evidence.append(frame, a);
        while (reader.advance(sent.evidence)) {
        }
        EXPECT_LT(static_cast<double>(sent.evidence.size() - reader.firm()), 1.3 * ahead);
    }
    reader.finish(sent.evidence);
    EXPECT_EQ(reader.firm(), sent.evidence.size());
    EXPECT_EQ(reader.trellis().now(), sent.evidence.size());
}

}  // namespace
}  // namespace skedlark::copy
