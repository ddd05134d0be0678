// All the Fist page knows: what is being measured, the attempt shown, the person's history.
//
// Stage:   gui/fist, no Qt. In: the hub's audio through its FistUser, files, a key's marks, what was
//          meant, who sends. Out: figures so far, the graded attempt, weeks of sending.
// Units:   seconds from the attempt's start.
// Shape:   one attempt at a time; another one takes its place. A graded attempt of a named person is
//          kept in the log; graded anew (another sender, another text) it takes the place of the first.
// Time:    grading, reading files and the log run on a thread of its own; refresh() takes what is done.
// Errors:  in words, in state_words() and history_words().
// Threads: the window's, but for its user.
// Source:  none
// Checked: tests/desk/fist/fist_model_test.cpp
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "dsp/log/sending_trend.h"
#include "gui/fist/background.h"
#include "gui/fist/fist_user.h"

namespace skedlark::gui {

enum class FistPhase { idle, waiting, measuring, grading, graded, failed };

class FistModel {
 public:
    // log_file: "" for the user's own.
    explicit FistModel(std::string log_file = {});

    [[nodiscard]] const std::shared_ptr<FistUser>& user() const { return user_; }

    // Who sends: attempts are kept under this name, "" keeps none.
    void set_who(const std::string& who);
    // The text that is meant; bytes as typed or read. Empty: not known. On an error the text stays.
    Status set_text(std::string_view bytes, const std::string& name);
    [[nodiscard]] const MeantText& text() const { return text_; }

    void start();
    void stop();
    void grade_file(const FileToGrade& file);
    void grade_key(const std::vector<fist::KeyMark>& marks, double edge_sd_s);
    // Of several senders the one at this pitch: graded anew, or followed from now on.
    void choose_sender(double pitch_hz);
    void grade_again();

    // Takes what is done. now: for attempts whose input has no time of its own.
    void refresh(UtcTime now);
    [[nodiscard]] std::uint64_t revision() const { return revision_; }  // of all below
    [[nodiscard]] FistPhase phase() const { return phase_; }
    [[nodiscard]] bool hears() const { return hears_; }
    [[nodiscard]] const fist::LiveFigures& live() const { return live_; }
    // The one shown; null: none yet.
    [[nodiscard]] const AttemptPtr& attempt() const { return attempt_; }
    // What the figures are of: so far while measuring, else of the attempt; null: none.
    [[nodiscard]] const fist::Grade* grade() const;
    // Keyed tones heard, the one graded first; more than one: several senders.
    [[nodiscard]] std::vector<fist::HeardTone> senders() const;
    [[nodiscard]] std::string state_words() const;

    [[nodiscard]] const std::vector<log::WeekOfSending>& weeks() const { return weeks_; }
    [[nodiscard]] std::string history_words() const;
    void read_history();

 private:
    struct Done {
        AttemptPtr attempt;
        std::string failure;     // of reading it
        std::string not_logged;  // why
        std::int64_t entry_id = 0;
    };
    void grade(Attempt attempt);
    void finish_grading(Done done);

    std::string log_file_;
    std::shared_ptr<FistUser> user_;
    std::string who_;
    MeantText text_;
    std::optional<double> pitch_hz_;
    FistPhase phase_ = FistPhase::idle;
    bool hears_ = false;
    double heard_s_ = 0.0;
    fist::LiveFigures live_;
    AttemptPtr attempt_;
    std::string failure_;
    std::string not_logged_;
    std::int64_t entry_id_ = 0;  // of the attempt shown, in the log
    std::vector<log::WeekOfSending> weeks_;
    std::string history_failure_;
    UtcTime now_{};
    std::uint64_t revision_ = 0;
    Background background_;  // last: its jobs end before what they use
};

}  // namespace skedlark::gui
