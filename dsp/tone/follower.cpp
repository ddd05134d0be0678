#include "dsp/tone/follower.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/stft.h"
#include "dsp/tone/baseband.h"
#include "dsp/tone/drift_meter.h"
#include "dsp/tone/jump_watch.h"
#include "dsp/tone/level_meter.h"
#include "dsp/tone/neighbour_watch.h"
#include "dsp/tone/pitch_evidence.h"
#include "dsp/tone/pitch_grid.h"
#include "dsp/tone/static_meter.h"

namespace skedlark::tone {
namespace {

constexpr FrameIndex kAudioKept = 1 << 16;    // 8.2 s
constexpr FrameIndex kFactorsKept = 1 << 12;  // one each kStaticHop samples: 10.2 s
constexpr int kFloorSpan = 512;
constexpr int kFloorHop = 256;
constexpr double kFloorBinHz = kWorkRateHz / kFloorSpan;
// The tone itself fills bins up to 2 away; noise is read 47 to 190 Hz to both sides. Beside a
// strong one its keying would be read instead: 110 to 250 Hz.
constexpr int kFloorExclude = 3;
constexpr int kFloorExcludeStrong = 7;
constexpr int kFloorWidth = 9;
constexpr double kStrongSnrDb = 10.0;
// Frames wait for the static factors of their whole low-pass: half the span of a look.
constexpr int kFactorDelay = kStaticSpan / 2;
constexpr int kFactorsPerSide = kBasebandHalfSpan / kStaticHop;
// A revision goes back no further than this.
constexpr FrameIndex kReviseFrames = 700;
// How far the pitch estimate runs behind a steady drift: half the evidence's span and the filter's
// own lag at the wander a drift of 1 Hz/s is taken for. follower_test.cpp, drift.
constexpr double kPitchLag_s = 0.7;
constexpr double kToldAfterHz = 5.0;
constexpr double kMinDensity = 1e-20;  // digital silence must not become an infinite weight

Error out_of_range(const char* field, double value, const char* allowed) {
    return {ErrorCode::invalid_value,
            std::string(field) + " is " + std::to_string(value) + ", allowed " + allowed};
}

// Share of the low-pass's noise that falls into each stretch of kStaticHop samples.
std::array<float, 2 * kFactorsPerSide + 1> factor_weights() {
    std::array<float, 2 * kFactorsPerSide + 1> shares{};
    const auto& weights = baseband_weights();
    float sum = 0.0F;
    for (std::size_t n = 0; n < weights.size(); ++n) {
        const float energy = weights[n] * weights[n];
        shares[(n + kStaticHop / 2) / kStaticHop] += energy;
        sum += energy;
    }
    for (float& share : shares) share /= sum;
    return shares;
}

}  // namespace

struct Follower::State {
    State(const FollowerConfig& settings, spectrum::Stft stft, spectrum::NoiseFloor noise,
          StaticMeter meter, PitchEvidence pitch_evidence)
        : config(settings),
          rows(std::move(stft)),
          floor(std::move(noise)),
          static_meter(std::move(meter)),
          evidence(std::move(pitch_evidence)),
          grid(settings.pitch_hz, settings.pitch_error_hz),
          jumps(settings.jump_reach_hz),
          audio(kAudioKept),
          factors(kFactorsKept, 1.0F),
          history(kReviseFrames),
          span_audio(kEvidenceSpan),
          span_factors(kEvidenceFactors) {
        start(settings.start_frame);
        told_hz = pitch_from_hz = pitch_to_hz = settings.pitch_hz;
    }

    void start(FrameIndex at);
    void take(float sample, bool lost, std::vector<BasebandFrame>& out, std::vector<Event>* events);
    void look_for_static();
    void mix(std::vector<BasebandFrame>& out);
    void give(BasebandFrame frame, std::vector<BasebandFrame>& out);
    void follow(std::vector<Event>* events);
    void tell(FrameIndex at, double from_hz, double to_hz, std::vector<Event>* events);
    void jump(const Jump& jump, std::vector<Event>* events);
    [[nodiscard]] FrameIndex find_switch(std::span<const BasebandFrame> moved) const;
    [[nodiscard]] float variance_at(FrameIndex centre) const;
    [[nodiscard]] double noise_beside(double hz) const;
    [[nodiscard]] double snr_2500hz_db() const;
    [[nodiscard]] double mix_pitch(FrameIndex sample) const;
    [[nodiscard]] float sample_at(FrameIndex index) const {
        return index < 0 ? 0.0F : audio[static_cast<std::size_t>(index % kAudioKept)];
    }
    [[nodiscard]] float& factor(FrameIndex slot) {
        return factors[static_cast<std::size_t>(slot % kFactorsKept)];
    }
    [[nodiscard]] BasebandFrame& past(FrameIndex frame) {
        return history[static_cast<std::size_t>(frame % kReviseFrames)];
    }
    [[nodiscard]] const BasebandFrame& past(FrameIndex frame) const {
        return history[static_cast<std::size_t>(frame % kReviseFrames)];
    }

    FollowerConfig config;
    spectrum::Stft rows;
    spectrum::NoiseFloor floor;
    StaticMeter static_meter;
    PitchEvidence evidence;
    PitchGrid grid;
    JumpWatch jumps;
    NeighbourWatch neighbours;
    Baseband baseband;
    LevelMeter level;
    DriftMeter drift{30.0};
    DriftMeter slope{4.0};
    std::array<float, 2 * kFactorsPerSide + 1> shares = factor_weights();

    std::vector<float> audio;            // ring by sample since the start
    std::vector<float> factors;          // ring by stretch of kStaticHop
    std::vector<BasebandFrame> history;  // ring by frame since the start
    std::vector<float> span_audio, span_factors;
    std::array<float, kStaticSpan> look{};
    std::vector<BasebandFrame> waiting;  // before the noise is known
    std::vector<BasebandFrame> revised;

    FrameIndex first = 0;  // index of the first sample, in the input's time
    FrameIndex count = 0;  // samples taken since the start
    FrameIndex mixed = 0;  // samples gone into the baseband filter
    FrameIndex given = 0;  // frames made since the start
    FrameIndex last_lost = -kAudioKept;
    FrameIndex first_of_lost = -kAudioKept;
    FrameIndex pitch_since = 0;
    double pitch_from_hz = 0.0, pitch_to_hz = 0.0, told_hz = 0.0;
    double density = 0.0;
};

void Follower::State::start(FrameIndex at) {
    first = at;
    count = mixed = given = pitch_since = 0;
    last_lost = first_of_lost = -kAudioKept;
    std::fill(audio.begin(), audio.end(), 0.0F);
    std::fill(factors.begin(), factors.end(), 1.0F);
    rows.reset();
    baseband.reset();
    waiting.clear();
    revised.clear();
}

void Follower::State::take(float sample, bool lost, std::vector<BasebandFrame>& out,
                           std::vector<Event>* events) {
    if (lost) {
        if (last_lost != count - 1) first_of_lost = count;
        last_lost = count;
    }
    audio[static_cast<std::size_t>(count % kAudioKept)] =
        lost || !std::isfinite(sample) ? 0.0F : sample;
    ++count;
    const float kept = sample_at(count - 1);
    rows.process({&kept, 1}, [this](std::span<const float> row) {
        if (count - kFloorSpan <= last_lost) return;
        if (floor.add(row)) density = noise_beside(pitch_to_hz);
    });
    if (count % kStaticHop == kFactorDelay % kStaticHop) look_for_static();
    mix(out);
    if (count % kPitchStep == 0 && count >= kEvidenceSpan) follow(events);
}

double Follower::State::noise_beside(double hz) const {
    const int exclude = snr_2500hz_db() > kStrongSnrDb ? kFloorExcludeStrong : kFloorExclude;
    return std::max(kMinDensity, floor.beside(hz / kFloorBinHz, exclude, exclude + kFloorWidth));
}

double Follower::State::snr_2500hz_db() const {
    const double power = 0.5 * level.amplitude_squared();
    if (power <= 0.0 || density <= 0.0) return -99.0;
    return db_from_power(power / (density * kReferenceBandwidthHz));
}

// The stretch whose middle lies kFactorDelay back.
void Follower::State::look_for_static() {
    const FrameIndex middle = count - kFactorDelay;
    if (middle < 0) return;
    const FrameIndex from = middle - kStaticSpan / 2;
    float& value = factor(middle / kStaticHop);
    value = 1.0F;
    if (from <= last_lost || from < 0) return;
    for (int n = 0; n < kStaticSpan; ++n) look[static_cast<std::size_t>(n)] = sample_at(from + n);
    value = static_meter.factor(look, pitch_to_hz);
}

double Follower::State::mix_pitch(FrameIndex sample) const {
    const double part = static_cast<double>(sample - pitch_since) / (kPitchStep / 2);
    return pitch_from_hz + (pitch_to_hz - pitch_from_hz) * std::clamp(part, 0.0, 1.0);
}

void Follower::State::mix(std::vector<BasebandFrame>& out) {
    const FrameIndex sample = count - kFactorDelay;
    if (sample < 0) return;
    baseband.push(sample_at(sample), mix_pitch(sample));
    ++mixed;
    const FrameIndex centre = sample - kBasebandHalfSpan;
    if (centre < 0 || centre % kWorkFramesPerBaseband != 0) return;
    BasebandFrame frame;
    frame.z = baseband.value();
    frame.pitch_hz = static_cast<float>(mix_pitch(centre));
    frame.at_frame = first + centre;
    // The pulse's main part spans two frames each side; lost samples there spoil the frame.
    const FrameIndex reach = 2 * kWorkFramesPerBaseband;
    frame.lost = centre + reach >= first_of_lost && centre - reach <= last_lost;
    if (density <= 0.0) {
        waiting.push_back(frame);
        return;
    }
    for (BasebandFrame early : waiting) give(early, out);
    waiting.clear();
    give(frame, out);
}

void Follower::State::give(BasebandFrame frame, std::vector<BasebandFrame>& out) {
    frame.noise_variance = variance_at(frame.at_frame - first);
    level.add(frame);
    past(given++) = frame;
    out.push_back(frame);
}

float Follower::State::variance_at(FrameIndex centre) const {
    float weighed = 0.0F;
    for (int n = -kFactorsPerSide; n <= kFactorsPerSide; ++n) {
        const FrameIndex slot = centre / kStaticHop + n;
        const float value =
            slot < 0 ? 1.0F : factors[static_cast<std::size_t>(slot % kFactorsKept)];
        weighed += shares[static_cast<std::size_t>(n + kFactorsPerSide)] * value;
    }
    // Real noise of one-sided density d has 2 d per hertz at baseband once a tone keeps its
    // amplitude.
    return static_cast<float>(2.0 * std::max(density, kMinDensity) * baseband_noise_hz()) * weighed;
}

void Follower::State::follow(std::vector<Event>* events) {
    const FrameIndex from = count - kEvidenceSpan;
    if (from <= last_lost || !floor.ready()) return;
    for (int n = 0; n < kEvidenceSpan; ++n)
        span_audio[static_cast<std::size_t>(n)] = sample_at(from + n);
    for (int n = 0; n < kEvidenceFactors; ++n)
        span_factors[static_cast<std::size_t>(n)] =
            factor(std::min(from + n * kStaticHop, count - kFactorDelay) / kStaticHop);
    const double reach_hz = std::max(config.jump_reach_hz, kNeighbourReachHz);
    const int reach = kGridReach + 64 + static_cast<int>(reach_hz / kEvidenceCellHz);
    evidence.measure(span_audio, span_factors, floor.density(), kFloorBinHz,
                     grid.middle_cell() - reach, grid.middle_cell() + reach);
    grid.step(evidence.ratio());
    neighbours.step(evidence.ratio(), grid.pitch_hz());
    baseband.shut_from(neighbours.shut_from_hz());
    pitch_from_hz = mix_pitch(count);
    drift.add(seconds_from_frames(count), grid.pitch_hz(), grid.presence());
    slope.add(seconds_from_frames(count), grid.pitch_hz(), grid.presence());
    const double ahead_hz = slope.sure_hz_per_s() * kPitchLag_s * grid.presence();
    pitch_to_hz = std::clamp(grid.pitch_hz() + ahead_hz, 20.0, kWorkRateHz / 2.0 - 20.0);
    pitch_since = count - kFactorDelay;
    if (config.jump_reach_hz > 0.0) {
        if (const auto jumped = jumps.step(evidence.ratio(), grid.pitch_hz())) {
            jump(*jumped, events);
            return;
        }
    }
    if (std::abs(pitch_to_hz - told_hz) > kToldAfterHz && grid.spread_hz() < 1.0 &&
        grid.presence() > 0.5) {
        tell(count - kEvidenceSpan / 2, told_hz, pitch_to_hz, events);
    }
}

void Follower::State::tell(FrameIndex at, double from_hz, double to_hz,
                           std::vector<Event>* events) {
    told_hz = to_hz;
    if (events != nullptr)
        events->push_back(PitchMovedEvent{config.tone, first + at, from_hz, to_hz});
}

// Takes the audio since before the jump to the new pitch, finds when it happened, and goes on
// there.
void Follower::State::jump(const Jump& jump, std::vector<Event>* events) {
    const double from_hz = pitch_to_hz;
    grid.jump_to(jump.to_hz, 1.0);
    drift.reset();
    slope.reset();
    pitch_from_hz = pitch_to_hz = jump.to_hz;
    density = noise_beside(jump.to_hz);

    const FrameIndex sure =
        (jump.lost_steps_ago * kPitchStep + kEvidenceSpan) / kWorkFramesPerBaseband;
    const FrameIndex oldest = std::max<FrameIndex>(0, given - std::min(sure, kReviseFrames));
    baseband.reset();
    std::vector<BasebandFrame> moved;
    FrameIndex frame = oldest;
    const FrameIndex start =
        std::max<FrameIndex>(0, past(oldest).at_frame - first - kBasebandHalfSpan);
    for (FrameIndex sample = start; sample < mixed; ++sample) {
        baseband.push(sample_at(sample), jump.to_hz);
        if (frame >= given || sample != past(frame).at_frame - first + kBasebandHalfSpan) continue;
        BasebandFrame again = past(frame);
        again.z = baseband.value();
        again.pitch_hz = static_cast<float>(jump.to_hz);
        again.noise_variance = variance_at(again.at_frame - first);
        moved.push_back(again);
        ++frame;
    }
    const FrameIndex at = find_switch(moved);
    for (FrameIndex n = at; n < static_cast<FrameIndex>(moved.size()); ++n) {
        revised.push_back(moved[static_cast<std::size_t>(n)]);
        past(oldest + n) = moved[static_cast<std::size_t>(n)];
    }
    const FrameIndex when = at < static_cast<FrameIndex>(moved.size())
                                ? moved[static_cast<std::size_t>(at)].at_frame - first
                                : count;
    tell(when, from_hz, jump.to_hz, events);
}

// The frame from which the moved ones hold the tone: the split that leaves most coherent energy.
FrameIndex Follower::State::find_switch(std::span<const BasebandFrame> moved) const {
    constexpr FrameIndex kBlock = 8;
    const auto frames = static_cast<FrameIndex>(moved.size());
    double gain = 0.0;
    double best_gain = 0.0;
    FrameIndex best = frames;
    for (FrameIndex block = frames - kBlock; block >= 0; block -= kBlock) {
        std::complex<float> here{};
        std::complex<float> there{};
        float variance = 0.0F;
        for (FrameIndex n = block; n < block + kBlock; ++n) {
            here += past(given - frames + n).z;
            there += moved[static_cast<std::size_t>(n)].z;
            variance += moved[static_cast<std::size_t>(n)].noise_variance;
        }
        gain += static_cast<double>((std::norm(there) - std::norm(here)) / variance);
        if (gain > best_gain) {
            best_gain = gain;
            best = block;
        }
    }
    return best;
}

Result<Follower> Follower::create(const FollowerConfig& config) {
    if (!(config.pitch_hz >= 50.0 && config.pitch_hz <= 3900.0))
        return out_of_range("pitch_hz", config.pitch_hz, "50 to 3900");
    if (!(config.pitch_error_hz >= 0.1 && config.pitch_error_hz <= 10.0))
        return out_of_range("pitch_error_hz", config.pitch_error_hz, "0.1 to 10");
    if (!(config.jump_reach_hz >= 0.0 && config.jump_reach_hz <= 500.0))
        return out_of_range("jump_reach_hz", config.jump_reach_hz, "0 to 500");
    auto stft = spectrum::Stft::create({.size = kFloorSpan, .hop = kFloorHop});
    if (!stft) return stft.error();
    auto floor =
        spectrum::NoiseFloor::create({.bins = kFloorSpan / 2 + 1, .update_every_rows = 64});
    if (!floor) return floor.error();
    auto meter = StaticMeter::create();
    if (!meter) return meter.error();
    auto evidence = PitchEvidence::create();
    if (!evidence) return evidence.error();
    return Follower(std::make_unique<State>(config, std::move(*stft), std::move(*floor),
                                            std::move(*meter), std::move(*evidence)));
}

Follower::Follower(std::unique_ptr<State> state) : state_(std::move(state)) {}
Follower::Follower(Follower&&) noexcept = default;
Follower& Follower::operator=(Follower&&) noexcept = default;
Follower::~Follower() = default;

void Follower::process(std::span<const float> audio, std::vector<BasebandFrame>& frames,
                       std::vector<Event>* events, bool lost) {
    state_->revised.clear();
    for (const float sample : audio) state_->take(sample, lost, frames, events);
}

std::span<const BasebandFrame> Follower::revised_frames() const { return state_->revised; }
double Follower::pitch_hz() const { return state_->pitch_to_hz; }
double Follower::pitch_spread_hz() const { return state_->grid.spread_hz(); }
double Follower::drift_hz_per_min() const { return state_->drift.hz_per_min(); }
double Follower::presence() const { return state_->grid.presence(); }
double Follower::noise_density() const { return state_->density; }
FrameIndex Follower::next_frame() const { return state_->first + state_->count; }

double Follower::snr_2500hz_db() const { return state_->snr_2500hz_db(); }

void Follower::restart_keeping_pitch(FrameIndex start_frame) {
    State& state = *state_;
    state.start(start_frame);
    state.pitch_from_hz = state.pitch_to_hz = state.told_hz = state.grid.pitch_hz();
    state.drift.reset();
    state.slope.reset();
    state.jumps.reset();
}

}  // namespace skedlark::tone
