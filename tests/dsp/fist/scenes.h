// Keyed scenes for the tests of dsp/fist, measured, with their truth beside it.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "dsp/fist/edges.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"
#include "dsp/synth/text_makers.h"

namespace skedlark::fist {

inline synth::SceneConfig scene_config(const std::string& text, const std::string& hand,
                                       std::optional<double> snr_db, std::uint64_t seed,
                                       double speed_wpm = 18.0) {
    return synth::one_text(text, speed_wpm, *synth::fist_by_name(hand), snr_db, seed);
}

inline synth::Scene made(const synth::SceneConfig& config) {
    auto scene = synth::make_scene(config);
    EXPECT_TRUE(scene) << (scene ? "" : scene.error().message);
    return scene ? std::move(*scene) : synth::Scene{};
}

inline std::string groups(int count, std::uint64_t seed,
                          synth::GroupKind kind = synth::GroupKind::letters) {
    synth::Random random(seed);
    return synth::random_groups(count, kind, random);
}

inline FineBaseband brought_down(const synth::Scene& scene, double pitch_hz = 700.0) {
    const auto track = follow_tone(scene.samples, pitch_hz);
    EXPECT_TRUE(track);
    return bring_down(scene.samples, *track);
}

inline Keying measured(const synth::Scene& scene, double pitch_hz = 700.0) {
    const FineBaseband tone = brought_down(scene, pitch_hz);
    return measure_edges(tone, find_marks(tone));
}

// For every true mark the measured one that overlaps it most; -1: none.
inline std::vector<int> partners(const std::vector<synth::Mark>& truth, const Keying& keying) {
    std::vector<int> out;
    for (const synth::Mark& mark : truth) {
        int best = -1;
        double most = 0.0;
        for (std::size_t i = 0; i < keying.marks.size(); ++i) {
            const double overlap = std::min(mark.off_s, keying.marks[i].off_s) -
                                   std::max(mark.on_s, keying.marks[i].on_s);
            if (overlap > most) {
                most = overlap;
                best = static_cast<int>(i);
            }
        }
        out.push_back(best);
    }
    return out;
}

}  // namespace skedlark::fist
