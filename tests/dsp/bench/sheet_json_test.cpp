#include "dsp/bench/sheet_json.h"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

namespace skedlark::bench {
namespace {

std::vector<nlohmann::json> lines_of(const std::string& text) {
    std::vector<nlohmann::json> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(nlohmann::json::parse(line));
    return lines;
}

// Field by field as docs/file-formats.md has them.
TEST(SheetJson, OneLineAFigureAnOccurrenceARemark) {
    Sheet sheet{.test = "tone", .input = "set.wav", .sample_rate_hz = 8000.0, .seconds = 10.0};
    sheet.report.measurements = {
        {.name = "sinad_db", .figure = {20.04123, 0.15}, .what = "SINAD"},
        {.name = "thd_db", .figure = {-52.0, 0.0}, .known = Known::at_most, .what = "THD"},
        {.name = "pitch_hz", .figure = {std::nan(""), 0.1}, .what = "pitch", .at = "3.5 MHz"}};
    sheet.report.occurrences = {{"dropout", 1.5, 0.01, 20.0, "a fall"}, {"jump", 2.0, 1.0, {}, ""}};
    sheet.report.remarks = {"Odd byte \xff here."};
    sheet.report.chain = "lead A";
    const auto lines = lines_of(sheet_json(sheet));
    ASSERT_EQ(lines.size(), 8U);
    EXPECT_EQ(lines[0]["event"], "input");
    EXPECT_EQ(lines[0]["name"], "set.wav");
    EXPECT_EQ(lines[1]["value"], 20.0412);
    EXPECT_EQ(lines[1]["known"], "value");
    EXPECT_EQ(lines[1]["limit"], 12.0);
    EXPECT_EQ(lines[1]["limit_kind"], "min");
    EXPECT_EQ(lines[1]["limit_from"], "project");
    EXPECT_EQ(lines[1]["pass"], true);
    EXPECT_EQ(lines[1]["chain"], "lead A");
    EXPECT_TRUE(lines[2]["uncertainty_95"].is_null());
    EXPECT_EQ(lines[2]["known"], "at_most");
    EXPECT_TRUE(lines[3]["value"].is_null());
    EXPECT_EQ(lines[3]["at"], "3.5 MHz");
    EXPECT_EQ(lines[4]["event"], "occurrence");
    EXPECT_EQ(lines[4]["depth_db"], 20.0);
    EXPECT_TRUE(lines[5]["depth_db"].is_null());
    EXPECT_EQ(lines[6]["event"], "note");
    EXPECT_EQ(lines[7]["event"], "bench");
    EXPECT_EQ(lines[7]["pass"], true);
    EXPECT_EQ(lines[7]["chain"], "lead A");
}

}  // namespace
}  // namespace skedlark::bench
