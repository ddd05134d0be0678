// The part on the listening thread, given audio by hand.
#include "gui/sweep/sweep_user.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "dsp/audio/file_source.h"
#include "dsp/audio/work_rate_source.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::gui {
namespace {

SweepUser::Start start_of(SweepWay way, double ready_s) {
    const auto receiver = *dial::read_receiver(EXAMPLES "/saddle-hut.toml");
    SweepUser::Start start{*dial::Dial::create(receiver, "2"), {}, ready_s};
    start.setup.band = "2";
    start.setup.from_div = 42.0;
    start.setup.to_div = 44.0;
    start.setup.way = way;
    return start;
}

std::vector<float> recorded_sweep() {
    auto source =
        *audio::WorkRateSource::create(*audio::open_file(RECORDINGS "/17-sweep.flac", {}));
    std::vector<float> all;
    std::vector<float> block(4000);
    while (true) {
        const auto read = *source->read(block);
        all.insert(all.end(), block.begin(), block.begin() + static_cast<long>(read.frames));
        if (read.end) return all;
    }
}

void give(SweepUser& user, std::span<const float> audio, std::size_t block) {
    for (std::size_t at = 0; at < audio.size(); at += block) {
        user.take({audio.subspan(at, std::min(block, audio.size() - at))},
                  static_cast<FrameIndex>(at));
    }
}

HeardInput a_file(double seconds) {
    HeardInput input;
    input.name = "a file";
    input.seconds = seconds;
    return input;
}

TEST(SweepUser, StationsAndRowsAreTheSameForAnyBlocks) {
    const auto audio = recorded_sweep();
    std::vector<double> divs[2];
    std::size_t rows[2] = {};
    for (const int which : {0, 1}) {
        SweepUser user;
        user.start(start_of(SweepWay::over_file, 0.0));
        user.begin(a_file(static_cast<double>(audio.size()) / kWorkRateHz));
        give(user, audio, which == 0 ? 400 : 7777);
        rows[which] = user.take_rows().size();
        user.end();
        for (const auto& station : user.snapshot().stations) divs[which].push_back(station.div);
        EXPECT_EQ(user.snapshot().phase, SweepPhase::done);
    }
    EXPECT_EQ(divs[0].size(), 4U);
    EXPECT_EQ(divs[0], divs[1]);
    EXPECT_EQ(rows[0], rows[1]);
    EXPECT_NEAR(static_cast<double>(rows[0]), 56.0 / SweepUser::kHopS, 4.0);
}

TEST(SweepUser, APacedSweepBeginsWhenTheHandIsReadyAndEndsByItself) {
    SweepUser user;
    SweepUser::Start start = start_of(SweepWay::paced, 5.0);
    start.setup.rate_khz_per_s = 4.0;
    user.start(start);
    EXPECT_EQ(user.snapshot().phase, SweepPhase::armed);
    user.begin({});
    const std::vector<float> quiet(8000 * 4, 1e-3F);
    give(user, quiet, 400);
    EXPECT_EQ(user.snapshot().phase, SweepPhase::armed);
    EXPECT_NEAR(user.snapshot().to_start_s, 1.0, 1e-9);
    give(user, quiet, 400);
    EXPECT_EQ(user.snapshot().phase, SweepPhase::running);
    EXPECT_NEAR(user.snapshot().heard_s, 3.0, 1e-9);
    for (const SweepRow& row : user.take_rows()) EXPECT_GE(row.at_s, 0.0);
    for (int i = 0; i < 4; ++i) give(user, quiet, 400);
    EXPECT_EQ(user.snapshot().phase, SweepPhase::done);
    EXPECT_NEAR(user.snapshot().heard_s, user.snapshot().motion->marks().back().at_s, 1e-3);
}

TEST(SweepUser, WhatCannotBeSweptIsTold) {
    SweepUser user;
    user.start(start_of(SweepWay::over_file, 0.0));
    user.begin(a_file(0.01));  // two divisions in a hundredth of a second: nothing can be found
    user.take({std::vector<float>(400)}, 0);
    EXPECT_EQ(user.snapshot().phase, SweepPhase::off);
    EXPECT_FALSE(user.snapshot().failure.empty());
}

TEST(SweepUser, AStoppedSweepWithoutAudioIsOverAtOnce) {
    SweepUser user;
    user.start(start_of(SweepWay::paced, 5.0));
    user.finish();
    EXPECT_EQ(user.snapshot().phase, SweepPhase::off);
}

TEST(SweepUser, LeadsByThePitchHeard) {
    SweepUser user;
    user.start(start_of(SweepWay::marked, 0.0));
    user.begin({});
    user.take({std::vector<float>(400)}, 0);
    user.finish();
    user.take({std::vector<float>(400)}, 400);
    ASSERT_EQ(user.snapshot().phase, SweepPhase::done);
    user.lead(43.0);
    std::vector<float> tone(8000 * 6);
    unsigned noise = 1;
    for (std::size_t i = 0; i < tone.size(); ++i) {
        noise = noise * 1664525U + 1013904223U;  // Numerical Recipes' generator, from memory
        const double at_s = static_cast<double>(i) / kWorkRateHz;
        tone[i] = static_cast<float>(0.1 * std::sin(2.0 * std::numbers::pi * 1000.0 * at_s) +
                                     0.02 * (static_cast<double>(noise >> 8) / 8388608.0 - 1.0));
    }
    give(user, tone, 400);
    const auto way = user.snapshot().zero_in;
    ASSERT_TRUE(way && way->advice);
    EXPECT_NEAR(way->advice->pitch_hz, 1000.0, 3.0);
    EXPECT_NEAR(way->advice->off_hz, 300.0, 3.0);  // the receiver is listened to at 700 Hz
    EXPECT_NE(way->advice->turn, dial::Turn::here);
    EXPECT_FALSE(way->held);
    user.leave_lead();
    user.end();
    EXPECT_FALSE(user.snapshot().zero_in);
}

}  // namespace
}  // namespace skedlark::gui
