// Made-up sendings for the tests of the page, as audio and as files.
#pragma once

#include <gtest/gtest.h>
#include <sndfile.h>

#include <algorithm>
#include <string>
#include <vector>

#include "gui/fist/attempt.h"
#include "gui/listen/audio_user.h"
#include "tests/dsp/fist/scenes.h"
#include "tests/dsp/log/temp_folder.h"

namespace skedlark::gui {

// 15 dB, 18 words a minute, 700 Hz.
inline std::vector<float> sending(const std::string& text, const std::string& hand = "machine",
                                  std::uint64_t seed = 1) {
    return fist::made(fist::scene_config(text, hand, 15.0, seed)).samples;
}

// A weaker sender beside it, 300 Hz higher.
inline std::vector<float> two_senders(const std::string& text, const std::string& other_text) {
    auto config = fist::scene_config(text, "machine", 15.0, 4);
    synth::StationConfig other;
    other.transmissions = {{1.0, other_text}};
    other.offset_hz = 300.0;
    other.level_db = -6.0;
    config.neighbours.push_back(other);
    return fist::made(config).samples;
}

inline std::string write_wav(const log::TempFolder& folder, const std::string& name,
                             const std::vector<std::vector<float>>& channels) {
    SF_INFO info{};
    info.samplerate = 8000;
    info.channels = static_cast<int>(channels.size());
    info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
    const std::string path = folder.path(name);
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    EXPECT_NE(file, nullptr);
    std::vector<float> frames;
    for (std::size_t i = 0; i < channels[0].size(); ++i) {
        for (const auto& channel : channels) frames.push_back(channel[i]);
    }
    sf_writef_float(file, frames.data(), static_cast<sf_count_t>(channels[0].size()));
    sf_close(file);
    return path;
}

// As the hub hands it on; first_frame where the input is already.
inline void hand_on(AudioUser& user, const std::vector<float>& audio, FrameIndex first_frame = 0) {
    constexpr std::size_t kBlock = 400;
    for (std::size_t from = 0; from < audio.size(); from += kBlock) {
        const std::size_t count = std::min(kBlock, audio.size() - from);
        user.take({std::span(audio).subspan(from, count), false, {}},
                  first_frame + static_cast<FrameIndex>(from));
    }
}

}  // namespace skedlark::gui
