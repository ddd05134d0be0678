#include "cli/trend_view.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

namespace skedlark::cli {
namespace {

std::vector<log::WeekOfSending> weeks(int count) {
    std::vector<log::WeekOfSending> out;
    for (int i = 0; i < count; ++i) {
        log::WeekOfSending week;
        week.monday = *parse_utc("2026-01-05") + std::chrono::days(7 * i);
        week.attempts = 3;
        week.score = 81.25;
        week.faults = {{"dots_clipped", 1}, {"gaps_stretched", 2}, {"speed_runs_away", 3}};
        week.characters["Q"] = {12.0, 3.0, true, 0.2};
        week.characters["E"] = {40.0, 0.0, false, 0.1};
        out.push_back(week);
    }
    return out;
}

TEST(TrendView, FitsEightyColumnsAndNamesTheHardest) {
    const std::string text = trend_text(weeks(30), "Ann");
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
    EXPECT_NE(text.find("2026-07-27"), std::string::npos) << text;
    EXPECT_NE(text.find("Q     3/12"), std::string::npos) << text;
    EXPECT_NE(text.find("E      10%"), std::string::npos) << text;
    EXPECT_TRUE(trend_text({}, "Ann").empty());
}

TEST(TrendView, JsonHoldsEachWeek) {
    std::istringstream lines(trend_json(weeks(2)));
    std::string line;
    ASSERT_TRUE(std::getline(lines, line));
    const auto week = nlohmann::json::parse(line);
    EXPECT_EQ(week.at("event"), "sending_week");
    EXPECT_EQ(week.at("monday"), "2026-01-05");
    EXPECT_EQ(week.at("faults").at("gaps_stretched"), 2);
    EXPECT_EQ(week.at("characters").at("Q").at("faulty"), 3.0);
    EXPECT_TRUE(week.at("characters").at("E").at("faulty").is_null());
    EXPECT_TRUE(week.at("test_score").is_null());
}

}  // namespace
}  // namespace skedlark::cli
