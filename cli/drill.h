// The parts of `skedlark drill`: texts, copying, sending, setting up.
//
// Stage:   cli. In: DrillOptions. Out: text or JSON Lines on standard output, an exit status.
// Errors:  on standard error, "skedlark drill: ...".
// Threads: none of its own.
// Checked: tests/cli/drill_test.cpp, drill_practice_test.cpp, live_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/drill_view.h"
#include "cli/exit_status.h"
#include "cli/output.h"
#include "dsp/core/result.h"
#include "dsp/fist/drill_scene.h"
#include "dsp/log/practice_record.h"

namespace skedlark::cli {

inline constexpr double kDefaultWpm = 12.0;

struct DrillOptions {
    std::string kind = "groups";
    int count = 10;
    std::optional<std::uint64_t> seed;
    int first = 0;  // characters of the order, that groups are drawn of; 0: all
    std::string out;
    bool play = false;
    bool key_delay = false;
    bool live = false;  // sent on a key at a sound input
    std::string input_device;
    std::string output_device;
    double volume_dbfs = -40.0;
    double limit_dbfs = -30.0;
    std::optional<double> speed_wpm;
    std::optional<double> level;  // groups a minute
    std::optional<double> character_wpm;
    fist::DrillConditions conditions{};
    std::string answer;
    std::string sent;
    std::string set_up_plan;
    std::string chart;
    std::string who;
    std::string log_file;
    bool json = false;
};

ExitStatus fail_drill(const Error& error);
// Flushes; what cannot be delivered is told.
ExitStatus deliver(Output& out, ExitStatus status);
[[nodiscard]] UtcTime utc_now();

// A text by the options and what the log says of the person; the pace it is to be sent at.
struct NewExercise {
    Exercise exercise;
    log::PracticeRecord record;
    fist::Pace pace;
    double level = 0.0;
};
[[nodiscard]] Result<NewExercise> new_exercise(const DrillOptions& options, bool to_copy,
                                               Output& side);

ExitStatus give_text(const DrillOptions& options);
ExitStatus mark_answer(const DrillOptions& options);
ExitStatus play_and_ask(const DrillOptions& options);
ExitStatus send_live(const DrillOptions& options);
ExitStatus set_up(const DrillOptions& options);
ExitStatus measure_key_delay(const DrillOptions& options);

// Marks what was typed against what was sent, prints, logs.
struct CopyTask {
    std::string answer;     // name of it, for the JSON
    std::string sent_file;  // "" where there is none
    std::vector<std::string> sent;
    std::vector<std::string> typed;
    std::optional<double> level;
    log::PracticeRecord record;  // before
};
ExitStatus mark_copy(const DrillOptions& options, CopyTask task);

}  // namespace skedlark::cli
