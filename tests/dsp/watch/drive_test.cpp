// The loop that pulls a source through a watch, with a source that does as told.
#include "dsp/watch/drive.h"

#include <gtest/gtest.h>

#include <limits>

#include "tests/dsp/watch/made_source.h"
#include "tests/dsp/watch/pipeline.h"

namespace skedlark::watch {
namespace {

struct Driven {
    std::vector<Event> events;
    Status status = Done{};
    double done_s = 0.0;
    std::optional<double> total_s;
};

Driven driven(MadeSource& source) {
    Driven result;
    Watch watch = *Watch::create({});
    DriveHooks hooks;
    hooks.events = [&](const std::vector<Event>& events) {
        EXPECT_FALSE(events.empty());
        result.events.insert(result.events.end(), events.begin(), events.end());
        return true;
    };
    hooks.progress = [&](double done_s, std::optional<double> total_s) {
        EXPECT_GE(done_s, result.done_s);
        result.done_s = done_s;
        result.total_s = total_s;
    };
    result.status = drive(source, watch, hooks);
    return result;
}

TEST(Drive, GivesTheSameEventsAsTheWatchItself) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 K", 5.0));
    MadeSource source(scene.samples);
    const Driven result = driven(source);
    EXPECT_TRUE(result.status.ok());
    EXPECT_EQ(described(result.events), described(watched(scene.samples)));
    EXPECT_DOUBLE_EQ(result.done_s, static_cast<double>(scene.samples.size()) / kWorkRateHz);
    EXPECT_EQ(result.total_s, result.done_s);
}

TEST(Drive, AnErrorComesAfterEverythingThatWasHad) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 K", 10.0));
    MadeSource source(scene.samples);
    source.fails_with = Error{ErrorCode::damaged, "cut short"};
    const Driven result = driven(source);
    ASSERT_FALSE(result.status.ok());
    EXPECT_EQ(result.status.error().message, "cut short");
    EXPECT_EQ(text_of(result.events).substr(0, 12), "QVA7 DE QXB2");
    EXPECT_TRUE(std::holds_alternative<SummaryEvent>(result.events.back()));
}

TEST(Drive, StopsWhenNobodyListens) {
    const std::vector<float> silence(60 * 8000, 0.0F);  // gives a note after ten seconds
    MadeSource source(silence);
    Watch watch = *Watch::create({});
    int batches = 0;
    double done_s = 0.0;
    DriveHooks hooks;
    hooks.events = [&](const std::vector<Event>&) {
        ++batches;
        return false;
    };
    hooks.progress = [&](double done, std::optional<double>) { done_s = done; };
    EXPECT_TRUE(drive(source, watch, hooks).ok());
    EXPECT_EQ(batches, 1);
    EXPECT_LT(done_s, 11.0);
}

TEST(Drive, ARequestToStopEndsWithTheSummary) {
    MadeSource source(noise(60.0, 5));
    source.request_stop();
    const Driven result = driven(source);
    EXPECT_TRUE(result.status.ok());
    ASSERT_EQ(result.events.size(), 1U);
    EXPECT_EQ(std::get<SummaryEvent>(result.events[0]).seconds, 0.0);
}

TEST(Drive, TellsOnceOfSamplesThatAreNotNumbers) {
    std::vector<float> audio = noise(5.0, 5);
    audio[100] = audio[20000] = std::numeric_limits<float>::quiet_NaN();
    MadeSource source(audio);
    EXPECT_EQ(only<NoteEvent>(driven(source).events).size(), 1U);
}

}  // namespace
}  // namespace skedlark::watch
