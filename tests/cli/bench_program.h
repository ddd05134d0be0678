// `skedlark bench` on made audio: what the tests of the bench share.
//
// Stage:   tests. In: audio. Out: how the program ended.
// Units:   audio 1.0 = full scale, at 8000 Hz, on standard input as 16-bit samples.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/cli/program.h"

namespace skedlark::test {

inline std::string raw(const std::vector<float>& audio) {
    std::string bytes;
    for (const float x : audio) {
        const auto value = static_cast<std::int16_t>(
            std::lround(std::clamp(static_cast<double>(x), -1.0, 1.0) * 32767.0));
        bytes += static_cast<char>(value & 0xFF);
        bytes += static_cast<char>((value >> 8) & 0xFF);
    }
    return bytes;
}

inline Ended bench(const std::string& test, const std::vector<float>& audio,
                   std::vector<std::string> more = {}) {
    more.insert(more.begin(), {"bench", test, "-", "--raw", "8000"});
    return run_skedlark(more, {.input = raw(audio)});
}

inline double value(const Ended& ended, const std::string& name) {
    for (const auto& line : events_of(json_lines(ended.out), "measurement")) {
        if (line["name"] == name) return line["value"];
    }
    ADD_FAILURE() << name << " is not in\n" << ended.out << ended.error;
    return 0.0;
}

}  // namespace skedlark::test
