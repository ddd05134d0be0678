// The best that can be read from machine keying when everything but the text is told: the bound
// that the real chain is held against.
//
// Stage:   tests (bounds). In: one complex sum a dot interval. Out: text.
// Units:   sums scaled so that their noise has E|n|^2 = 1 and a closed key has |mean| = amplitude;
//          amplitude^2 is then the dot energy over noise density.
// Shape:   from the first interval of the first mark to the last of the last mark. Told: pitch,
//          level, length of a dot, where the grid lies, standard spacing, which characters occur;
//          not the phase of a mark, or that as well; not where a word ends.
// Errors:  none.
// Threads: none.
// Source:  mark of unknown phase: Rice likelihood ratio, ln I0(2 a |S|) - a^2 L (Helstrom,
//          Statistical Theory of Signal Detection, from memory); known phase: 2 a Re S - a^2 L.
// Checked: tests/accuracy/grid_decoder_test.cpp
#pragma once

#include <complex>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace skedlark::accuracy {

enum class Phase { unknown, known };
enum class Decision { likeliest, posterior };

struct GridTold {
    double amplitude = 1.0;
    Phase phase = Phase::unknown;
    Decision decision = Decision::posterior;
    std::string_view alphabet;          // the characters that can occur, equally likely
    double word_gap_share = 1.0 / 5.0;  // of the gaps between characters
};

[[nodiscard]] std::string decode_grid(std::span<const std::complex<double>> sums,
                                      const GridTold& told);

// What a transmitter sends on the grid: 1 key down, 0 up, one entry a dot interval.
[[nodiscard]] std::vector<bool> keyed_grid(std::string_view text);

// ln I0(x), also where I0 itself would overflow.
[[nodiscard]] double log_bessel_i0(double x);

}  // namespace skedlark::accuracy
