// What exercises leave in the log, and what the log says of a person's characters.
//
// Stage:   cli. In: a marked copy; the log. Out: an entry of the kind practice; counts by character.
// Shape:   an exercise has measurements sent_A, wrong_A and so on, by morse::scoring_symbols().
// Errors:  those of the log book; a log that is not there yet has no exercises.
// Threads: none.
// Checked: tests/cli/drill_test.cpp
#pragma once

#include <map>
#include <string>

#include "cli/drill_view.h"
#include "dsp/core/result.h"

namespace skedlark::cli {

// So many exercises back: what was wrong long ago is forgotten.
inline constexpr int kExercisesBack = 20;

struct EarlierExercises {
    int exercises = 0;
    std::map<std::string, fist::CharacterTally> characters{};
};
[[nodiscard]] Result<EarlierExercises> earlier_exercises(const std::string& log_file,
                                                         const std::string& who);

Status keep_exercise(const std::string& log_file, const std::string& who, const MarkedCopy& marked);

}  // namespace skedlark::cli
