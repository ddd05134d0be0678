#include "dsp/audio/devices.h"

#include <gtest/gtest.h>
#include <malloc.h>

namespace skedlark::audio {
namespace {

const std::vector<DeviceInfo> kDevices{{4, "Line In: hw:1,0", "ALSA", 2, 48000.0, false},
                                       {6, "Line In 2: hw:2,0", "ALSA", 2, 48000.0, true},
                                       {9, "pulse", "ALSA", 32, 44100.0, false}};

int found(const std::string& wanted) {
    const auto device = find_device(kDevices, wanted);
    return device.ok() ? device->index : -1;
}

TEST(Devices, FoundByNamePartAndNumber) {
    EXPECT_EQ(found("pulse"), 9);
    EXPECT_EQ(found("PULS"), 9);
    EXPECT_EQ(found("Line In: hw:1,0"), 4);
    EXPECT_EQ(found("in 2"), 6);
    EXPECT_EQ(found("1"), 4);
    EXPECT_EQ(found("3"), 9);
    EXPECT_EQ(found(""), 6);
}

TEST(Devices, ErrorsListWhatExists) {
    for (const char* wanted : {"no such card", "0", "4", "-1", "99999999999999999999999"}) {
        const auto device = find_device(kDevices, wanted);
        ASSERT_FALSE(device.ok()) << wanted;
        EXPECT_EQ(device.error().code, ErrorCode::not_found);
        EXPECT_NE(device.error().message.find(wanted), std::string::npos);
        for (const DeviceInfo& one : kDevices) {
            EXPECT_NE(device.error().message.find(one.name), std::string::npos);
        }
    }
    const auto several = find_device(kDevices, "line");
    ASSERT_FALSE(several.ok());
    EXPECT_EQ(several.error().code, ErrorCode::invalid_value);
    EXPECT_EQ(several.error().message.find("pulse"), std::string::npos);
    const auto none = find_device({}, "");
    ASSERT_FALSE(none.ok());
    EXPECT_NE(none.error().message.find("no sound input at all"), std::string::npos);
}

// A device that is away is looked for twice a second, for nights on end.
TEST(Devices, LookingAgainKeepsNoMemory) {
    constexpr int kLooks = 20;
    const auto look = [] { static_cast<void>(list_devices()); };
    for (int i = 0; i < 3; ++i) look();
    const auto before = static_cast<double>(mallinfo2().uordblks);
    for (int i = 0; i < kLooks; ++i) look();
    const double grown = static_cast<double>(mallinfo2().uordblks) - before;
    EXPECT_LT(grown / kLooks, 2000.0) << "bytes a look";
}

}  // namespace
}  // namespace skedlark::audio
