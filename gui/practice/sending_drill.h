// The sending drill: a text to send, the key's marks as they come, the grade at the end.
//
// Stage:   gui/practice, no Qt. In: key down and up, or a key line at the desk's input. Out: what was
//          sent so far; the grade in words.
// Units:   seconds of the steady clock.
// Shape:   one exercise at a time.
// Time:    so_far() costs some milliseconds after every mark.
// Errors:  begin() and end() return what is wrong; the exercise goes on then.
// Threads: the window's, but for its KeyListener.
// Source:  none
// Checked: tests/desk/practice/sending_drill_test.cpp
#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/utc.h"
#include "dsp/fist/drill_text.h"
#include "dsp/fist/grading.h"
#include "dsp/fist/key_line.h"
#include "gui/listen/audio_user.h"
#include "gui/practice/practice_log.h"

namespace skedlark::gui {

// Audio of the input while an exercise is sent: a key line or sidetone in it is the key.
class KeyListener final : public AudioUser {
 public:
    static constexpr double kLongestS = 1800.0;

    void arm(bool armed);  // true: anew
    [[nodiscard]] std::vector<float> audio() const;

    void begin(const HeardInput&) override {}
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override {}

 private:
    mutable std::mutex mutex_;
    bool armed_ = false;
    std::vector<float> audio_;
};

enum class SendingPhase { idle, sending, graded };

class SendingDrill {
 public:
    explicit SendingDrill(PracticeLog& log) : log_(log) {}

    Status begin(fist::DrillKind kind, int count, std::uint64_t seed);
    void key(bool down, double at_s);
    // Grades what was sent by the key, or where nothing was, by the key line. Keeps it in the log
    // where `keep` says so.
    Status end(UtcTime now, bool keep);

    [[nodiscard]] SendingPhase phase() const { return phase_; }
    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] const std::string& more_of() const { return more_of_; }
    [[nodiscard]] std::size_t marks() const { return marks_.size(); }
    // "QVA7 DE Q  at 13 words a minute"
    [[nodiscard]] std::string so_far();
    [[nodiscard]] const std::vector<fist::KeyMark>& key_marks() const { return marks_; }
    [[nodiscard]] double edge_sd_s() const { return edge_sd_s_; }
    [[nodiscard]] const std::optional<fist::Grade>& grade() const { return grade_; }
    // Score, errors against the text, faults and what to do.
    [[nodiscard]] std::string result_words() const;
    [[nodiscard]] const std::shared_ptr<KeyListener>& line() const { return line_; }

 private:
    PracticeLog& log_;
    std::shared_ptr<KeyListener> line_ = std::make_shared<KeyListener>();
    SendingPhase phase_ = SendingPhase::idle;
    std::string text_;
    std::string more_of_;
    std::vector<fist::KeyMark> marks_;
    std::optional<double> down_since_s_;
    double edge_sd_s_ = fist::kKeyboardEdgeSdS;
    std::optional<fist::Grade> grade_;
    std::string so_far_;
    std::size_t so_far_marks_ = 0;
};

// The characters that weigh most, "K R C"; "" where none does.
[[nodiscard]] std::string heaviest_of(const fist::DrillWeights& weights);

}  // namespace skedlark::gui
