// A recording, heard by a CopyUser block by block as the hub hands it on.
#pragma once

#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

#include "dsp/audio/file_source.h"
#include "dsp/audio/work_rate_source.h"
#include "gui/copy/copy_user.h"

namespace skedlark::gui {

inline std::vector<float> recording(const std::string& name) {
    std::vector<float> audio;
    auto file = audio::open_file(std::string(RECORDINGS) + "/" + name, {});
    if (!file) return audio;
    auto work = audio::WorkRateSource::create(std::move(*file));
    if (!work) return audio;
    std::vector<float> block(4000);
    for (bool ended = false; !ended;) {
        const auto read = (*work)->read(block);
        if (!read) break;
        audio.insert(audio.end(), block.begin(), block.begin() + read->frames);
        ended = read->end;
    }
    return audio;
}

// at: called before each block with its time.
inline void hear(CopyUser& user, const std::vector<float>& audio,
                 const std::function<void(double)>& at = {}) {
    constexpr std::size_t kBlock = 400;
    user.begin({"a recording"});
    for (std::size_t i = 0; i < audio.size(); i += kBlock) {
        const auto frame = static_cast<FrameIndex>(i);
        if (at) at(seconds_from_frames(frame));
        const std::size_t size = std::min(kBlock, audio.size() - i);
        user.take({std::span(audio).subspan(i, size), false, {}}, frame);
    }
    user.end();
}

}  // namespace skedlark::gui
