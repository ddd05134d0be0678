// Lines of devices as JSON; those of events: tests/dsp/log/event_json_test.cpp.
#include "cli/json_lines.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace skedlark::cli {
namespace {

TEST(JsonLines, Device) {
    DeviceLine device;
    device.number = 3;
    device.name = "USB \"audio\"";
    device.channels = 2;
    device.default_rate_hz = 48000.0;
    const auto json = nlohmann::json::parse(json_line(device));
    EXPECT_EQ(json["event"], "device");
    EXPECT_EQ(json["number"], 3);
    EXPECT_EQ(json["name"], "USB \"audio\"");
    EXPECT_EQ(json["channels"], 2);
    EXPECT_EQ(json["default"], false);
}

TEST(JsonLines, HumThatWasNotFoundIsNull) {
    CheckLine check;
    check.hum_dbfs = -40.0;
    EXPECT_TRUE(nlohmann::json::parse(json_line(check))["hum_dbfs"].is_null());
    check.hum_found = true;
    EXPECT_EQ(nlohmann::json::parse(json_line(check))["hum_dbfs"], -40.0);
}

}  // namespace
}  // namespace skedlark::cli
