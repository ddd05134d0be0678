// A receiver to practise on: its dial is turned by hand, and what is on the band there is heard.
//
// Stage:   watch. In: a receiver and its chart, the base wanted, conditions; divisions. Out: audio.
// Units:   divisions, hertz, dB in 2500 Hz; audio 1.0 = full scale.
// Shape:   any number of frames a call, without an end.
// Time:    the base calls until it is asked to send its message.
// Errors:  create() returns invalid_value or not_found, naming what is wrong; send_message()
//          invalid_value for text outside the code.
// Threads: read() on one thread, the rest on another.
// Source:  pitch is the distance between what the dial is tuned to and the station; what the dial is
//          tuned to is the chart's, moved by an error drawn from its own uncertainty, as a real set's
//          is. Everything on the band is invented.
// Checked: tests/dsp/watch/simulated_dial_test.cpp
#pragma once

#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>

#include "dsp/dial/dial.h"
#include "dsp/synth/dial_stream.h"

namespace skedlark::watch {

struct SimulatedDialConfig {
    dial::Receiver receiver{};
    std::string band{};
    double base_mhz = 0.0;
    std::string own_call = "QVA7";
    std::string base_call = "QXB2";
    double speed_wpm = 12.0;       // of the base, 4 to 60
    double snr_2500hz_db = 10.0;   // of the base, -20 to 60
    std::string fading{};          // of synth::named_channels(); "": none
    int others = 4;                // stations near it, 0 to 20
    double loudness_dbfs = -20.0;  // of base and noise together, -80 to -6
    bool dial_is_off = true;       // by an error of its own; else exactly as charted
    std::uint64_t seed = 1;
};

class SimulatedDial {
 public:
    // So near the listening pitch, on either side of zero beat, the base counts as found.
    static constexpr double kFoundHz = 150.0;
    static constexpr double kCallingS = 1200.0;

    [[nodiscard]] static Result<std::unique_ptr<SimulatedDial>> create(
        const SimulatedDialConfig& config);

    // Held within the ends of the scale.
    void turn_to(double div);
    [[nodiscard]] double division() const { return div_; }
    void read(std::span<float> out);

    // Of the base where the dial stands; negative: from the other side of zero beat than the set is
    // listened to.
    [[nodiscard]] double base_pitch_hz() const;
    [[nodiscard]] bool is_found() const;
    // Where it is at the listening pitch, the dial's own error and all.
    [[nodiscard]] double base_division() const;
    // The base sends this next; how long it takes.
    [[nodiscard]] Result<double> send_message(const std::string& text);

 private:
    SimulatedDial(const SimulatedDialConfig& config, dial::Dial dial, double off_div);
    [[nodiscard]] double tuned_hz(double div) const;  // over the base
    [[nodiscard]] synth::SweepSceneConfig scene() const;

    SimulatedDialConfig config_;
    dial::Dial dial_;
    double off_div_;
    double div_ = 0.0;
    std::unique_ptr<synth::DialStream> stream_;
    std::mutex mutex_;  // of the stream's stations
};

}  // namespace skedlark::watch
