// What a test measured, as curves to be drawn: by the desk as it comes, by whoever prints it.
//
// Stage:   bench. In: audio so far, results. Out: Picture.
// Units:   in the names of its axes.
// Shape:   at most kMostDrawn points a curve: the highest and lowest of each column are kept.
// Time:    seconds from the audio's start.
// Errors:  none; what cannot be drawn (yet) is an empty picture.
// Threads: pure.
// Source:  a line's power is that of its highest bin times the noise bandwidth of the Hann window, 1.5 bins
//          (Harris, Proc. IEEE 66 (1978) 51-83).
// Checked: tests/dsp/bench/picture_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/bench/contacts.h"
#include "dsp/bench/dial_check.h"
#include "dsp/bench/hum_figures.h"
#include "dsp/bench/passband.h"
#include "dsp/bench/pitch_curve.h"
#include "dsp/bench/ring.h"
#include "dsp/bench/sensitivity.h"

namespace skedlark::bench {

inline constexpr std::size_t kMostDrawn = 600;

enum class DrawnAs { line, dots, open_dots, bars };

struct DrawnPoint {
    double x = 0.0;
    double y = 0.0;
};
struct DrawnCurve {
    std::string name{};
    DrawnAs as = DrawnAs::line;
    std::vector<DrawnPoint> points{};
};
struct Picture {
    std::string x_name{};
    std::string y_name{};
    std::vector<DrawnCurve> curves{};

    [[nodiscard]] bool empty() const;  // no curve has a point
};

// Lowest and highest of each column, in order of x.
[[nodiscard]] std::vector<DrawnPoint> thinned(const std::vector<DrawnPoint>& points,
                                              std::size_t most = kMostDrawn);

// Level of lines against frequency, of the last seconds.
[[nodiscard]] Picture spectrum_picture(std::span<const float> audio, double sample_rate_hz);
// Level against time.
[[nodiscard]] Picture level_picture(std::span<const float> audio, double sample_rate_hz);
[[nodiscard]] Picture hum_picture(const HumFigures& figures);
[[nodiscard]] Picture series_picture(const Series& series);
[[nodiscard]] Picture response_picture(std::span<const ResponsePoint> points);
[[nodiscard]] Picture contacts_picture(const Contacts& contacts);
[[nodiscard]] Picture taps_picture(const Ring& ring);
// Change of pitch since the first point; of a level (PitchCurve of dB) likewise.
[[nodiscard]] Picture drift_picture(const PitchCurve& curve);
[[nodiscard]] Picture run_down_picture(const PitchCurve& level);
[[nodiscard]] Picture dial_picture(const DialCheck& check);

}  // namespace skedlark::bench
