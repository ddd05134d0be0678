// A sound file of made audio for the hub to open.
//
// Stage:   tests. Units: audio 1.0 = full scale, 16 bit, mono, 8000 Hz.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <string>
#include <vector>

namespace skedlark::gui::test {

inline void write_wav(const std::string& path, const std::vector<float>& audio) {
    const auto bytes = static_cast<std::uint32_t>(2 * audio.size());
    std::string out;
    const auto number = [&](std::uint32_t value, int size) {
        for (int i = 0; i < size; ++i) out += static_cast<char>((value >> (8 * i)) & 0xFFU);
    };
    out += "RIFF";
    number(36 + bytes, 4);
    out += "WAVEfmt ";
    number(16, 4);
    number(1, 2);
    number(1, 2);
    number(8000, 4);
    number(16000, 4);
    number(2, 2);
    number(16, 2);
    out += "data";
    number(bytes, 4);
    for (const float x : audio) {
        const auto value = std::lround(std::clamp(static_cast<double>(x), -1.0, 1.0) * 32767.0);
        number(static_cast<std::uint32_t>(static_cast<std::uint16_t>(value)), 2);
    }
    std::ofstream(path, std::ios::binary) << out;
}

}  // namespace skedlark::gui::test
