// Made-up audio of known level; limits from input_notes.h.
#include "dsp/watch/input_notes.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace skedlark::watch {
namespace {

std::vector<float> sine(double seconds, double peak) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz));
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = static_cast<float>(
            peak * std::sin(2.0 * std::numbers::pi * 703.0 * static_cast<double>(i) / kWorkRateHz));
    }
    return audio;
}

std::vector<NoteEvent> notes_on(const std::vector<float>& audio, std::size_t block = 1000,
                                bool lost = false) {
    InputNotes notes;
    std::vector<Event> events;
    for (std::size_t i = 0; i < audio.size(); i += block) {
        notes.process(std::span(audio).subspan(i, std::min(block, audio.size() - i)), lost, events);
    }
    std::vector<NoteEvent> found;
    for (const Event& event : events) {
        found.push_back(std::get<NoteEvent>(event));
    }
    return found;
}

TEST(InputNotes, AGoodLevelNeedsNone) {
    EXPECT_TRUE(notes_on(sine(30.0, amplitude_from_db(kTooLowDbfs + 1.0))).empty());
    EXPECT_TRUE(notes_on(sine(30.0, 0.9)).empty());
}

TEST(InputNotes, TooLowIsToldOnceAfterTenSeconds) {
    const auto notes = notes_on(sine(100.0, amplitude_from_db(-70.0)));
    ASSERT_EQ(notes.size(), 1U);
    EXPECT_EQ(notes[0].at_frame, frames_from_seconds(kLowForS));
    EXPECT_NE(notes[0].text.find("-70 dBFS"), std::string::npos) << notes[0].text;
}

TEST(InputNotes, ExactZerosAreSilenceNotALowLevel) {
    const auto notes = notes_on(std::vector<float>(160000, 0.0F));
    ASSERT_EQ(notes.size(), 1U);
    EXPECT_NE(notes[0].text.find("zeros"), std::string::npos);
}

TEST(InputNotes, ClippingIsTold) {
    std::vector<float> audio = sine(2.0, 1.4);
    for (float& sample : audio) {
        sample = std::clamp(sample, -1.0F, 1.0F);
    }
    const auto notes = notes_on(audio);
    ASSERT_EQ(notes.size(), 1U);
    // A sine of peak 1.4 is beyond 1 for 2 acos(1 / 1.4) / pi = 49.3 % of the time.
    EXPECT_NE(notes[0].text.find("49."), std::string::npos) << notes[0].text;
}

TEST(InputNotes, NumbersThatAreNoneBecomeSilenceAndAreToldOnce) {
    std::vector<float> audio = sine(10.0, 0.5);
    audio[100] = std::numeric_limits<float>::quiet_NaN();
    audio[20000] = std::numeric_limits<float>::infinity();
    EXPECT_EQ(notes_on(audio).size(), 1U);
    InputNotes notes;
    std::vector<Event> events;
    const auto clean = notes.process(audio, false, events);
    EXPECT_EQ(clean[100], 0.0F);
    EXPECT_EQ(clean[20000], 0.0F);
    EXPECT_EQ(clean[101], audio[101]);
}

TEST(InputNotes, AFaultThatComesBackAfterAMinuteIsToldAgain) {
    std::vector<float> audio = sine(200.0, 0.5);
    for (const std::size_t second : {5U, 30U, 150U}) {
        std::fill_n(audio.begin() + static_cast<std::ptrdiff_t>(second) * 8000, 8000, 1.0F);
    }
    const auto notes = notes_on(audio);
    ASSERT_EQ(notes.size(), 2U);
    EXPECT_EQ(notes[0].at_frame, frames_from_seconds(6));
    EXPECT_EQ(notes[1].at_frame, frames_from_seconds(151));
}

TEST(InputNotes, LostAudioIsNotJudged) {
    EXPECT_TRUE(notes_on(std::vector<float>(400000, 0.0F), 1000, true).empty());
}

TEST(InputNotes, TheSameForAnyBlockSplit) {
    const std::vector<float> audio = sine(40.0, amplitude_from_db(-75.0));
    const auto whole = notes_on(audio, audio.size());
    for (const std::size_t block : {1UL, 7UL, 160UL, 8001UL}) {
        const auto split = notes_on(audio, block);
        ASSERT_EQ(split.size(), whole.size());
        EXPECT_EQ(split[0].at_frame, whole[0].at_frame);
    }
}

}  // namespace
}  // namespace skedlark::watch
