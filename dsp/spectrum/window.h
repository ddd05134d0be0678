// Windows for spectra, periodic form, with the two figures that scaling needs.
//
// Stage:   spectrum. Out: weights and their coherent gain and noise bandwidth.
// Units:   weights peak at 1.0 (cosine sums may be a hair off); bandwidth in bins of fs / size.
// Shape:   size weights; periodic: the sample after the last would equal the first.
// Time:    none.
// Errors:  none; size below 1 is a programmer's mistake.
// Threads: none.
// Source:  Harris, Proc. IEEE 66 (1978) 51-83; flat top as in ISO 18431-2.
// Checked: tests/dsp/spectrum/window_test.cpp, against the table of Harris.
#pragma once

#include <vector>

namespace skedlark::spectrum {

enum class WindowKind {
    rectangular,      // narrowest line, side lobes -13 dB: only for a single tone
    hann,             // the default: side lobes fall 18 dB an octave
    hamming,          // first side lobes -43 dB, but they hardly fall
    blackman,         // side lobes -58 dB
    blackman_harris,  // four terms, -92 dB: a weak tone beside a very strong one
    flat_top,         // level within 0.01 dB anywhere in the bin, line four bins wide
};

struct Window {
    std::vector<float> weights;
    double coherent_gain = 1.0;  // mean weight: a tone's amplitude is scaled by it
    double enbw_bins = 1.0;      // equivalent noise bandwidth
};

[[nodiscard]] Window make_window(WindowKind kind, int size);

}  // namespace skedlark::spectrum
