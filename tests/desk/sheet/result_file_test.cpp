#include "gui/sheet/result_file.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

std::string error_of(const std::string& text) {
    auto lines = parse_result_lines(text, "a.json");
    if (!lines) return lines.error().message;
    const auto sorted = sorted_results(std::move(*lines), "a.json");
    return sorted ? "" : sorted.error().message;
}

TEST(ResultFile, KindsAreToldByTheirEvents) {
    EXPECT_EQ(results_of(kFistResult).kind, ResultKind::fist);
    EXPECT_EQ(results_of(kCopyResult).kind, ResultKind::copy);
    EXPECT_EQ(results_of(kSweepResult).kind, ResultKind::sweep);
    EXPECT_EQ(results_of(kDrillResult).kind, ResultKind::drill);
    EXPECT_EQ(results_of("{\"event\":\"bench\",\"test\":\"tone\"}").kind, ResultKind::bench);
    EXPECT_EQ(results_of("{\"event\":\"entry\"}").kind, ResultKind::log);
    EXPECT_EQ(name_of(ResultKind::sweep), "sweep");
}

TEST(ResultFile, SeveralInputsAreKeptApart) {
    const Results two = results_of(kCopyResult + "\n \r\n" + kCopyResult);
    ASSERT_EQ(two.inputs.size(), 2U);
    EXPECT_EQ(two.inputs[1].name, "evening.flac");
    EXPECT_EQ(two.inputs[1].events("char").size(), 8U);
    EXPECT_EQ(two.inputs[1].last("summary")->where, "a.json:24");
    // An input of which nothing came is left out, unknown events are no matter.
    const Results one =
        results_of("{\"event\":\"input\",\"name\":\"x\"}\n{\"event\":\"new\"}\n" + kCopyResult);
    EXPECT_EQ(one.inputs.size(), 1U);
}

TEST(ResultFile, WhatIsNoResultIsNamedWithItsLine) {
    EXPECT_TRUE(has(error_of("{\"event\":\"char\"}\n{\"event\":"), "a.json:2: '{\"event\":'"));
    EXPECT_TRUE(has(error_of("[1,2]"), "a.json:1"));
    EXPECT_TRUE(has(error_of("{\"event\":5}"), "a.json:1"));
    EXPECT_TRUE(has(error_of("RIFF\x01\x02"), "'RIFF\?\?'"));
    EXPECT_TRUE(has(error_of(""), "a.json: holds no result; allowed: what skedlark fist"));
    EXPECT_TRUE(has(error_of("{\"event\":\"input\",\"name\":\"x\"}"), "holds no result"));
    const std::string mixed = error_of(kFistResult + kCopyResult);
    EXPECT_TRUE(has(mixed, "a.json:5: 'char' is of copy, what comes before it of fist")) << mixed;
}

TEST(ResultFile, FilesAreReadInTheirOrder) {
    const auto folder =
        std::filesystem::temp_directory_path() / ("sheet-test-" + std::to_string(::getpid()));
    std::filesystem::create_directories(folder);
    const std::string a = (folder / "a.json").string();
    const std::string b = (folder / "b.json").string();
    std::ofstream(a) << kCopyResult;
    std::ofstream(b) << kCopyResult << "broken\n";
    const auto good = read_results({a, a});
    ASSERT_TRUE(good);
    EXPECT_EQ(good->inputs.size(), 2U);
    const auto bad = read_results({a, b});
    ASSERT_FALSE(bad);
    EXPECT_TRUE(has(bad.error().message, b + ":12: 'broken'")) << bad.error().message;
    EXPECT_EQ(read_results({(folder / "none").string()}).error().code, ErrorCode::not_found);
    EXPECT_FALSE(read_results({folder.string()}));
    std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace skedlark::gui
