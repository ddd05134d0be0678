// Keyed marks as exact measurements, without audio.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "dsp/fist/alignment.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/keyer.h"

namespace skedlark::fist {

inline Keying keying_of(const std::vector<synth::Mark>& marks) {
    Keying out;
    for (const synth::Mark& mark : marks) out.marks.push_back({mark.on_s, mark.off_s});
    return out;
}

inline std::vector<synth::Mark> marks_of(const std::string& text, const std::string& hand,
                                         double speed_wpm = 18.0, std::uint64_t seed = 1) {
    synth::Keyer keyer({speed_wpm, 0.0, *synth::fist_by_name(hand)}, seed);
    synth::Keyed out;
    EXPECT_TRUE(keyer.send(text, 1.0, out));
    return out.marks;
}

inline Alignment aligned(const Keying& keying, const std::string& meant) {
    const auto hand = find_hand(keying);
    EXPECT_TRUE(hand);
    const auto text = morse::symbols_from_text(meant);
    EXPECT_TRUE(text);
    auto out = align(keying, *hand, *text);
    EXPECT_TRUE(out) << (out ? "" : out.error().message);
    return out ? std::move(*out) : Alignment{};
}

inline Alignment aligned(const std::string& sent, const std::string& meant,
                         const std::string& hand = "machine", std::uint64_t seed = 1) {
    return aligned(keying_of(marks_of(sent, hand, 18.0, seed)), meant);
}

// Errors that were not taken back.
inline std::vector<TextError> left(const Alignment& alignment) {
    std::vector<TextError> out = alignment.errors;
    std::erase_if(out, [](const TextError& error) { return error.corrected; });
    return out;
}

}  // namespace skedlark::fist
