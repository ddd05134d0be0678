// Texts to send or to copy for practice, with more of what this person gets wrong.
//
// Stage:   fist. In: a kind, how much, weights by character, a seed. Out: text inside the code,
//          procedure signals in brackets.
// Units:   counts; a weight of 1 is as often as the others.
// Shape:   count: groups, calls or figure groups; sentences; calls on the air for procedure.
// Time:    none.
// Errors:  invalid_value naming the count and its range, or characters that groups cannot be drawn
//          of.
// Threads: pure; the same seed and weights give the same text on every machine.
// Source:  dsp/synth/text_makers (everything invented, calls QVA to QZZ); Q signals by
//          ITU-R M.1172; weights are a rule of this project, no source.
// Checked: tests/dsp/fist/drill_text_test.cpp
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/fist/copy_score.h"

namespace skedlark::fist {

// test: the fixed text of test_text.h, whatever count, weights and seed are.
enum class DrillKind { groups, plain, calls, figures, procedure, test };
[[nodiscard]] std::string_view name_of(DrillKind kind);
[[nodiscard]] std::optional<DrillKind> drill_kind_by_name(std::string_view name);
[[nodiscard]] std::vector<std::string> drill_kind_names();

inline constexpr int kMostDrillCount = 200;

// By character as morse::scoring_symbols() names it ("A", "+" for [AR]); one that is not there
// has 1.
using DrillWeights = std::map<std::string, double>;

// A character's share of errors so far against one in ten, within these bounds: none is ever left
// out, none crowds out the rest. Ten characters with one error are counted in beforehand, so that
// a single slip does not weigh much.
inline constexpr double kLeastWeight = 0.5;
inline constexpr double kMostWeight = 5.0;
[[nodiscard]] DrillWeights weights_from(const std::map<std::string, CharacterTally>& tallies);
// The same, and what a character was taken for comes as often as the character itself: the two are
// told apart by hearing both.
[[nodiscard]] DrillWeights weights_from(const std::map<std::string, CharacterTally>& tallies,
                                        const std::vector<ConfusionPair>& pairs);

// Letters and figures in the order to take them up: by this person's share of errors, and as far as
// nothing is known of it by their length in units, for each element is one more chance to err.
[[nodiscard]] std::vector<std::string> practice_order(
    const std::map<std::string, CharacterTally>& tallies);

// Groups, calls and figures draw each character by its weight. Sentences and calls on the air are
// chosen whole: of some drawn, the one whose characters weigh most on the mean.
// among: groups of letters, and of figures, are drawn of these only; empty: of all.
[[nodiscard]] Result<std::string> drill_text(DrillKind kind, int count, const DrillWeights& weights,
                                             std::uint64_t seed, std::string_view among = {});

}  // namespace skedlark::fist
