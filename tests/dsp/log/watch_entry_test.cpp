// Events as a watch tells them, and the entry they must give.
#include "dsp/log/watch_entry.h"

#include <gtest/gtest.h>

#include "dsp/core/units.h"

namespace skedlark::log {
namespace {

FrameIndex at_s(double seconds) { return frames_from_seconds(seconds); }

ToneEvent tone(int number, std::optional<bool> keyed, double snr_db) {
    return {number, at_s(4.0), 700.0, keyed, snr_db, 1e-9};
}

CharEvent character(const std::string& text, bool procedure = false, bool final = true) {
    CharEvent event;
    event.tone = 1;
    event.to_frame = at_s(9.0);
    event.text = text;
    event.procedure = procedure;
    event.final = final;
    return event;
}

Entry after(const std::vector<Event>& events, const std::string& cut_short = "") {
    WatchEntry watch({.contact = "evening"});
    watch.add(events);
    watch.end(cut_short);
    return watch.entry();
}

TEST(WatchEntry, WhatWasCopied) {
    ToneSummary summary;
    summary.tone = 1;
    summary.pitch_hz = 701.0;
    summary.snr_2500hz_db = -5.0;
    summary.speed_wpm = 14.0;
    summary.text = "QVA7 K";
    summary.mean_confidence = 0.9;
    const Entry entry =
        after({tone(2, false, 20.0), tone(1, true, -6.0), SummaryEvent{62.5, {summary}}});
    EXPECT_EQ(entry.outcome, kCopied);
    EXPECT_EQ(entry.reason, "");
    EXPECT_EQ(entry.contact, "evening");
    EXPECT_DOUBLE_EQ(entry.seconds, 62.5);
    ASSERT_EQ(entry.stations.size(), 2U);
    EXPECT_EQ(entry.stations[0].text, "QVA7 K") << "what was read stands first";
    EXPECT_DOUBLE_EQ(entry.stations[0].pitch_hz, 701.0);
    EXPECT_DOUBLE_EQ(entry.stations[0].speed_wpm, 14.0);
    EXPECT_EQ(entry.stations[1].keyed, false);
}

TEST(WatchEntry, AnyMomentBeforeTheEndHoldsWhatWasHeard) {
    WatchEntry watch({});
    watch.add(std::vector<Event>{tone(1, true, 3.0), character("Q"), character("x", false, false),
                                 character(" "), character("AR", true)});
    const Entry entry = watch.entry();
    EXPECT_EQ(entry.outcome, kOpen);
    EXPECT_EQ(entry.stations[0].text, "Q [AR]") << "what may still change is left out";
    EXPECT_DOUBLE_EQ(entry.seconds, 9.0);
    watch.reach(60.0);
    watch.reach(50.0);
    EXPECT_DOUBLE_EQ(watch.entry().seconds, 60.0);
}

TEST(WatchEntry, WhyItWasMissed) {
    EXPECT_EQ(after({}).outcome, kMissed);
    EXPECT_EQ(after({}).reason, "no keyed tone was heard");
    EXPECT_EQ(after({tone(1, false, 9.0)}).outcome, kMissed);
    EXPECT_EQ(after({tone(1, std::nullopt, 9.0)}).outcome, kMissed);
    const Entry heard = after({tone(1, true, -15.0)});
    EXPECT_EQ(heard.outcome, kHeard);
    EXPECT_EQ(heard.reason, "a keyed tone was heard, but no text was read");
    const Event call = CallEvent{1, 16000, "QVA7", 8.0, 14.0};
    const Event other = CallEvent{1, 24000, "QXB2", 8.0, 14.0};
    EXPECT_EQ(after({tone(1, true, -15.0), call, other, call}).reason,
              "QVA7, QXB2 called, but no text was read");
    EXPECT_EQ(after({tone(1, true, -15.0), character("_"), character(" ")}).outcome, kHeard);
    const Entry lost = after({AudioLostEvent{at_s(5.0), at_s(7.5), "device gone"}}, "device gone");
    EXPECT_EQ(lost.reason, "no keyed tone was heard; 2.5 s of audio were lost; device gone");
    ASSERT_EQ(lost.measurements.size(), 1U);
    EXPECT_EQ(lost.measurements[0].name, "audio_lost_s");
    EXPECT_DOUBLE_EQ(lost.measurements[0].value, 2.5);
}

TEST(WatchEntry, AReasonThatWasGivenStays) {
    WatchEntry watch({.reason = "aerial down"});
    watch.end("");
    EXPECT_EQ(watch.entry().reason, "aerial down");
}

}  // namespace
}  // namespace skedlark::log
