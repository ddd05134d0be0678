// How many times faster than real time each stage is, on one core.
//
// Each benchmark goes through the same minute of audio: one keyed tone in noise. "x_real_time" is
// seconds of audio over seconds of processor time of this thread. Absolute numbers differ from
// machine to machine and run to run; two references in the same run (a plain transform of every
// sample, a fixed recursion) are what stages are compared with: scripts/speed prints both.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <span>
#include <vector>

#include "dsp/audio/resampler.h"
#include "dsp/copy/copier.h"
#include "dsp/dial/search_plan.h"
#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/stft.h"
#include "dsp/spectrum/strip.h"
#include "dsp/synth/scene.h"
#include "dsp/synth/sweep_scene.h"
#include "dsp/tone/finder.h"
#include "dsp/tone/follower.h"
#include "dsp/tone/glide_finder.h"
#include "dsp/watch/watch.h"

namespace skedlark {
namespace {

constexpr double kAudioS = 60.0;
constexpr double kPitchHz = 700.0;
constexpr std::size_t kBlock = 400;  // 50 ms, as the command line works
constexpr double kCardRateHz = 48000.0;

template <typename T>
T must(Result<T> result) {
    if (result) return *std::move(result);
    std::fprintf(stderr, "%s\n", result.error().message.c_str());
    std::exit(2);
}

std::vector<float> make(double snr_2500hz_db, const char* fist) {
    synth::SceneConfig scene;
    scene.seconds = kAudioS;
    scene.seed = 1000;
    scene.snr_2500hz_db = snr_2500hz_db;
    scene.beat.pitch_hz = kPitchHz;
    scene.wanted.keep_sending = true;
    scene.wanted.fist = must(synth::fist_by_name(fist));
    return must(synth::make_scene(scene)).samples;
}
const std::vector<float>& clear_audio() {
    static const std::vector<float> audio = make(5.0, "steady");
    return audio;
}
// The search works hardest where much is open: weak and uneven.
const std::vector<float>& hard_audio() {
    static const std::vector<float> audio = make(-9.0, "poor");
    return audio;
}

void count(benchmark::State& state) {
    state.counters["x_real_time"] =
        benchmark::Counter(kAudioS, benchmark::Counter::kIsIterationInvariantRate);
}

template <typename PerBlock>
void blocks(std::span<const float> audio, PerBlock&& per_block) {
    for (; !audio.empty(); audio = audio.subspan(std::min(kBlock, audio.size()))) {
        per_block(audio.first(std::min(kBlock, audio.size())));
    }
}

// Reference: every sample once through a plain transform of 512.
void reference_transform(benchmark::State& state) {
    auto fft = must(spectrum::RealFft::create(512));
    const std::vector<float>& audio = clear_audio();
    for (auto _ : state) {
        for (std::size_t at = 0; at + 512 <= audio.size(); at += 512) {
            std::copy_n(audio.begin() + static_cast<std::ptrdiff_t>(at), 512, fft.input().begin());
            benchmark::DoNotOptimize(fft.transform().data());
        }
    }
    count(state);
}

// Reference: a recursion of second order, ten times over; each step waits for the one before.
void reference_recursion(benchmark::State& state) {
    const std::vector<float>& audio = clear_audio();
    for (auto _ : state) {
        double a = 0.0;
        double b = 0.0;
        for (int pass = 0; pass < 10; ++pass) {
            for (const float x : audio) {
                const double y = double{x} + 1.6 * a - 0.81 * b;
                b = a;
                a = y;
            }
        }
        benchmark::DoNotOptimize(a);
    }
    count(state);
}

void resampler_48000_to_8000(benchmark::State& state) {
    auto resampler = must(audio::Resampler::create(kCardRateHz));
    const std::vector<float> card(static_cast<std::size_t>(kCardRateHz), 0.25F);
    std::vector<float> out(static_cast<std::size_t>(kWorkRateHz));
    for (auto _ : state) {
        for (int second = 0; second < static_cast<int>(kAudioS); ++second) {
            std::span<const float> in(card);
            while (!in.empty()) {
                const auto done = resampler.process(in, out);
                in = in.subspan(static_cast<std::size_t>(done.taken));
            }
        }
        benchmark::DoNotOptimize(out.data());
    }
    count(state);
}

void spectrum_rows(benchmark::State& state) {
    auto stft = must(spectrum::Stft::create({}));
    for (auto _ : state) {
        blocks(clear_audio(), [&](std::span<const float> audio) {
            stft.process(audio, [](auto row) { benchmark::DoNotOptimize(row.data()); });
        });
    }
    count(state);
}

void strip(benchmark::State& state) {
    auto strip = must(spectrum::Strip::create({}));
    for (auto _ : state) {
        blocks(clear_audio(), [&](std::span<const float> audio) {
            strip.process(audio, [](auto row) { benchmark::DoNotOptimize(row.data()); });
        });
    }
    count(state);
}

void finder(benchmark::State& state) {
    std::vector<Event> events;
    for (auto _ : state) {
        auto finder = must(tone::Finder::create({}));
        blocks(clear_audio(), [&](std::span<const float> audio) { finder.process(audio, events); });
        events.clear();
    }
    count(state);
}

// A minute of a sweep at 1 kHz a second, four keyed stations in it.
const std::vector<float>& swept_audio() {
    static const std::vector<float> audio = [] {
        synth::SweepSceneConfig scene;
        scene.seconds = kAudioS;
        scene.seed = 1000;
        scene.snr_2500hz_db = -5.0;
        scene.dial.wobble = 0.2;
        for (const double at_hz : {8000.0, 22000.0, 36000.0, 50000.0}) {
            synth::SweepStation one;
            one.at_hz = at_hz;
            one.station.keep_sending = true;
            scene.stations.push_back(one);
        }
        return must(synth::make_sweep_scene(scene)).samples;
    }();
    return audio;
}

void sweep(benchmark::State& state, const tone::GlideFinderConfig& config) {
    for (auto _ : state) {
        auto finder = must(tone::GlideFinder::create(config));
        blocks(swept_audio(), [&](std::span<const float> audio) { finder.process(audio); });
        finder.finish();
        benchmark::DoNotOptimize(finder.stations().data());
    }
    count(state);
}

void sweep_known_pace(benchmark::State& state) {
    sweep(state, {.slowest_hz_per_s = 800.0, .fastest_hz_per_s = 1250.0});
}
void sweep_any_pace(benchmark::State& state) { sweep(state, {}); }

std::vector<tone::BasebandFrame> follow(std::span<const float> audio) {
    auto follower = must(tone::Follower::create({.pitch_hz = kPitchHz}));
    std::vector<tone::BasebandFrame> frames;
    blocks(audio, [&](std::span<const float> block) { follower.process(block, frames); });
    return frames;
}

void follower(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(follow(clear_audio()).data());
    count(state);
}

void search(benchmark::State& state, const std::vector<float>& audio) {
    const std::vector<tone::BasebandFrame> frames = follow(audio);
    std::vector<Event> events;
    for (auto _ : state) {
        auto copier = must(copy::Copier::create({}));
        std::span<const tone::BasebandFrame> rest(frames);
        for (; !rest.empty(); rest = rest.subspan(std::min<std::size_t>(10, rest.size()))) {
            copier.process(rest.first(std::min<std::size_t>(10, rest.size())), events);
        }
        copier.finish(events);
        events.clear();
    }
    count(state);
}

void copier_clear(benchmark::State& state) { search(state, clear_audio()); }
void copier_weak_poor_hand(benchmark::State& state) { search(state, hard_audio()); }

// All of `copy`: finding, following, searching, nothing told.
void whole(benchmark::State& state, std::span<const float> audio) {
    std::vector<Event> events;
    for (auto _ : state) {
        auto watch = must(watch::Watch::create({}));
        blocks(audio,
               [&](std::span<const float> block) { watch.process({.audio = block}, events); });
        watch.finish(events);
        events.clear();
    }
    count(state);
}

void copy_clear(benchmark::State& state) { whole(state, clear_audio()); }
void copy_weak_poor_hand(benchmark::State& state) { whole(state, hard_audio()); }

// One pass taken into the where-is-it map, and the next stretch from it: a dial of 100 divisions of
// 20 kHz, the station anywhere within ten divisions or so.
void map_and_next_stretch(benchmark::State& state) {
    dial::Receiver receiver;
    receiver.name = "benchmark";
    receiver.bands = {{.name = "1",
                       .from_mhz = 2.9,
                       .to_mhz = 5.1,
                       .points = {{0, 3.0}, {30, 3.5}, {60, 4.15}, {100, 5.0}},
                       .chart_sd_div = 2.5}};
    const dial::Dial dial = must(dial::Dial::create(receiver, "1"));
    const auto chance = must(dial::ChanceByRate::create(must(dial::DetectionModel::square_law({})),
                                                        {.level_sd_db = 5.0}));
    const dial::PlaceMap fresh = must(dial::PlaceMap::create(dial, must(dial.setting(4.0))));
    for (auto _ : state) {
        dial::PlaceMap map = fresh;
        if (!map.heard({50.0, 54.0, 2.0, 0.1, {{52.0, 0.1}}}, chance)) std::exit(2);
        benchmark::DoNotOptimize(must(dial::next_stretch(map, chance, {.run_on_div = 0.15})));
    }
}

BENCHMARK(reference_transform)->Unit(benchmark::kMillisecond);
BENCHMARK(reference_recursion)->Unit(benchmark::kMillisecond);
BENCHMARK(resampler_48000_to_8000)->Unit(benchmark::kMillisecond);
BENCHMARK(spectrum_rows)->Unit(benchmark::kMillisecond);
BENCHMARK(strip)->Unit(benchmark::kMillisecond);
BENCHMARK(finder)->Unit(benchmark::kMillisecond);
BENCHMARK(sweep_known_pace)->Unit(benchmark::kMillisecond);
BENCHMARK(sweep_any_pace)->Unit(benchmark::kMillisecond);
BENCHMARK(follower)->Unit(benchmark::kMillisecond);
BENCHMARK(copier_clear)->Unit(benchmark::kMillisecond);
BENCHMARK(copier_weak_poor_hand)->Unit(benchmark::kMillisecond);
BENCHMARK(copy_clear)->Unit(benchmark::kMillisecond);
BENCHMARK(copy_weak_poor_hand)->Unit(benchmark::kMillisecond);
BENCHMARK(map_and_next_stretch)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace skedlark

BENCHMARK_MAIN();
