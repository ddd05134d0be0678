// HF fading: up to two paths with Rayleigh fading of Gaussian Doppler spectrum.
//
// Stage:   synth. Works on the complex envelope of the keyed carrier.
// Units:   hertz, seconds; gains of mean power 1 (summed over paths), so that an SNR stated for the
//          steady signal is the mean over fading.
// Shape:   one gain a sample, in order.
// Time:    the second path comes delay_s after the first.
// Errors:  channel_by_name() returns not_found and lists the names.
// Threads: one thread per instance; next() does not allocate.
// Source:  Watterson, Juroshek, Bensema, IEEE COM-18 (1970); ITU-R F.1487 (05/2000) Annex 3: two
//          equal independent paths, stated spread = 2 sigma; CCIR Rec. 520 for flutter.
// Checked: tests/dsp/synth/channel_test.cpp
#pragma once

#include <complex>
#include <span>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/synth/random.h"

namespace skedlark::synth {

struct ChannelConfig {
    int paths = 0;           // 0: no channel, 1: flat fading, 2: two equal paths
    double spread_hz = 0.0;  // 0 to 50; 2 sigma of the Doppler spectrum; 0: gains stand still
    double delay_s = 0.0;    // 0 to 0.02; used with two paths
};

struct NamedChannel {
    std::string_view name;
    std::string_view help;
    ChannelConfig channel;
};
[[nodiscard]] std::span<const NamedChannel> named_channels();
[[nodiscard]] Result<ChannelConfig> channel_by_name(std::string_view name);

// The gain of one path: complex Gaussian, mean power 1 (spread 0: of magnitude 1, random phase).
class FadingGain {
 public:
    FadingGain(double spread_hz, double sample_rate_hz, std::uint64_t seed);
    std::complex<double> next();

 private:
    std::complex<double> make_node();

    Random random_;
    std::vector<double> taps_;                 // Gaussian, unit energy
    std::vector<std::complex<double>> white_;  // ring of the last taps_.size() draws
    std::size_t oldest_ = 0;
    double step_ = 0.0;   // nodes a sample
    double place_ = 0.0;  // between the two nodes, 0 to 1
    std::complex<double> from_;
    std::complex<double> to_;
};

}  // namespace skedlark::synth
