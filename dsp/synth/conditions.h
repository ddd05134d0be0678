// Receiving conditions as one line of text: "f1487:mid-moderate;static:6;neighbour:100,2".
//
// Stage:   synth. In: the line. Out: changes to a SceneConfig.
// Units:   as in the help of each name.
// Shape:   items split by ";" or by a "," that one of the names follows; NAME or NAME:VALUE,VALUE.
// Time:    none.
// Errors:  invalid_value naming the item and its form; not_found for a name that is none, listing
//          them. Values out of range are found by check() of scene_config.h.
// Threads: pure.
// Source:  none.
// Checked: tests/dsp/synth/conditions_test.cpp
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/synth/scene_config.h"

namespace skedlark::synth {

struct ConditionHelp {
    std::string_view name;
    std::string_view form;  // "static[:PER_S[,DB]]"
    std::string_view help;
};
[[nodiscard]] std::vector<ConditionHelp> condition_names();

// Leaves config as it was where the line is wrong. An empty line changes nothing.
[[nodiscard]] Status apply_conditions(std::string_view line, SceneConfig& config);

}  // namespace skedlark::synth
