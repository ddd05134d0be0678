// What the Copy page knows: the text, the picture, the tones, and what of it is written down.
//
// Stage:   gui/copy, no Qt. In: CopyNews; what the operator does. Out: everything the page shows.
// Units:   as in the words.
// Shape:   one input at a time; what was copied of the one before is kept as plain text.
// Errors:  of the journal: in notes(), once.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_model_test.cpp
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "dsp/log/event_json.h"
#include "gui/copy/copy_text.h"
#include "gui/copy/copy_user.h"
#include "gui/copy/journal.h"
#include "gui/copy/message.h"
#include "gui/copy/row_ring.h"

namespace skedlark::gui {

struct OtherTone {
    int tone = 0;
    double pitch_hz = 0.0;
    std::string words{};  // "760 Hz, keyed, -3 dB: QVA7 DE"
};

class CopyModel {
 public:
    // Empty: no journal.
    explicit CopyModel(std::string journal_folder = {});

    // now: the wall clock, for the journal's name.
    void take(CopyNews news, UtcTime now);

    [[nodiscard]] const CopyText& text() const { return text_; }
    [[nodiscard]] const RowRing& rows() const { return rows_; }
    [[nodiscard]] FrameIndex heard_to() const { return heard_to_; }
    [[nodiscard]] double picture_hz() const { return picture_hz_; }
    // Counts the inputs begun.
    [[nodiscard]] int input() const { return inputs_; }

    // The tone whose text is shown: the one chosen, else the first one with text.
    [[nodiscard]] int tone() const;
    void choose(std::optional<int> tone) { chosen_ = tone; }
    [[nodiscard]] std::optional<double> pitch_of(int tone) const;
    [[nodiscard]] std::vector<OtherTone> other_tones() const;
    // "700 Hz, 16.1 words a minute, 5 dB over the noise in 2500 Hz, drift +0.4 Hz a minute"
    [[nodiscard]] std::string numbers_in_words() const;
    [[nodiscard]] const std::deque<std::string>& notes() const { return notes_; }
    [[nodiscard]] const std::string& earlier() const { return earlier_; }
    [[nodiscard]] CopiedMessage message(std::optional<bool> in_fives = {}) const;

    void send_from(FrameIndex from) { text_.send_from(from); }
    void send_until(FrameIndex to);
    void add_sending(const Stretch& stretch);
    void correct(FrameIndex from, std::optional<std::string> text);
    void correct_stretch(const Stretch& stretch, const std::string& text);

    [[nodiscard]] std::string as_text() const;
    [[nodiscard]] std::string as_json() const;
    [[nodiscard]] std::string as_sheet(const std::string& own_call, const std::string& their_call,
                                       std::optional<bool> in_fives = {}) const;

 private:
    void begin(const HeardInput& input, UtcTime now);
    void take(const Event& event);
    void write_down(const Event& event);
    void write_correction(const Stretch& place, const std::string& read, const std::string& taken);
    void note(FrameIndex at, const std::string& text);
    [[nodiscard]] const ToneSummary* followed(int tone) const;
    [[nodiscard]] SummaryEvent summary() const;

    std::string journal_folder_;
    Journal journal_;
    bool journal_told_ = false;
    bool journal_failure_told_ = false;
    HeardInput heard_{};
    int inputs_ = 0;
    bool ended_ = false;
    CopyText text_;
    RowRing rows_;
    std::map<int, ToneEvent> tones_;
    std::vector<ToneSummary> followed_;
    std::optional<int> chosen_;
    double picture_hz_ = kPictureHz;
    FrameIndex heard_to_ = 0;
    std::deque<std::string> notes_;
    std::string lines_;  // all JSON lines of this input
    std::string earlier_;
    FrameIndex journal_to_ = 0;  // end of the last character in the journal's text
};

// "0:12", "1:02:03"
[[nodiscard]] std::string clock_words(double seconds);

}  // namespace skedlark::gui
