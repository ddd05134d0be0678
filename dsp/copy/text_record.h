// Turns agreed characters into events and keeps the text for the summary.
//
// Stage:   copy. In: characters of the consensus. Out: CharEvents, word gaps between them.
// Units:   boundaries in baseband frames in, work-rate frames out; confidences 0 to 1.
// Errors:  none.
// Threads: one thread per instance.
// Source:  a share counted over n readings is given as (share n + 1/2) / (n + 1), so that it never
//          says quite 0 or 1 (the mean under Jeffreys' prior for a proportion).
// Checked: tests/dsp/copy/text_record_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/copy/consensus.h"
#include "dsp/core/events.h"

namespace skedlark::copy {

class TextRecord {
 public:
    explicit TextRecord(int tone = 1) : tone_(tone) {}
    // Work-rate time of the middle of baseband frame 0.
    void set_origin(FrameIndex first_at) { first_at_ = first_at; }
    // Characters that are final, in order of time; readings: how many paths were drawn. While what
    // is read is too unsure to be of use, nothing is said: a station that is there, but cannot be
    // read.
    void settle(const AgreedCharacter& character, int readings, std::vector<Event>& out,
                const std::optional<std::string>& unaided = std::nullopt);
    // Characters as heard after the last final one.
    void show(const std::vector<AgreedCharacter>& characters, int readings,
              std::vector<Event>& out) const;

    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] bool empty() const { return count_ == 0; }
    [[nodiscard]] double mean_confidence() const { return count_ == 0 ? 0.0 : sum_ / count_; }
    // Over about the last eight characters, printed or not.
    [[nodiscard]] double recent_confidence() const { return recent_; }
    // How sure the characters to come will be, from a first reading of them.
    void expect(double confidence) { recent_ = confidence; }

 private:
    struct Place {
        bool after_text;
        double from;  // where the character before ended
    };
    void make(const AgreedCharacter& character, bool final, int readings, const Place& place,
              std::vector<CharEvent>& out) const;
    [[nodiscard]] FrameIndex at(double boundary) const;

    int tone_;
    FrameIndex first_at_ = 0;
    std::string text_;
    double last_to_ = 0.0;
    double sum_ = 0.0;
    double recent_ = 0.7;
    int count_ = 0;
};

}  // namespace skedlark::copy
