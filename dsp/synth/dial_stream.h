// A band under a dial that is turned while one listens: stations, noise and receiver, without an end.
//
// Stage:   synth. In: SweepSceneConfig (of its dial nothing is used), where the dial is turned to. Out:
//          audio in pieces.
// Units:   hertz above what the dial is tuned to at the start; audio 1.0 = full scale.
// Shape:   any number of frames a call.
// Time:    the dial goes where it is turned to within some kDialS, so that steps of a wheel do not
//          click; pitch is the distance, phase goes on.
// Errors:  create() and send() return invalid_value, naming field, value and allowed range.
// Threads: turn_to() and tuned_hz() from any; the rest from one.
// Source:  the parts name theirs.
// Checked: tests/dsp/synth/dial_stream_test.cpp
#pragma once

#include <atomic>
#include <memory>
#include <span>
#include <string_view>
#include <vector>

#include "dsp/synth/heard_station.h"
#include "dsp/synth/sweep_scene.h"

namespace skedlark::synth {

class DialStream {
 public:
    static constexpr double kDialS = 0.02;

    // config.seconds: stations are keyed for so long; then they are silent.
    [[nodiscard]] static Result<std::unique_ptr<DialStream>> create(const SweepSceneConfig& config);

    void turn_to(double tuned_hz) noexcept { wanted_hz_.store(tuned_hz); }
    [[nodiscard]] double tuned_hz() const noexcept { return tuned_hz_.load(); }
    void read(std::span<float> out);
    // A station sends this text from in_s on, and what it was sending no more; returns its seconds.
    [[nodiscard]] Result<double> send(std::size_t station, std::string_view text, double in_s);

 private:
    explicit DialStream(const SweepSceneConfig& config);

    SweepSceneConfig config_;
    std::atomic<double> wanted_hz_{0.0};
    std::atomic<double> tuned_hz_{0.0};
    double dial_hz_ = 0.0;
    double dial_share_;  // of the way to where it is turned, a sample
    std::vector<HeardStation> heard_;
    NoiseSource noise_;
    Receiver receiver_;
    std::uint64_t sent_ = 0;
    std::vector<double> block_;
};

}  // namespace skedlark::synth
