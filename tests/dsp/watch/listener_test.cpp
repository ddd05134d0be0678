// A listener started late, on scenes whose truth is exact.
#include "dsp/watch/listener.h"

#include <gtest/gtest.h>

#include "tests/dsp/watch/pipeline.h"
#include "tests/support/text_score.h"

namespace skedlark::watch {
namespace {

std::string copied_late(const synth::Scene& scene, double start_s, double pitch_hz) {
    const std::span<const float> audio(scene.samples);
    const auto start = static_cast<std::size_t>(start_s * kWorkRateHz);
    AudioHistory history(frames_from_seconds(60.0));
    history.add(audio.first(start), false);
    ListenerConfig config;
    config.pitch_hz = pitch_hz;
    std::vector<Event> events;
    Listener listener = *Listener::start(config, history, events);
    listener.process(audio.subspan(start), false, events);
    listener.finish(events);
    return text_of(events);
}

TEST(Listener, ReadsWhatWasSentBeforeItStarted) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 = ALL WELL K", 5.0));
    for (const double start_s : {0.0, 4.0, 12.0}) {
        const std::string text = copied_late(scene, start_s, 700.0);
        EXPECT_EQ(support::score_text(scene.truth.wanted.text, text).all.errors, 0)
            << "started at " << start_s << " s: " << text;
    }
}

TEST(Listener, GoesBackAlongADriftToTheBeginning) {
    synth::SceneConfig config = scene_of("QVA7 DE QXB2 = ALL WELL = QVA7 DE QXB2 K", 10.0);
    config.beat.drift_hz_per_s = 1.0;
    const synth::Scene scene = make(config);
    // 20 s on, the tone is 20 Hz from where it began: two dots' bandwidth away.
    const std::string text = copied_late(scene, 20.0, 720.0);
    EXPECT_LE(support::score_text(scene.truth.wanted.text, text).all.rate(), 0.03) << text;
}

TEST(Listener, IsSilentSinceTheToneEnded) {
    const synth::Scene scene = make(scene_of("QVA7 DE QXB2 K", 10.0));
    const std::vector<float> after = noise(20.0, 3);
    AudioHistory history(8000);
    std::vector<Event> events;
    Listener listener = *Listener::start({}, history, events);
    listener.process(scene.samples, false, events);
    EXPECT_LT(listener.silent_s(), 5.0);
    for (std::size_t i = 0; i < after.size(); i += 200) {
        listener.process(std::span(after).subspan(i, 200), false, events);
    }
    EXPECT_NEAR(listener.silent_s(), 21.0, 4.0);
    EXPECT_TRUE(listener.makes_sense());
    EXPECT_EQ(listener.summary().tone, 1);
    EXPECT_NEAR(listener.summary().pitch_hz, 700.0, 2.0);
}

TEST(Listener, RefusesAPitchItCannotFollow) {
    AudioHistory history(8000);
    std::vector<Event> events;
    ListenerConfig config;
    config.pitch_hz = -5.0;
    EXPECT_FALSE(Listener::start(config, history, events));
}

}  // namespace
}  // namespace skedlark::watch
