// The file of a measuring chain under damage: a clear sentence, whatever stands in it.
#include <gtest/gtest.h>

#include "dsp/bench/chain.h"

namespace skedlark::bench {
namespace {

TEST(ChainFile, EveryCutIsRefusedOrRead) {
    Chain chain;
    chain.sample_rate_hz = 48000.0;
    chain.noise_dbfs = {-80.0, 0.1};
    chain.full_scale_volts = Figure{1.5, 0.1};
    const std::string whole = chain_toml(chain);
    ASSERT_TRUE(parse_chain(whole, "lead.toml"));
    for (std::size_t length = 0; length < whole.size(); ++length) {
        const auto part = parse_chain(whole.substr(0, length), "lead.toml");
        if (!part) {
            EXPECT_NE(part.error().message.find("lead.toml"), std::string::npos);
        }
    }
}

TEST(ChainFile, FieldsAreChecked) {
    const auto message = [](const std::string& line) {
        const auto read = parse_chain(
            "format = \"skedlark-chain\"\nversion = 1\nname = \"a\"\n"
            "sample_rate_hz = 8000\nlow_hz = 50\nhigh_hz = 4000\n" +
                line,
            "a.toml");
        return read ? std::string() : read.error().message;
    };
    EXPECT_EQ(message("noise_dbfs = -70\n"), "");
    EXPECT_NE(message("noise_dbfs = 70\n").find("noise_dbfs"), std::string::npos);
    EXPECT_NE(message("").find("noise_dbfs"), std::string::npos);
    EXPECT_NE(message("noise_dbfs = -70\nthd_percent = -1\n").find("thd_percent"),
              std::string::npos);
    EXPECT_NE(message("noise_dbfs = -70\nsofa = 1\n").find("sofa"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::bench
