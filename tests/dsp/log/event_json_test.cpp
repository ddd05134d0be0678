// JSON Lines. Expected lines are written out by hand from docs/file-formats.md.
#include "dsp/log/event_json.h"

#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "dsp/core/units.h"

namespace skedlark::log {
namespace {

TEST(EventJson, Tone) {
    EXPECT_EQ(json_line(Event(ToneEvent{1, 10000, 700.123, true, -8.457, 1.2345e-7})),
              R"({"event":"tone","tone":1,"at_s":1.25,"pitch_hz":700.12,"keyed":true,)"
              R"("snr_2500hz_db":-8.46,"false_alarm_odds":1.23e-07})"
              "\n");
    EXPECT_EQ(nlohmann::json::parse(json_line(Event(ToneEvent{})))["keyed"], nullptr);
}

TEST(EventJson, Char) {
    CharEvent event{.tone = 2,
                    .from_frame = 8000,
                    .to_frame = 8804,
                    .text = "A",
                    .confidence = 0.97,
                    .others = {{"W", 0.02}}};
    EXPECT_EQ(json_line(Event(event)),
              R"({"event":"char","tone":2,"from_s":1.0,"to_s":1.1005,"char":"A","confidence":0.97,)"
              R"("others":[["W",0.02]]})"
              "\n");
    event.procedure = true;
    event.final = false;
    event.text = "AR";
    const auto json = nlohmann::json::parse(json_line(Event(event)));
    EXPECT_EQ(json["procedure"], true);
    EXPECT_EQ(json["final"], false);
    EXPECT_EQ(json["char"], "AR");
}

TEST(EventJson, TheOtherEvents) {
    EXPECT_EQ(json_line(Event(PitchMovedEvent{1, 80000, 700.0, 870.5})),
              R"({"event":"pitch_moved","tone":1,"at_s":10.0,"from_hz":700.0,"to_hz":870.5})"
              "\n");
    EXPECT_EQ(
        json_line(Event(CallEvent{1, 80000, "QVA7", 8.25, 14.04})),
        R"({"event":"call","tone":1,"at_s":10.0,"call":"QVA7","log_odds":8.3,"speed_wpm":14.0})"
        "\n");
    EXPECT_EQ(json_line(Event(SendingEvent{8, 16})),
              R"({"event":"sending","from_s":0.001,"to_s":0.002})"
              "\n");
    EXPECT_EQ(json_line(Event(AudioLostEvent{0, 8000, "overflow"})),
              R"({"event":"audio_lost","from_s":0.0,"to_s":1.0,"reason":"overflow"})"
              "\n");
    EXPECT_EQ(json_line(Event(NoteEvent{0, "a \"b\""})),
              R"({"event":"note","at_s":0.0,"text":"a \"b\""})"
              "\n");
}

TEST(EventJson, SummaryHoldsEveryFieldAndNullForWhatWasNotMeasured) {
    ToneSummary tone{.tone = 1, .pitch_hz = 700.0, .speed_wpm = 20.0, .text = "E"};
    const double none = std::numeric_limits<double>::quiet_NaN();
    tone.timing = {0.06, none, none, none, none, none, none, none, none, none, 1};
    const auto json = nlohmann::json::parse(json_line(Event(SummaryEvent{2.5, {tone}})));
    EXPECT_EQ(json["seconds"], 2.5);
    const auto& first = json["tones"][0];
    for (const char* field : {"tone", "pitch_hz", "pitch_drift_hz_per_min", "snr_2500hz_db",
                              "speed_wpm", "text", "mean_confidence", "timing"}) {
        EXPECT_TRUE(first.contains(field)) << field;
    }
    for (const char* field :
         {"dash_ms", "element_gap_ms", "character_gap_ms", "word_gap_ms", "dash_to_dot", "dot_cv",
          "dash_cv", "element_gap_cv", "character_gap_cv"}) {
        ASSERT_TRUE(first["timing"].contains(field)) << field;
        EXPECT_TRUE(first["timing"][field].is_null()) << field;
    }
    EXPECT_EQ(first["timing"]["dot_ms"], 60.0);
    EXPECT_EQ(first["timing"]["marks"], 1);
}

TEST(EventJson, UtcIsTheStartPlusTheEventsTime) {
    using std::chrono::milliseconds;
    // 1 h 30 min after the epoch: 1970-01-01 01:30 UTC by definition of POSIX time.
    const UtcTime start{milliseconds(5'400'250)};
    EXPECT_EQ(utc_text(start), "1970-01-01T01:30:00.250Z");
    const auto json =
        nlohmann::json::parse(json_line(Event(NoteEvent{frames_from_seconds(1.5), ""}), start));
    EXPECT_EQ(json["utc"], "1970-01-01T01:30:01.750Z");
}

TEST(EventJson, InputNamesAreBytesAndNeedNotBeText) {
    const auto json = nlohmann::json::parse(json_line(InputLine{.name = "a\xff.wav"}));
    EXPECT_EQ(json["event"], "input");
    EXPECT_TRUE(json["seconds"].is_null());
    EXPECT_FALSE(json.contains("utc"));
}

}  // namespace
}  // namespace skedlark::log
