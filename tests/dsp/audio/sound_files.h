// Writes the sound files that the tests read back.
#pragma once

#include <sndfile.h>

#include <string>
#include <vector>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio::test {

// Interleaved frames of `channels`.
inline void write_sound(const std::string& path, int format, int rate_hz,
                        const std::vector<float>& frames, int channels = 1) {
    SF_INFO info{};
    info.samplerate = rate_hz;
    info.channels = channels;
    info.format = format;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    ASSERT_NE(file, nullptr) << path << ": " << sf_strerror(nullptr);
    // In pieces: libsndfile's Vorbis writer overflows its stack on one large block.
    for (std::size_t at = 0; at < frames.size();) {
        const auto piece =
            std::min<std::size_t>(frames.size() - at, 4096U * static_cast<std::size_t>(channels));
        ASSERT_EQ(sf_write_float(file, frames.data() + at, static_cast<sf_count_t>(piece)),
                  static_cast<sf_count_t>(piece));
        at += piece;
    }
    sf_close(file);
}

inline void put_number(std::string& bytes, std::size_t at, std::uint64_t value, int size,
                       bool big_endian = false) {
    for (int i = 0; i < size; ++i) {
        const int shift = 8 * (big_endian ? size - 1 - i : i);
        bytes[at + static_cast<std::size_t>(i)] = static_cast<char>((value >> shift) & 0xFFU);
    }
}

}  // namespace skedlark::audio::test
