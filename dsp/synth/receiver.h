// The receiver after its beat oscillator: filters, mains lines, own sending, gain steps, overload,
// DC.
//
// Stage:   synth. In: audio of signal and noise. Out: audio at the headphone jack. In this order:
//          gain steps -> filter -> muting in own sending -> mains lines -> own sidetone -> limiter
//          -> DC.
// Units:   hertz, dB; levels in dBFS, or dB over the wanted tone where named so.
// Shape:   any block length, in order; equal for any split.
// Time:    minimum-phase filters: they delay by less than the inverse of their width.
// Errors:  none; settings are checked with the scene's.
// Threads: one thread per instance; process() does not allocate.
// Source:  bilinear transform of analogue prototypes (textbook); two tuned circuits of equal width
//          make the wide intermediate-frequency filter; lines of a full-wave rectifier by the
//          Fourier series.
// Checked: tests/dsp/synth/receiver_test.cpp
#pragma once

#include <complex>
#include <span>
#include <vector>

#include "dsp/synth/edges.h"

namespace skedlark::synth {

enum class FilterKind {
    flat,   // none
    band,   // low_hz to high_hz, 12 dB an octave beyond each (Butterworth)
    valve,  // wide intermediate frequency: width_hz between the -6 dB points, beat oscillator in
            // the middle, so the audio falls by 6 dB at width_hz / 2; little below 100 Hz
    peak,   // a single tuned circuit at centre_hz, width_hz between its -3 dB points
};

struct FilterConfig {
    FilterKind kind = FilterKind::flat;
    double low_hz = 300.0;     // band: 10 to high_hz
    double high_hz = 3000.0;   // band: up to 45 % of the sample rate
    double centre_hz = 700.0;  // peak: 50 to 45 % of the sample rate
    double width_hz = 6000.0;  // valve: 500 to 20000; peak: 5 to 5000
};

struct MainsConfig {
    bool on = false;
    double level_db = 0.0;   // of the strongest line, over the wanted tone, -60 to 60
    double mains_hz = 50.0;  // 40 to 70
};

struct GainStep {
    double at_s = 0.0;
    double db = 0.0;  // -80 to 80, against the gain at the start
};

enum class OwnSendingMode {
    muted,      // nothing is heard from first to last mark
    sidetone,   // muted, and a clean tone with each mark
    overloaded  // blocked by each mark, a loud tone with it, recovering in between
};

// What the operator sends himself while the recording runs.
struct OwnSending {
    double at_s = 0.0;      // 0 or above
    std::string text;       // inside the code
    double speed_wpm = 16;  // 4 to 60
    Fist fist{};
    OwnSendingMode mode = OwnSendingMode::sidetone;
    double pitch_hz = 800.0;  // 50 to 45 % of the sample rate
    double level_db = 20.0;   // over the wanted tone, -60 to 60
    double recover_s = 0.1;   // overloaded: time constant of the gain coming back, 0.001 to 10
};

struct ReceiverConfig {
    FilterConfig filter;
    MainsConfig mains;
    std::vector<GainStep> gain_steps;  // in order of time
    std::vector<OwnSending> own;       // in order of time
    bool limiter = false;
    double limiter_dbfs = 0.0;  // soft limit of the output's peak, -60 to 0
    double dc = 0.0;            // -1 to 1, of full scale
};

// What own sending became: made once, used for the audio and for the truth.
struct OwnKeyed {
    OwnSending config;
    Keyed keyed;
    double from_s = 0.0;
    double to_s = 0.0;
};

class Receiver {
 public:
    // tone_amplitude: of the wanted tone at key-down, 1.0 = full scale.
    Receiver(const ReceiverConfig& config, const std::vector<OwnKeyed>& own, double tone_amplitude,
             double sample_rate_hz);
    void process(std::span<double> audio);

 private:
    struct Section {  // one biquad, transposed direct form II
        double b0, b1, b2, a1, a2;
        double z1 = 0.0, z2 = 0.0;
    };
    struct Line {
        std::complex<double> turn;   // e^(j 2 pi f / rate)
        std::complex<double> state;  // amplitude and phase now
    };
    struct Own {
        KeyingEdges edges;
        OwnSendingMode mode;
        double from_frame, to_frame;
        double amplitude;
        double phase_step;
        double recover;  // per sample
        double phase = 0.0;
        double gain = 1.0;
    };
    void add_sections(const FilterConfig& filter);
    void add_lines(const MainsConfig& mains, double tone_amplitude);
    double own_sending(double received, double& sidetone);

    ReceiverConfig config_;
    double sample_rate_hz_;
    std::vector<Section> sections_;
    std::vector<Line> lines_;
    std::vector<Own> own_;
    std::size_t own_past_ = 0;
    std::size_t gain_past_ = 0;
    double gain_ = 1.0;
    double limit_ = 1.0;
    std::int64_t frame_ = 0;
};

}  // namespace skedlark::synth
