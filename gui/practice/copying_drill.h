// The copying drill: a text keyed at a level, played, marked by character; the level to take next.
//
// Stage:   gui/practice, no Qt. In: conditions, what was typed. Out: audio to play; marks in words.
// Units:   five-letter groups a minute; words a minute; dB in 2500 Hz; hertz.
// Shape:   one exercise at a time; its audio may be played again and again.
// Errors:  make() and mark() return what is wrong; the exercise before stays.
// Threads: the window's; the audio is made on the player's.
// Source:  none
// Checked: tests/desk/practice/copying_drill_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "dsp/audio/player.h"
#include "dsp/core/utc.h"
#include "dsp/fist/copy_score.h"
#include "dsp/fist/drill_scene.h"
#include "dsp/fist/drill_text.h"
#include "gui/practice/practice_log.h"

namespace skedlark::gui {

struct CopyingSettings {
    fist::DrillKind kind = fist::DrillKind::groups;
    int count = 5;
    double level = fist::kFirstLevel;
    double character_wpm = 12.0;         // characters no slower, gaps stretched
    int first = 0;                       // characters of the order that groups are drawn of; 0: all
    fist::DrillConditions conditions{};  // its pace is not looked at
};

enum class CopyingPhase { idle, made, marked };

class CopyingDrill {
 public:
    explicit CopyingDrill(PracticeLog& log) : log_(log) {}

    Status make(const CopyingSettings& settings, std::uint64_t seed);
    // From the beginning; empty before make().
    [[nodiscard]] audio::Player::Make audio() const;
    [[nodiscard]] double seconds() const { return seconds_; }
    Status mark(const std::string& typed, UtcTime now);

    [[nodiscard]] CopyingPhase phase() const { return phase_; }
    [[nodiscard]] const std::string& more_of() const { return more_of_; }
    [[nodiscard]] const std::optional<fist::CopyScore>& score() const { return score_; }
    // Of this person by the log, before the first exercise; after one, by it too.
    [[nodiscard]] double next_level();
    [[nodiscard]] std::string result_words(std::size_t columns) const;
    [[nodiscard]] const std::string& sent() const { return text_; }

 private:
    PracticeLog& log_;
    CopyingPhase phase_ = CopyingPhase::idle;
    CopyingSettings settings_{};
    synth::SceneConfig scene_{};
    std::string text_;
    std::string more_of_;
    double seconds_ = 0.0;
    std::optional<fist::CopyScore> score_;
    std::vector<fist::LevelAttempt> attempts_;  // of somebody without a name
};

}  // namespace skedlark::gui
