#include "dsp/synth/scene.h"

#include <algorithm>
#include <cmath>

#include "dsp/synth/key_station.h"
#include "dsp/synth/station.h"

namespace skedlark::synth {
namespace {

constexpr std::size_t kBlockFrames = 1024;
Result<std::vector<OwnKeyed>> key_own(const ReceiverConfig& receiver, std::uint64_t seed) {
    std::vector<OwnKeyed> all;
    for (const OwnSending& own : receiver.own) {
        OwnKeyed one{own, {}, own.at_s, own.at_s};
        Keyer keyer({own.speed_wpm, 0.0, own.fist}, derive_seed(seed, "own", all.size()));
        const auto end_s = keyer.send(own.text, own.at_s, one.keyed);
        if (!end_s) return end_s.error();
        one.to_s = *end_s;
        all.push_back(std::move(one));
    }
    return all;
}

// A pitch that drifts up beyond half the sample rate would come back as a false one.
Status check_drift(const SceneConfig& config, double seconds) {
    const BeatConfig& beat = config.beat;
    const double rise_hz =
        beat.drift_span_hz > 0.0 ? beat.drift_span_hz : beat.drift_hz_per_s * seconds;
    const double room_hz = 0.49 * config.sample_rate_hz - beat.pitch_hz;
    if (beat.drift_hz_per_s == 0.0 || rise_hz <= room_hz) return Done{};
    return Error{ErrorCode::invalid_value,
                 "beat.drift_hz_per_s: " + std::to_string(beat.drift_hz_per_s) + " over " +
                     std::to_string(seconds) + " s, allowed a rise of " + std::to_string(room_hz) +
                     " Hz; drift_span_hz turns it round"};
}

// White noise of that density over the whole band 0 to sample rate / 2.
double noise_rms(const SceneConfig& config) {
    if (!config.snr_2500hz_db) return 0.0;
    const double tone_power = 0.5 * power_from_db(config.level_dbfs);
    const double density =
        tone_power / power_from_db(*config.snr_2500hz_db) / kReferenceBandwidthHz;
    return std::sqrt(density * 0.5 * config.sample_rate_hz);
}

}  // namespace

struct SceneStream::State {
    State(const SceneConfig& config, Truth made_truth, const std::vector<OwnKeyed>& own)
        : truth(std::move(made_truth)),
          beat(config.beat, config.sample_rate_hz, derive_seed(config.seed, "beat")),
          noise(config.noise, noise_rms(config), config.sample_rate_hz,
                derive_seed(config.seed, "noise")),
          receiver(config.receiver, own, amplitude_from_db(config.level_dbfs),
                   config.sample_rate_hz),
          length_frames(frames_from_seconds(truth.seconds, config.sample_rate_hz)),
          track_step_frames(config.track_step_s * config.sample_rate_hz) {
        const double amplitude = amplitude_from_db(config.level_dbfs);
        stations.emplace_back(config.wanted, truth.wanted.marks, amplitude, config.sample_rate_hz,
                              derive_seed(config.seed, "wanted"));
        for (std::size_t i = 0; i < config.neighbours.size(); ++i) {
            const StationConfig& station = config.neighbours[i];
            stations.emplace_back(station, truth.neighbours[i].marks,
                                  amplitude * amplitude_from_db(station.level_db),
                                  config.sample_rate_hz, derive_seed(config.seed, "neighbour", i));
        }
        sum.reserve(kBlockFrames);
        audio.reserve(kBlockFrames);
    }

    // All stations through the beat oscillator, with the truth's tracks on the way.
    void mix(std::size_t frames) {
        sum.assign(frames, {});
        audio.assign(frames, 0.0);
        for (std::size_t i = 1; i < stations.size(); ++i) stations[i].add(sum);
        for (std::size_t n = 0; n < frames; ++n) {
            stations.front().add({&sum[n], 1});
            const double phase = beat.next();
            if (sum[n] != std::complex<double>{}) {
                audio[n] = sum[n].real() * std::cos(phase) - sum[n].imag() * std::sin(phase);
            }
            if (static_cast<double>(frame) >=
                track_step_frames * static_cast<double>(truth.pitch_hz.size())) {
                truth.pitch_hz.push_back(std::abs(beat.pitch_hz()));
                truth.level_db.push_back(stations.front().channel_gain_db());
            }
            ++frame;
        }
    }

    void next_block(std::span<float> out) {
        mix(out.size());
        noise.add(audio);
        receiver.process(audio);
        std::transform(audio.begin(), audio.end(), out.begin(),
                       [](double value) { return static_cast<float>(value); });
        truth.crashes.insert(
            truth.crashes.end(),
            noise.crashes().begin() + static_cast<std::ptrdiff_t>(truth.crashes.size()),
            noise.crashes().end());
    }

    Truth truth;
    std::vector<StationSignal> stations;  // the wanted one first
    ReceiverBeat beat;
    NoiseSource noise;
    Receiver receiver;
    FrameIndex length_frames;
    double track_step_frames;
    FrameIndex frame = 0;
    std::vector<std::complex<double>> sum;
    std::vector<double> audio;
};

SceneStream::SceneStream(std::unique_ptr<State> state) : state_(std::move(state)) {}
SceneStream::SceneStream(SceneStream&&) noexcept = default;
SceneStream& SceneStream::operator=(SceneStream&&) noexcept = default;
SceneStream::~SceneStream() = default;

Result<SceneStream> SceneStream::create(const SceneConfig& config) {
    if (const Status status = check(config); !status) return status.error();
    Truth truth;
    truth.sample_rate_hz = config.sample_rate_hz;
    truth.seed = config.seed;
    truth.level_dbfs = config.level_dbfs;
    truth.snr_2500hz_db = config.snr_2500hz_db;
    truth.track_step_s = config.track_step_s;
    truth.knocks = config.beat.knocks;
    auto wanted = key_station(config.wanted, config.seconds - config.tail_s,
                              derive_seed(config.seed, "wanted"));
    if (!wanted) return wanted.error();
    truth.wanted = *std::move(wanted);
    const auto own = key_own(config.receiver, config.seed);
    if (!own) return own.error();
    double end_s = truth.wanted.marks.empty() ? 0.0 : truth.wanted.marks.back().off_s;
    for (const OwnKeyed& one : *own) {
        truth.own.push_back({one.from_s, one.to_s, text_of(one.keyed.characters)});
        end_s = std::max(end_s, one.to_s);
    }
    truth.seconds = config.seconds > 0.0 ? config.seconds : end_s + config.tail_s;
    for (std::size_t i = 0; i < config.neighbours.size(); ++i) {
        auto station = key_station(config.neighbours[i], truth.seconds,
                                   derive_seed(config.seed, "neighbour", i));
        if (!station) return station.error();
        truth.neighbours.push_back(*std::move(station));
    }
    if (const Status status = check_drift(config, truth.seconds); !status) return status.error();
    return SceneStream(std::make_unique<State>(config, std::move(truth), *own));
}

std::size_t SceneStream::read(std::span<float> out) {
    State& state = *state_;
    std::size_t done = 0;
    while (done < out.size() && state.frame < state.length_frames) {
        const auto left = static_cast<std::size_t>(state.length_frames - state.frame);
        const std::size_t frames = std::min({kBlockFrames, left, out.size() - done});
        state.next_block(out.subspan(done, frames));
        done += frames;
    }
    return done;
}

FrameIndex SceneStream::length_frames() const { return state_->length_frames; }
const Truth& SceneStream::truth() const { return state_->truth; }

Result<Scene> make_scene(const SceneConfig& config) {
    auto stream = SceneStream::create(config);
    if (!stream) return stream.error();
    Scene scene;
    scene.samples.resize(static_cast<std::size_t>(stream->length_frames()));
    stream->read(scene.samples);
    scene.truth = stream->truth();
    return scene;
}

}  // namespace skedlark::synth
