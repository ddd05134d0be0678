// A person's exercises in the log, for the drills of the desk.
//
// Stage:   gui/practice, no Qt. In: who; entries. Out: log::PracticeRecord; the log book.
// Shape:   nobody's name: nothing is read and nothing kept.
// Errors:  keep() returns those of the log book; a log that cannot be read is an empty record, said by
//          problem().
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_log_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"
#include "dsp/log/practice_record.h"

namespace skedlark::gui {

class PracticeLog {
 public:
    // file: "" for the user's own.
    explicit PracticeLog(std::string file = {}) : file_(std::move(file)) {}

    void set_who(const std::string& who) { who_ = who; }
    [[nodiscard]] const std::string& who() const { return who_; }
    [[nodiscard]] log::PracticeRecord record();
    Status keep(log::Entry entry);
    [[nodiscard]] const std::string& problem() const { return problem_; }

 private:
    std::string file_;
    std::string who_;
    std::string problem_;
};

}  // namespace skedlark::gui
