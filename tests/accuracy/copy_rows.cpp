#include "tests/accuracy/copy_rows.h"

#include <algorithm>

#include "dsp/synth/random.h"
#include "dsp/synth/text_makers.h"
#include "tests/accuracy/study.h"

namespace skedlark::accuracy {
namespace {

constexpr int kGroupWithBlank = 6;

void drift(synth::SceneConfig& scene) {
    scene.beat.drift_hz_per_s = 1.0;
    scene.beat.drift_span_hz = 100.0;
}
void wander(synth::SceneConfig& scene) {
    scene.beat.wander_hz = 3.0;
    scene.beat.wander_step_s = 2.0;
}
void chirp(synth::SceneConfig& scene) { scene.wanted.note.chirp_hz = 80.0; }
void hum(synth::SceneConfig& scene) { scene.wanted.note.hum_depth = 1.0; }
void crashes(synth::SceneConfig& scene) {
    scene.noise.crashes_per_s = 6.0;
    scene.noise.crash_level_db = 20.0;
    scene.noise.crash_min_s = 0.002;
    scene.noise.crash_max_s = 0.020;
}
// Another station 100 Hz away, 2 dB stronger, sending all the time; the lower pitch is the wanted
// one.
void neighbour(synth::SceneConfig& scene) {
    synth::StationConfig other;
    other.keep_sending = true;
    other.speed_wpm = 18.0;
    other.fist = *synth::fist_by_name("steady");
    other.offset_hz = 100.0;
    other.level_db = 2.0;
    scene.neighbours.push_back(other);
}

std::string text_of(SentText kind, int characters, std::uint64_t seed) {
    if (kind == SentText::groups)
        return letter_groups(std::max(1, characters / kGroupWithBlank), seed);
    synth::Random random(support::seed_for_part(seed, 3));
    std::string text;
    while (static_cast<int>(text.size()) < characters)
        text += (text.empty() ? "" : " ") + synth::plain_text(1, random);
    return text;
}

}  // namespace

std::vector<CopyRow> curve_rows() {
    const std::vector<double> hands = {-8.0, -5.0, 5.0};
    return {{"machine 20 wpm", "machine", 20.0, "", {-12.0, -11.0, -9.0}},
            {"machine 12 wpm", "machine", 12.0, "", {-14.0}},
            {"steady hand", "steady", 16.0, "", hands},
            {"ordinary hand", "ordinary", 16.0, "", hands},
            {"swinging hand", "swinging", 16.0, "", hands},
            {"semi-automatic", "semi-automatic", 16.0, "", hands},
            {"poor hand", "poor", 16.0, "", hands}};
}

std::vector<CopyRow> channel_rows() {
    return {{"fading quiet", "steady", 18.0, "mid-quiet", {6.0}},
            {"fading moderate", "steady", 18.0, "mid-moderate", {6.0}},
            {"fading disturbed", "steady", 18.0, "mid-disturbed", {8.0}},
            {"drift 1 Hz/s", "steady", 16.0, "", {0.0}, drift},
            {"wander 3 Hz", "steady", 16.0, "", {0.0}, wander},
            {"chirp 80 Hz", "steady", 16.0, "", {0.0}, chirp},
            {"full hum", "steady", 16.0, "", {0.0}, hum},
            {"static", "steady", 16.0, "", {0.0}, crashes},
            {"neighbour", "steady", 16.0, "", {2.0}, neighbour}};
}

synth::SceneConfig scene_of(const CopyRow& row, double snr_2500hz_db, int characters,
                            std::uint64_t seed, SentText text) {
    synth::SceneConfig scene = synth::one_text(text_of(text, characters, seed), row.speed_wpm,
                                               *synth::fist_by_name(row.fist), snr_2500hz_db,
                                               support::seed_for_part(seed, 1));
    synth::Random random(support::seed_for_part(seed, 2));
    scene.beat.pitch_hz = random.uniform(450.0, 950.0);
    scene.level_dbfs = random.uniform(-40.0, -20.0);
    // Silence before and after, so that characters invented there are counted.
    scene.wanted.transmissions.front().at_s = random.uniform(3.0, 8.0);
    scene.tail_s = 5.0;
    if (!row.channel.empty()) scene.wanted.channel = *synth::channel_by_name(row.channel);
    if (row.disturb != nullptr) row.disturb(scene);
    return scene;
}

}  // namespace skedlark::accuracy
