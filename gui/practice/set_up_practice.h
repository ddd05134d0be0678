// The set-up drill: four settings from a contact and a chart, then the base found on a simulated dial,
// then its message copied.
//
// Stage:   gui/practice, no Qt. In: plan and receiver, the trainee's answers, turns of the dial, what
//          was typed. Out: marks in words, audio.
// Units:   divisions, kilohertz, seconds.
// Shape:   asking, then sweeping, then copying, then marked; begin() again at any time.
// Errors:  begin(), answer() and mark() return what is wrong; the phase stays.
// Threads: the window's; the audio is made on the player's.
// Source:  none
// Checked: tests/desk/practice/set_up_practice_test.cpp
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "dsp/audio/player.h"
#include "dsp/core/utc.h"
#include "dsp/fist/copy_score.h"
#include "dsp/station/set_up_drill.h"
#include "dsp/watch/simulated_dial.h"
#include "gui/practice/practice_log.h"

namespace skedlark::gui {

struct SetUpSettings {
    double speed_wpm = 12.0;
    double snr_2500hz_db = 10.0;
    std::string fading{};
    int groups = 4;  // of the base's message, 1 to 50
};

enum class SetUpPhase { idle, asking, sweeping, copying, marked };

class SetUpPractice {
 public:
    explicit SetUpPractice(PracticeLog& log) : log_(log) {}

    Status begin(const station::Plan& plan, const dial::Receiver& receiver,
                 const std::vector<dial::KnownStation>& known, const SetUpSettings& settings,
                 std::uint64_t seed);
    [[nodiscard]] SetUpPhase phase() const { return phase_; }
    [[nodiscard]] std::string task_words() const;
    [[nodiscard]] const station::Plan& plan() const { return plan_; }
    [[nodiscard]] const dial::Receiver& receiver() const { return receiver_; }

    // Marks the settings and sets the dial: where the trainee says, on the right band.
    Status answer(const station::SetUpAnswer& answer, double now_s);
    [[nodiscard]] std::string answer_words() const;
    [[nodiscard]] const std::vector<station::SetUpMark>& marks() const { return marks_; }

    [[nodiscard]] std::string band() const { return band_; }
    [[nodiscard]] double division() const { return dial_ ? dial_->division() : 0.0; }
    void turn_by(double div);
    [[nodiscard]] audio::Player::Make audio() const;
    // The trainee says: this is the base. In words whether it is; then it sends its message.
    std::string found(double now_s);

    Status mark(const std::string& typed, UtcTime now);
    [[nodiscard]] std::string result_words(std::size_t columns) const;
    [[nodiscard]] const std::optional<fist::CopyScore>& score() const { return score_; }
    [[nodiscard]] const watch::SimulatedDial* dial() const { return dial_.get(); }

 private:
    PracticeLog& log_;
    SetUpPhase phase_ = SetUpPhase::idle;
    station::Plan plan_{};
    dial::Receiver receiver_{};
    std::vector<dial::KnownStation> known_;
    SetUpSettings settings_{};
    std::uint64_t seed_ = 0;
    station::SetUpTask task_{};
    std::vector<station::SetUpMark> marks_;
    std::string band_;
    std::shared_ptr<watch::SimulatedDial> dial_;
    double began_s_ = 0.0;
    double found_after_s_ = 0.0;
    int wrong_calls_ = 0;
    std::string message_;
    std::optional<fist::CopyScore> score_;
};

}  // namespace skedlark::gui
