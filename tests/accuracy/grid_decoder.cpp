#include "tests/accuracy/grid_decoder.h"

#include <boost/math/special_functions/bessel.hpp>
#include <cassert>
#include <cmath>
#include <cstddef>

#include "dsp/morse/code_table.h"
#include "dsp/morse/timing.h"
#include "tests/accuracy/lattice.h"

namespace skedlark::accuracy {
namespace {

constexpr int kDot = 1;
constexpr int kDash = 3;
constexpr int kInnerGap = 1;
constexpr int kCharacterGap = 3;
constexpr int kWordGap = 7;

// Log likelihood ratio of a mark of this length beginning at each interval, against no mark.
std::vector<double> mark_scores(std::span<const std::complex<double>> sums, int length,
                                const GridTold& told) {
    std::vector<double> scores;
    for (std::size_t from = 0; from + static_cast<std::size_t>(length) <= sums.size(); ++from) {
        std::complex<double> sum = 0.0;
        for (int k = 0; k < length; ++k) sum += sums[from + static_cast<std::size_t>(k)];
        const double a = told.amplitude;
        const double evidence = told.phase == Phase::known ? 2.0 * a * sum.real()
                                                           : log_bessel_i0(2.0 * a * std::abs(sum));
        scores.push_back(evidence - a * a * length);
    }
    return scores;
}

struct Character {
    std::string text;
    std::string_view elements;
};

std::vector<Character> characters_of(std::string_view alphabet) {
    std::vector<Character> result;
    for (const char c : alphabet) {
        const morse::Symbol* symbol = morse::find_by_text(std::string_view(&c, 1));
        assert(symbol != nullptr);
        result.push_back({std::string(1, c), symbol->elements});
    }
    return result;
}

// Node 2t: a character begins at interval t; node 2t + 1: one has ended there.
int begins(int t) { return 2 * t; }
int ended(int t) { return 2 * t + 1; }

}  // namespace

double log_bessel_i0(double x) {
    constexpr double kAsymptotic = 400.0;  // the first two terms are good to 1e-6 from here on
    if (x < kAsymptotic) return std::log(boost::math::cyl_bessel_i(0, x));
    return x - 0.5 * std::log(2.0 * M_PI * x) + 1.0 / (8.0 * x);
}

std::string decode_grid(std::span<const std::complex<double>> sums, const GridTold& told) {
    const int intervals = static_cast<int>(sums.size());
    const std::vector<double> dots = mark_scores(sums, kDot, told);
    const std::vector<double> dashes = mark_scores(sums, kDash, told);
    const std::vector<Character> characters = characters_of(told.alphabet);
    const double character_prior = -std::log(static_cast<double>(characters.size()));
    const double word_prior = std::log(told.word_gap_share);
    const double inner_prior = std::log1p(-told.word_gap_share);

    Lattice lattice(2 * intervals + 2);
    for (int t = 0; t < intervals; ++t) {
        for (const Character& character : characters) {
            double score = character_prior;
            int at = t;
            bool fits = true;
            for (const char element : character.elements) {
                if (at > t) at += kInnerGap;
                const int length = element == '.' ? kDot : kDash;
                fits = at + length <= intervals;
                if (!fits) break;
                score += (element == '.' ? dots : dashes)[static_cast<std::size_t>(at)];
                at += length;
            }
            if (fits) lattice.add({begins(t), ended(at), score, character.text});
        }
        if (t + kCharacterGap < intervals) {
            lattice.add({ended(t), begins(t + kCharacterGap), inner_prior, ""});
        }
        if (t + kWordGap < intervals) {
            lattice.add({ended(t), begins(t + kWordGap), word_prior, " "});
        }
    }
    lattice.finish();
    return told.decision == Decision::likeliest ? lattice.likeliest_text()
                                                : lattice.posterior_text();
}

std::vector<bool> keyed_grid(std::string_view text) {
    const auto elements = morse::timed_elements(text);
    assert(elements.ok());
    std::vector<bool> grid;
    for (const morse::TimedElement& element : *elements) {
        grid.insert(grid.end(), static_cast<std::size_t>(element.units),
                    morse::is_mark(element.kind));
    }
    return grid;
}

}  // namespace skedlark::accuracy
