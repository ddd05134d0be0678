// Plans for tests, written as an operator would.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "dsp/station/plan_reader.h"

namespace skedlark::station {

inline constexpr const char* kKit = R"(call = "QVA7"
warm_up_min = 30
[[station]]
call = "QXB2"
[[station]]
call = "QZM4"
[[crystal]]
name = "K1"
khz = 3560.0
[[crystal]]
name = "K2"
khz = 2600.0
[[band]]
position = "1"
from_khz = 3000
to_khz = 5500
[[band]]
position = "2"
from_khz = 5000
to_khz = 7000
multiplier = 2
)";

inline Plan plan_of(const std::string& text) {
    auto plan = read_plan_text(text, "test.toml");
    EXPECT_TRUE(plan) << plan.error().message;
    return plan ? *plan : Plan{};
}

inline UtcTime at(const char* text) { return *parse_utc(text); }

// "[[contact]]" with what is not told.
inline std::string contact(const std::string& name, const std::string& start, int duration_min,
                           const std::string& more = "") {
    return "[[contact]]\nname = \"" + name + "\"\nstation = \"QXB2\"\nstart = " + start +
           "\nduration_min = " + std::to_string(duration_min) + "\nreceive_khz = 3570\n" + more +
           "\n";
}

}  // namespace skedlark::station
