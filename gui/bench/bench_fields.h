// What the person typed into the fields of a test, read as numbers and steps.
//
// Stage:   gui/bench, no Qt. In: texts. Out: numbers, levels, generator steps.
// Units:   in the names.
// Shape:   lists are parted by spaces, commas or semicolons; "10x0" is ten times 0.
// Errors:  invalid_value naming field, value and what is allowed.
// Threads: pure.
// Source:  none
// Checked: tests/desk/bench/bench_fields_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/levels.h"
#include "dsp/bench/step_file.h"
#include "dsp/core/result.h"
#include "gui/bench/bench_kinds.h"

namespace skedlark::gui {

// Empty text: empty.
[[nodiscard]] Result<std::optional<double>> number_in(const FieldTexts& texts,
                                                      const std::string& key,
                                                      const std::string& label, double low,
                                                      double high);
[[nodiscard]] std::vector<std::string> parts_of(const std::string& text);

// Off first, then the levels, which must rise; label names them in errors.
[[nodiscard]] Result<std::vector<bench::LevelStep>> levels_of(const std::string& text,
                                                              const std::string& label);
[[nodiscard]] Result<std::vector<double>> points_mhz_of(const std::string& text);
// "10x0 3x20" as thirteen levels; "" as none.
[[nodiscard]] Result<std::vector<double>> step_levels_of(const std::string& text,
                                                         const std::string& label);
// "5 56.4 below; 5 56.6 above".
[[nodiscard]] Result<std::vector<bench::CheckPoint>> check_points_of(const std::string& text);

}  // namespace skedlark::gui
