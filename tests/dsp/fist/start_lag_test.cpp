#include "dsp/fist/start_lag.h"

#include <cmath>

#include "dsp/synth/transmitter.h"
#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

StartLag lag_of(const std::vector<synth::Mark>& marks) {
    const Keying keying = keying_of(marks);
    const auto hand = find_hand(keying);
    EXPECT_TRUE(hand);
    const Sending sending = read_sending(keying, probable_kinds(keying, *hand));
    return start_lag(keying, sending, statistics_of(keying, sending), nullptr);
}

// The lag put in, its mean and its spread; too short to swallow a dot, so that all marks tell.
TEST(StartLag, IsTheOneOfTheTransmitter) {
    for (const char* hand : {"machine", "steady", "ordinary"}) {
        for (const double lag_s : {0.012, 0.020}) {
            const auto keyed = marks_of(groups(80, 3), hand, 18.0, 3);
            synth::TransmitterConfig config;
            config.lag_s = lag_s;
            const StartLag found = lag_of(synth::go_out(keyed, config, 3));
            const StartLag without = lag_of(keyed);
            // A light hand looks like a lag by its means; what is put in comes on top.
            EXPECT_NEAR(found.mean_s - without.mean_s, lag_s, 0.15 * lag_s) << hand;
            EXPECT_NEAR(found.sd_s, lag_s / 3.0, 0.25 * lag_s) << hand;
        }
    }
}

TEST(StartLag, AHandAloneTiesNoMarkToTheGapBefore) {
    for (const auto& named : synth::named_fists()) {
        const StartLag found = lag_of(marks_of(groups(80, 4), std::string(named.name), 18.0, 4));
        EXPECT_LT(found.over_error, 3.5) << named.name;
    }
}

TEST(StartLag, NothingSent) { EXPECT_EQ(start_lag({}, {}, {}, nullptr).mean_s, 0.0); }

}  // namespace
}  // namespace skedlark::fist
