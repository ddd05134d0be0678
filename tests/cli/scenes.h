// Sound files for tests, made by the program's own `key`.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "tests/cli/program.h"

namespace skedlark::test {

// Keys a text into a file of the folder and returns its path; 15 dB over the noise unless told
// otherwise.
inline std::string keyed(const TempFolder& folder, const std::string& name, const std::string& text,
                         std::vector<std::string> more = {}) {
    std::vector<std::string> arguments{"key", text, "--out", folder.path(name)};
    arguments.insert(arguments.end(), more.begin(), more.end());
    if (std::find(more.begin(), more.end(), "--snr-2500hz") == more.end()) {
        arguments.insert(arguments.end(), {"--snr-2500hz", "15"});
    }
    const Ended ended = run_skedlark(arguments);
    EXPECT_EQ(ended.status, 0) << ended.error;
    return folder.path(name);
}

// Little-endian 16-bit samples of a WAV file that `key` wrote: what follows its 44-byte header.
inline std::string raw_of(const std::string& wav_path) { return content_of(wav_path).substr(44); }

// A WAV header by hand (EBU Tech 3306, 16-bit PCM) with whatever is to be claimed.
inline std::string wav_header(std::uint32_t rate_hz, std::uint16_t channels,
                              std::uint32_t data_bytes) {
    std::string header;
    const auto number = [&](std::uint32_t value, int bytes) {
        for (int i = 0; i < bytes; ++i) {
            header += static_cast<char>(value >> (8 * i) & 0xFFU);
        }
    };
    header += "RIFF";
    number(36 + data_bytes, 4);
    header += "WAVEfmt ";
    number(16, 4);
    number(1, 2);
    number(channels, 2);
    number(rate_hz, 4);
    number(rate_hz * channels * 2U, 4);
    number(channels * 2U, 2);
    number(16, 2);
    header += "data";
    number(data_bytes, 4);
    return header;
}

inline std::string samples_16bit(const std::vector<int>& values) {
    std::string bytes;
    for (const int value : values) {
        bytes += static_cast<char>(value & 0xFF);
        bytes += static_cast<char>(value >> 8 & 0xFF);
    }
    return bytes;
}

}  // namespace skedlark::test
