// A scene: audio with keyed stations in it, and exactly what is in it.
//
// Stage:   synth. In: SceneConfig. Out: mono audio and Truth.
// Units:   audio 1.0 = full scale; louder samples are not clipped.
// Shape:   SceneStream gives any number of frames a call, equal for any split: for hours without
// holding
//          them in memory. make_scene() gives all at once.
// Time:    sample n is at n / sample_rate_hz.
// Errors:  invalid_value, naming field, value and allowed range.
// Threads: one thread per instance.
// Source:  the parts name theirs.
// Checked: tests/dsp/synth/scene_test.cpp
//
//     auto scene = synth::make_scene(synth::one_text("QVA7 DE QXB2", 16,
//     *synth::fist_by_name("steady"),
//                                                    -5.0, seed));
//     if (!scene) return scene.error();
//     use(scene->samples, scene->truth.wanted.text);
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "dsp/core/units.h"
#include "dsp/synth/scene_config.h"
#include "dsp/synth/truth.h"

namespace skedlark::synth {

class SceneStream {
 public:
    [[nodiscard]] static Result<SceneStream> create(const SceneConfig& config);
    SceneStream(SceneStream&&) noexcept;
    SceneStream& operator=(SceneStream&&) noexcept;
    ~SceneStream();

    // Fills from the front; returns the frames written, 0 at the end.
    std::size_t read(std::span<float> out);
    [[nodiscard]] FrameIndex length_frames() const;
    // Complete from the start but for the tracks and crashes, which grow as the audio is read.
    [[nodiscard]] const Truth& truth() const;

 private:
    struct State;
    explicit SceneStream(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

struct Scene {
    std::vector<float> samples;
    Truth truth;
};

[[nodiscard]] Result<Scene> make_scene(const SceneConfig& config);

}  // namespace skedlark::synth
