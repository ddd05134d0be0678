// What exercises in copying leave in the log, and what all of a person's exercises say of the next one.
//
// Stage:   log. In: fist::CopyScore; a person's entries. Out: an Entry of the kind practice; a record.
// Units:   measurements: copied_right_share, characters_sent, characters_right, extra; where known
//          speed_wpm, next_wpm, groups_a_minute (level of practice); by character, as
//          morse::scoring_symbols() names it, sent_A, wrong_A and took_A_B (A was taken for B: how
//          often). Of sendings keyed_A and faulty_A (sending_entry.h) are read.
// Shape:   the latest kExercisesBack of each sort count: what was wrong long ago is forgotten.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/log/practice_record_test.cpp
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/fist/copy_score.h"
#include "dsp/fist/drill_text.h"
#include "dsp/fist/practice_level.h"
#include "dsp/log/entry.h"

namespace skedlark::log {

inline constexpr int kExercisesBack = 20;

struct CopyFacts {
    UtcTime started{};
    std::string who{};
    std::string input{};
    std::optional<double> speed_wpm{};
    std::optional<double> next_wpm{};
    std::optional<double> groups_a_minute{};
};
[[nodiscard]] Entry copy_entry(const fist::CopyScore& score, const CopyFacts& facts);

struct PracticeRecord {
    int copied = 0;  // exercises
    int sent = 0;
    std::map<std::string, fist::CharacterTally> copied_characters{};
    std::map<std::string, fist::CharacterTally> sent_characters{};
    std::vector<fist::ConfusionPair> pairs{};  // most frequent first
    std::vector<fist::LevelAttempt> levels{};  // of copying, the latest at the end

    // For a text to copy, and for one to send: there what was not sent right counts as much as what
    // was not copied right.
    [[nodiscard]] fist::DrillWeights weights_to_copy() const;
    [[nodiscard]] fist::DrillWeights weights_to_send() const;
};
// entries: of one person, in order of time.
[[nodiscard]] PracticeRecord practice_record(std::span<const Entry> entries);

}  // namespace skedlark::log
