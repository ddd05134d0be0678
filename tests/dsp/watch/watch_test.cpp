// The whole pipeline on made-up scenes whose truth is exact.
#include "dsp/watch/watch.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "tests/dsp/watch/pipeline.h"
#include "tests/support/seed.h"
#include "tests/support/text_score.h"

namespace skedlark::watch {
namespace {

constexpr const char* kText = "QVA7 DE QXB2 = NR 4 GR 5 = KLMNO PQRST UVWXY ABCDE FGHIJ = K";

TEST(Watch, FindsAndCopiesFromTheFirstCharacterOn) {
    const synth::Scene scene = make(scene_of(kText, 5.0));
    const auto events = watched(scene.samples);
    // A clear machine-sent signal: no error is allowed.
    const auto score = support::score_text(scene.truth.wanted.text, text_of(events));
    EXPECT_EQ(score.all.errors, 0) << text_of(events);
    const auto chars = only<CharEvent>(events);
    ASSERT_FALSE(chars.empty());
    // The first mark is where it was sent, long before the tone was found: within half a dot.
    EXPECT_NEAR(seconds_from_frames(chars.front().from_frame),
                scene.truth.wanted.characters.front().from_s, 0.5 * dit_s(18.0));
    const auto tones = only<ToneEvent>(events);
    ASSERT_FALSE(tones.empty());
    EXPECT_TRUE(std::any_of(tones.begin(), tones.end(), [](const ToneEvent& tone) {
        return tone.keyed.value_or(false) && std::abs(tone.pitch_hz - 700.0) < 1.0;
    }));
}

TEST(Watch, CopiesStrongSignals) {
    for (const double snr_db : {10.0, 20.0, 30.0, 40.0}) {
        const synth::Scene scene = make(scene_of(kText, snr_db));
        const std::string text = text_of(watched(scene.samples));
        EXPECT_EQ(support::score_text(scene.truth.wanted.text, text).all.errors, 0)
            << snr_db << " dB: " << text;
    }
}

// A source that runs before it has sound, an input unmuted while the station is about to send.
TEST(Watch, MissesNothingAfterDigitalSilence) {
    const synth::Scene scene = make(scene_of(kText, 15.0));
    for (const double seconds : {0.1, 0.5, 0.77, 1.9, 5.3, 20.0}) {
        std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz), 0.0F);
        audio.insert(audio.end(), scene.samples.begin(), scene.samples.end());
        audio.insert(audio.end(), 8000, 0.0F);
        const std::string text = text_of(watched(audio));
        EXPECT_EQ(support::score_text(scene.truth.wanted.text, text).all.errors, 0)
            << seconds << " s: " << text;
    }
}

TEST(Watch, SummaryHoldsWhatWasSent) {
    const synth::Scene scene = make(scene_of(kText, 5.0));
    const auto events = watched(scene.samples);
    ASSERT_TRUE(std::holds_alternative<SummaryEvent>(events.back()));
    const auto& summary = std::get<SummaryEvent>(events.back());
    EXPECT_DOUBLE_EQ(summary.seconds, static_cast<double>(scene.samples.size()) / kWorkRateHz);
    ASSERT_FALSE(summary.tones.empty());
    const ToneSummary& tone = summary.tones.front();
    EXPECT_NEAR(tone.pitch_hz, 700.0, 1.0);
    EXPECT_NEAR(tone.snr_2500hz_db, 5.0, 1.5);
    EXPECT_NEAR(tone.speed_wpm, 18.0, 0.02 * 18.0);  // lengths within 2 %
    EXPECT_NEAR(tone.timing.dash_to_dot, 3.0, 0.06);
    EXPECT_EQ(tone.text, text_of(events, tone.tone));
    EXPECT_GT(tone.mean_confidence, 0.9);
}

TEST(Watch, TellsOfWhatItFollowsWhileItFollows) {
    const synth::Scene scene = make(scene_of(kText, 5.0));
    auto watch = Watch::create({});
    ASSERT_TRUE(watch.ok());
    EXPECT_TRUE(watch->followed().empty());
    std::vector<Event> events;
    watch->process({scene.samples, false, {}}, events);
    const auto followed = watch->followed();
    ASSERT_EQ(followed.size(), 1U);
    EXPECT_NEAR(followed.front().pitch_hz, 700.0, 1.0);
    EXPECT_NEAR(followed.front().speed_wpm, 18.0, 0.02 * 18.0);  // as in the summary
    EXPECT_NEAR(followed.front().snr_2500hz_db, 5.0, 1.5);
    EXPECT_TRUE(followed.front().text.empty());
}

TEST(Watch, TheSameEventsForAnyBlockSplit) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 K", 3.0, "steady"));
    const auto whole = described(watched(scene.samples, {}, scene.samples.size()));
    EXPECT_GT(whole.size(), 10U);
    for (const std::size_t block : {1UL, 37UL, 200UL, 801UL, 50000UL}) {
        EXPECT_EQ(described(watched(scene.samples, {}, block)), whole) << "block of " << block;
    }
}

TEST(Watch, SilenceGivesASummaryAndANote) {
    const auto events = watched(std::vector<float>(30 * 8000, 0.0F));
    EXPECT_TRUE(only<CharEvent>(events).empty());
    EXPECT_TRUE(only<ToneEvent>(events).empty());
    EXPECT_EQ(only<NoteEvent>(events).size(), 1U);
    EXPECT_EQ(only<SummaryEvent>(events).size(), 1U);
}

TEST(Watch, NothingAtAllGivesAnEmptySummary) {
    for (const std::size_t samples : {0UL, 1UL, 199UL}) {
        const auto events = watched(std::vector<float>(samples, 0.1F));
        ASSERT_EQ(events.size(), 1U);
        EXPECT_TRUE(std::get<SummaryEvent>(events[0]).tones.empty());
    }
}

TEST(Watch, NoiseAloneIsNeverRead) {
    const auto seed = support::test_seed(11);
    const auto events = watched(noise(120.0, seed));
    EXPECT_TRUE(only<CharEvent>(events).empty()) << text_of(events);
}

TEST(Watch, ASteadyCarrierIsFoundButNotRead) {
    synth::SceneConfig config;
    config.seconds = 40.0;
    config.snr_2500hz_db = 0.0;
    config.wanted.carrier = true;
    const auto events = watched(make(config).samples);
    EXPECT_TRUE(only<CharEvent>(events).empty()) << text_of(events);
    ASSERT_FALSE(only<ToneEvent>(events).empty());
    EXPECT_FALSE(only<ToneEvent>(events).back().keyed.value_or(false));
}

TEST(Watch, NotNumbersConstantsAndFullScaleDoNoHarm) {
    std::vector<float> audio(20 * 8000, 0.5F);
    audio[5000] = std::numeric_limits<float>::quiet_NaN();
    audio[6000] = std::numeric_limits<float>::infinity();
    EXPECT_TRUE(only<CharEvent>(watched(audio)).empty());
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = i / 6 % 2 == 0 ? 1.0F : -1.0F;  // a square wave of 667 Hz
    }
    EXPECT_TRUE(only<CharEvent>(watched(audio)).empty());
}

// A second station 200 Hz up and stronger.
synth::SceneConfig two_stations() {
    synth::SceneConfig config = scene_of("QVA7 DE QXB2 QXB2 QXB2 K", 3.0);
    synth::StationConfig other;
    other.transmissions = {{1.2, "QZT2 QZT2 DE QWK8 QWK8 K"}};
    other.speed_wpm = 16.0;
    other.offset_hz = 200.0;
    other.level_db = 4.0;
    config.seconds = 32.0;  // until both have ended
    config.neighbours.push_back(other);
    return config;
}

TEST(Watch, ThePitchToldDecidesBetweenTwo) {
    const synth::Scene scene = make(two_stations());
    WatchConfig config;
    config.pitch_hz = 705.0;
    EXPECT_EQ(
        support::score_text("QVA7 DE QXB2 QXB2 QXB2 K", text_of(watched(scene.samples, config)))
            .all.errors,
        0);
    config.pitch_hz = 890.0;
    EXPECT_EQ(
        support::score_text("QZT2 QZT2 DE QWK8 QWK8 K", text_of(watched(scene.samples, config)))
            .all.errors,
        0);
}

TEST(Watch, CopiesTwoTonesAtOnce) {
    const synth::Scene scene = make(two_stations());
    WatchConfig config;
    config.tones = 2;
    const auto events = watched(scene.samples, config);
    const auto& summary = std::get<SummaryEvent>(events.back());
    ASSERT_GE(summary.tones.size(), 2U);
    std::vector<std::string> texts{summary.tones[0].text, summary.tones[1].text};
    std::sort(texts.begin(), texts.end());
    EXPECT_EQ(support::score_text("QVA7 DE QXB2 QXB2 QXB2 K", texts[0]).all.errors, 0) << texts[0];
    EXPECT_EQ(support::score_text("QZT2 QZT2 DE QWK8 QWK8 K", texts[1]).all.errors, 0) << texts[1];
}

TEST(Watch, WithNoPlaceForTonesNoneIsCopied) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 QXB2 K", 5.0));
    WatchConfig config;
    config.tones = 0;
    const auto events = watched(scene.samples, config);
    EXPECT_TRUE(only<CharEvent>(events).empty());
    EXPECT_FALSE(only<ToneEvent>(events).empty());
}

TEST(Watch, LostAudioIsToldAndCopyingGoesOn) {
    const synth::Scene scene = make(scene_of(kText, 10.0));
    const std::span<const float> audio(scene.samples);
    const std::size_t gap_from = 12 * 8000 + 77;
    const std::size_t gap_to = 15 * 8000 + 11;
    const std::vector<float> nothing(gap_to - gap_from, 0.0F);
    Watch watch = *Watch::create({});
    std::vector<Event> events;
    watch.process({audio.first(gap_from)}, events);
    watch.process({nothing, true, "the device was away"}, events);
    watch.process({audio.subspan(gap_to)}, events);
    watch.finish(events);
    const auto lost = only<AudioLostEvent>(events);
    ASSERT_EQ(lost.size(), 1U);
    EXPECT_EQ(lost[0].from_frame, static_cast<FrameIndex>(gap_from));
    EXPECT_EQ(lost[0].to_frame, static_cast<FrameIndex>(gap_to));
    EXPECT_EQ(lost[0].reason, "the device was away");
    // Longer than a second: told while it lasts.
    EXPECT_EQ(only<NoteEvent>(events).size(), 1U);
    // Whatever was sent a second or more outside of the gap is there.
    const std::string text = text_of(events);
    EXPECT_TRUE(text.starts_with("QVA7 DE QXB2")) << text;
    EXPECT_NE(text.find("UVWXY ABCDE FGHIJ"), std::string::npos) << text;
}

TEST(Watch, ALossOfUnknownLengthIsToldWhereItIs) {
    const std::vector<float> audio = noise(3.0, 1);
    Watch watch = *Watch::create({});
    std::vector<Event> events;
    watch.process({std::span(audio).first(8000)}, events);
    watch.process({std::span(audio).subspan(8000), false, "damaged"}, events);
    watch.finish(events);
    const auto lost = only<AudioLostEvent>(events);
    ASSERT_EQ(lost.size(), 1U);
    EXPECT_EQ(lost[0].from_frame, 8000);
    EXPECT_EQ(lost[0].to_frame, 8000);
}

TEST(Watch, ProvisionalCharactersComeBeforeTheirFinalOnes) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 QXB2 K", 10.0));
    WatchConfig config;
    config.provisional = true;
    const auto chars = only<CharEvent>(watched(scene.samples, config));
    EXPECT_TRUE(
        std::any_of(chars.begin(), chars.end(), [](const CharEvent& e) { return !e.final; }));
    EXPECT_EQ(support::score_text(scene.truth.wanted.text, text_of(watched(scene.samples, config)))
                  .all.errors,
              0);
}

TEST(Watch, RefusesSettingsOutOfRangeAndNamesThem) {
    const auto refused = [](auto change) {
        WatchConfig config;
        change(config);
        const Status status = check(config);
        return status ? std::string() : status.error().message;
    };
    EXPECT_EQ(refused([](WatchConfig&) {}), "");
    EXPECT_EQ(refused([](WatchConfig& c) { c.pitch_hz = 100.0; }),
              "pitch: 100 is out of range; allowed: 200 to 3000 Hz");
    EXPECT_NE(refused([](WatchConfig& c) { c.span_hz = 1.0; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.tones = 9; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.tones = -1; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.speed_wpm = 3.0; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.false_alarms_per_hour = 0.0; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.lookback_s = 1e9; }), "");
    EXPECT_NE(refused([](WatchConfig& c) { c.pitch_hz = std::nan(""); }), "");
    EXPECT_FALSE(Watch::create({.pitch_hz = 100.0}));
}

}  // namespace
}  // namespace skedlark::watch
