// Results in the log book: the newest kept, earlier ones of the same receiver and test found and compared.
//
// Stage:   gui/bench, no Qt. In: a log file, sheets. Out: entries, changes.
// Errors:  those of the log book, naming the file; nothing of a result is lost by them.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_history_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/log/bench_entry.h"
#include "gui/bench/bench_jobs.h"

namespace skedlark::gui {

class BenchHistory {
 public:
    // Empty: the user's own log.
    void set_file(const std::string& file) { file_ = file; }

    // Its number in the log. ended: when the sound ended.
    [[nodiscard]] Result<std::int64_t> keep(const BenchDone& done, const std::string& who,
                                            const std::string& receiver, UtcTime ended) const;
    // Of this test and receiver, the newest first; none where there is no log yet.
    [[nodiscard]] Result<std::vector<log::Entry>> earlier(const std::string& test,
                                                          const std::string& receiver) const;

 private:
    std::string file_;
};

// "27: 2026-11-29 10:15 UTC, FAIL"
[[nodiscard]] std::string entry_words(const log::Entry& entry);

}  // namespace skedlark::gui
