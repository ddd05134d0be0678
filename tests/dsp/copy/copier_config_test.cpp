#include <gtest/gtest.h>

#include <limits>
#include <string>
#include <utility>

#include "dsp/copy/copier.h"

namespace skedlark::copy {
namespace {

TEST(CopierConfig, BadSettingsAreNamed) {
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    constexpr double kInf = std::numeric_limits<double>::infinity();
    const auto refused = [](const CopierConfig& config, const char* field, const char* value,
                            const char* allowed) {
        const auto copier = Copier::create(config);
        ASSERT_FALSE(copier.ok()) << field << " " << value;
        EXPECT_EQ(copier.error().code, ErrorCode::invalid_value);
        for (const char* part : {field, value, allowed}) {
            EXPECT_NE(copier.error().message.find(part), std::string::npos)
                << copier.error().message;
        }
    };
    CopierConfig config;
    for (const auto& [wpm, said] :
         {std::pair{3.9, "3.9"}, {60.5, "60.5"}, {-20.0, "-20"}, {kNan, "nan"}, {kInf, "inf"}}) {
        config.speed_wpm = wpm;
        refused(config, "speed_wpm", said, "4 to 60");
    }
    config = {};
    for (const auto& [lag, said] : {std::pair{0.4, "0.4"}, {10.5, "10.5"}, {kNan, "nan"}}) {
        config.lag_s = lag;
        refused(config, "lag_s", said, "0.5 to 10");
    }
    config = {};
    for (const auto& [floor, said] : {std::pair{-0.1, "-0.1"}, {1.5, "1.5"}, {kNan, "nan"}}) {
        config.open_mark_below = floor;
        refused(config, "open_mark_below", said, "0 to 1");
    }
    for (const double wpm : {0.0, 4.0, 60.0}) {
        config = {};
        config.speed_wpm = wpm;
        EXPECT_TRUE(Copier::create(config).ok()) << wpm;
    }
}

}  // namespace
}  // namespace skedlark::copy
