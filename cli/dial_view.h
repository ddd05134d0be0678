// What skedlark dial tells, as text of 80 columns and as JSON Lines.
//
// Stage:   cli. In: what dsp/dial made. Out: lines with their line feed, as docs/file-formats.md
//          lists the JSON.
// Errors:  none; what is not there is a word, or null.
// Threads: none.
// Checked: tests/cli/dial_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/dial/measured_chart.h"
#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"

namespace skedlark::cli {

struct SettingTold {
    dial::Setting setting{};
    dial::SweepPlan sweep{};
    std::optional<dial::SearchPlan> search{};  // where a window was given
    double window_min = 0.0;
};

[[nodiscard]] std::string setting_text(const dial::Dial& dial, const SettingTold& told);
[[nodiscard]] std::string setting_json(const dial::Dial& dial, const SettingTold& told);

// The frequency at a division.
[[nodiscard]] std::string place_text(const dial::Dial& dial, double div);
[[nodiscard]] std::string place_json(const dial::Dial& dial, double div);

// A band with its chart, its check points, and the known stations that moved it.
[[nodiscard]] std::string band_text(const dial::Dial& dial);
[[nodiscard]] std::string band_json(const dial::Dial& dial);
// Only the known stations; empty where there are none.
[[nodiscard]] std::string known_text(const dial::Dial& dial);

[[nodiscard]] std::string measured_text(const dial::MeasuredChart& made);
[[nodiscard]] std::string measured_json(const dial::MeasuredChart& made);

}  // namespace skedlark::cli
