// One check that every setting of this stage goes through.
//
// Stage:   dial. In: a value and its range. Out: the error that names all three.
// Units:   the caller's.
// Shape:   both ends are allowed; NaN never is.
// Time:    none.
// Errors:  invalid_value.
// Threads: any.
// Source:  none.
// Checked: by the tests of every part that has settings, such as tests/dsp/dial/detection_test.cpp
#pragma once

#include <fmt/format.h>

#include "dsp/core/result.h"

namespace skedlark::dial {

[[nodiscard]] inline Status within(const char* field, double value, double from, double to) {
    if (value >= from && value <= to) return Done{};
    return Error{ErrorCode::invalid_value,
                 fmt::format("{}: {} is not allowed; allowed: {} to {}", field, value, from, to)};
}

}  // namespace skedlark::dial
