#include <gtest/gtest.h>

#include <random>

#include "dsp/dial/detection.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

TEST(DetectionFile, AFileIsReadByItsColumns) {
    const auto model = parse_detection(
        "# measured\nkind,chance,snr_2500hz_db,rate_hz_per_s\nkeyed,0.25,-12,1000\r\n\n"
        "keyed,0.75,-10,1000\n",
        "curve.csv");
    ASSERT_TRUE(model.ok()) << model.error().message;
    EXPECT_NEAR(model->chance(1000.0, -11.0), 0.5, 1e-12);
}

TEST(DetectionFile, DamageIsNamedByFileAndLine) {
    const auto no_header = parse_detection("1,2,3\n", "curve.csv");
    ASSERT_FALSE(no_header.ok());
    EXPECT_NE(no_header.error().message.find("curve.csv:1"), std::string::npos);
    const auto no_number =
        parse_detection("chance,rate_hz_per_s,snr_2500hz_db\n0.5,1000,loud\n", "curve.csv");
    ASSERT_FALSE(no_number.ok());
    EXPECT_NE(no_number.error().message.find("curve.csv:2"), std::string::npos);
    EXPECT_FALSE(read_detection("/no/such/file.csv").ok());
}

TEST(DetectionFile, AnyBytesGiveAnErrorOrACurve) {
    const std::string good = "rate_hz_per_s,snr_2500hz_db,chance\n1000,-12,0.25\n1000,-10,0.75\n";
    std::mt19937_64 random(support::test_seed(12));
    for (int trial = 0; trial < 2000; ++trial) {
        std::string text = good;
        for (int n = 0; n <= trial % 3; ++n) {
            text[random() % text.size()] = static_cast<char>(random() % 256);
        }
        const auto model = parse_detection(text, "curve.csv");
        if (!model.ok()) {
            EXPECT_EQ(model.error().message.rfind("curve.csv", 0), 0U);
        }
    }
}

}  // namespace
}  // namespace skedlark::dial
