// How far a long piece of work has come, for a terminal.
//
// Stage:   cli. In: seconds done of seconds there are. Out: a line such as
//          "[########------------]  41 %  3:42 of 9:00".
// Time:    silent for the first kQuietForS of wall clock, then at most kTimesPerSecond.
// Errors:  none.
// Threads: one.
// Checked: tests/cli/progress_test.cpp
#pragma once

#include <chrono>
#include <optional>
#include <string>

namespace skedlark::cli {

inline constexpr double kQuietForS = 2.0;
inline constexpr double kTimesPerSecond = 10.0;

class Progress {
 public:
    using Clock = std::chrono::steady_clock;
    explicit Progress(Clock::time_point start) : start_(start) {}

    // A line to show now, or empty when it is not time for one. total_s empty: only the time is
    // shown.
    [[nodiscard]] std::optional<std::string> line(double done_s, std::optional<double> total_s,
                                                  Clock::time_point now);

 private:
    Clock::time_point start_;
    std::optional<Clock::time_point> last_;
};

}  // namespace skedlark::cli
