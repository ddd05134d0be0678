#include "dsp/copy/timing_model.h"

#include <algorithm>
#include <cmath>

namespace skedlark::copy {
namespace {

// Standard deviation of an edge's place, in frames, from sampling it in frames and from the receive
// filter. Two edges a length. Tried 0.2 to 0.6 at 12 to 50 wpm: flat between 0.25 and 0.45.
constexpr double kEdgeFrames = 0.30;
// Shortest and longest lengths kept: down to this much of the likeliest.
constexpr double kCut = 3e-4;
// Share of lengths that scatter kWideFactor times as much: a hand slips now and then, and one slip
// must not make a whole stretch unreadable.
constexpr double kWideShare = 0.06;
constexpr double kWideFactor = 2.0;
// Lengths are worked out anew when they have moved this much, relative.
constexpr double kMovedMean = 0.004;
constexpr double kMovedCv = 0.03;

void sum_up(LengthTable& table) {
    table.at_least.resize(table.odds.size());
    float sum = 0.0F;
    for (std::size_t i = table.odds.size(); i-- > 0;) {
        sum += table.odds[i];
        table.at_least[i] = std::min(sum, 1.0F);
    }
}

double normal_cdf(double x) { return 0.5 * std::erfc(-x * M_SQRT1_2); }

}  // namespace

Timing timing_of(const Hand& hand, double dot_frames) {
    return {{dot_frames, hand.dot_cv},
            {dot_frames * hand.dash, hand.dash_cv},
            {dot_frames * hand.element_gap, hand.element_gap_cv},
            {dot_frames * hand.character_gap, hand.character_gap_cv},
            {dot_frames * hand.word_gap, hand.word_gap_cv}};
}

Timing scaled(const Timing& timing, double factor) {
    Timing out = timing;
    for (Length* length :
         {&out.dot, &out.dash, &out.element_gap, &out.character_gap, &out.word_gap}) {
        length->mean_frames *= factor;
    }
    return out;
}

bool differ(const Timing& a, const Timing& b) {
    const auto moved = [](const Length& x, const Length& y) {
        return std::abs(x.mean_frames - y.mean_frames) > kMovedMean * y.mean_frames ||
               std::abs(x.cv - y.cv) > kMovedCv * y.cv;
    };
    return moved(a.dot, b.dot) || moved(a.dash, b.dash) || moved(a.element_gap, b.element_gap) ||
           moved(a.character_gap, b.character_gap) || moved(a.word_gap, b.word_gap);
}

const Hand& machine() {
    static const Hand hand{3.0, 1.0, 3.0, 7.0, 0.01, 0.01, 0.01, 0.01, 0.01};
    return hand;
}

const Hand& even_hand() {
    static const Hand hand{3.02, 1.0, 3.05, 7.1, 0.07, 0.05, 0.08, 0.10, 0.14};
    return hand;
}

const Hand& loose_hand() {
    static const Hand hand{3.3, 0.97, 3.3, 7.6, 0.17, 0.16, 0.20, 0.28, 0.33};
    return hand;
}

LengthTable length_table(const Length& length) {
    const double mean = std::max(length.mean_frames, 0.5);
    const double cv2 = length.cv * length.cv + 2.0 * kEdgeFrames * kEdgeFrames / (mean * mean);
    const double sigma = std::sqrt(std::log1p(cv2));
    const double mu = std::log(mean) - 0.5 * sigma * sigma;
    const auto cdf = [&](double x) {
        if (x <= 0.0) {
            return 0.0;
        }
        const double off = (std::log(x) - mu) / sigma;
        return (1.0 - kWideShare) * normal_cdf(off) + kWideShare * normal_cdf(off / kWideFactor);
    };
    // Outwards from the likeliest length, each bound worked out once.
    const int peak = std::max(1, static_cast<int>(std::lround(std::exp(mu - sigma * sigma))));
    const double below_peak = cdf(peak - 0.5);
    const double above_peak = cdf(peak + 0.5);
    const double least = kCut * (above_peak - below_peak);
    std::vector<float> shorter;
    double bound = below_peak;
    for (int frames = peak - 1; frames >= 1; --frames) {
        const double next = cdf(frames - 0.5);
        if (bound - next <= least) {
            break;
        }
        shorter.push_back(static_cast<float>(bound - next));
        bound = next;
    }
    LengthTable table;
    table.first = peak - static_cast<int>(shorter.size());
    table.odds.assign(shorter.rbegin(), shorter.rend());
    table.odds.push_back(static_cast<float>(above_peak - below_peak));
    bound = above_peak;
    for (int frames = peak + 1;; ++frames) {
        const double next = cdf(frames + 0.5);
        if (next - bound <= least) {
            break;
        }
        table.odds.push_back(static_cast<float>(next - bound));
        bound = next;
    }
    sum_up(table);
    return table;
}

LengthTable stray_table(double mean_frames, int first, int last) {
    LengthTable table;
    table.first = first;
    const double stay = std::exp(-1.0 / mean_frames);
    double odds = 1.0 - stay;
    for (int frames = first; frames <= last; ++frames) {
        table.odds.push_back(static_cast<float>(odds));
        odds *= stay;
    }
    sum_up(table);
    return table;
}

}  // namespace skedlark::copy
