#include "dsp/copy/key_posterior.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "dsp/copy/log_tables.h"

namespace skedlark::copy {
namespace {

constexpr auto kLn2 = static_cast<float>(std::numbers::ln2);

// Kinds of gap and mark in traffic: as in speed_scan.cpp.
constexpr std::array<float, 2> kMarkShares = {0.52F, 0.48F};
constexpr std::array<float, 3> kGapShares = {0.66F, 0.27F, 0.07F};
// Chance a frame that sending begins, and that it pauses after a mark.
constexpr double kStartOdds = 1.0 / 1000.0;
constexpr double kPauseOdds = 0.01;
// Beyond this, in natural logarithms, one term is all there is.
constexpr float kMostLog = 80.0F;

}  // namespace

KeyPosterior::KeyPosterior(int capacity)
    : mask_(std::bit_ceil(static_cast<std::size_t>(capacity)) - 1),
      sums_(mask_ + 1),
      factors_((mask_ + 1) * (kLongestMark + 1)) {}

std::int64_t KeyPosterior::oldest() const {
    return std::max(begin_, now_ - static_cast<std::int64_t>(mask_));
}

KeyPosterior::Lengths KeyPosterior::mix(std::span<const Length> kinds,
                                        std::span<const float> shares, int longest) {
    Lengths out;
    for (std::size_t k = 0; k < kinds.size(); ++k) {
        const LengthTable table = length_table(kinds[k]);
        const int last = std::min(table.last(), longest);
        if (out.last() < last) {
            out.odds.resize(static_cast<std::size_t>(last) + 1, 0.0F);
        }
        for (int length = table.first; length <= last; ++length) {
            out.odds[static_cast<std::size_t>(length)] +=
                shares[k] * table.odds[static_cast<std::size_t>(length - table.first)];
        }
    }
    out.first = static_cast<int>(
        std::find_if(out.odds.begin(), out.odds.end(), [](float x) { return x > 0.0F; }) -
        out.odds.begin());
    out.at_least = out.odds;
    for (std::size_t i = out.odds.size() - 1; i-- > 0;) {
        out.at_least[i] += out.at_least[i + 1];
    }
    return out;
}

void KeyPosterior::retime(const Timing& hand) {
    marks_ = mix(std::array{hand.dot, hand.dash}, kMarkShares, kLongestMark);
    gaps_ = mix(std::array{hand.element_gap, hand.character_gap, hand.word_gap}, kGapShares,
                static_cast<int>(mask_) / 2);
}

void KeyPosterior::begin(std::int64_t at, const Timing& hand) {
    begin_ = now_ = at;
    retime(hand);
    sums_[slot(at)] = {0.0, kStartOdds, 1.0, 0, 0};
}

void KeyPosterior::advance(const MarkEvidence& evidence) {
    ++now_;
    const LogTables& tables = log_tables();
    Sums& here = sums_[slot(now_)];
    here = {};
    const auto kept =
        static_cast<int>(std::min(now_ - oldest(), now_ - std::max(begin_, evidence.oldest())));
    std::array<float, kLongestMark> ratios;
    here.longest = evidence.log_ratios(
        now_, std::span(ratios).first(static_cast<std::size_t>(std::min(marks_.last(), kept))), {},
        true);
    // On the scale of the best of the terms, so that none is beyond a float.
    const Sums& before = sums_[slot(now_ - 1)];
    for (int length = 1; length <= here.longest; ++length) {
        ratios[length - 1] +=
            kLn2 * static_cast<float>(sums_[slot(now_ - length)].exponent - before.exponent);
    }
    float most = 0.0F;
    for (int length = 1; length <= here.longest; ++length) {
        if (marks_.odds[length] > 0.0F) {
            most = std::max(most, ratios[length - 1]);
        }
    }
    const int up = static_cast<int>(std::ceil(most / kLn2));
    most = kLn2 * static_cast<float>(up);
    for (int length = 1; length <= here.longest; ++length) {
        factor(now_, length) = tables.exp(std::clamp(ratios[length - 1] - most, -1e6F, kMostLog));
        here.mark_end += static_cast<double>(marks_.odds[length] * factor(now_, length)) *
                         sums_[slot(now_ - length)].mark_begin;
    }
    here.exponent = before.exponent + up;
    const int longest_gap = std::min(gaps_.last(), static_cast<int>(now_ - oldest()));
    for (int length = 1; length <= longest_gap; ++length) {
        const double odds = static_cast<double>(gaps_.odds[length]);
        const Sums& past = sums_[slot(now_ - length)];
        if (odds > 0.0 && past.mark_end > 0.0) {
            here.mark_begin += odds * past.mark_end * gap_factor(now_ - length, now_);
        }
    }
    const double step = gap_factor(now_ - 1, now_);
    here.idle = step * (before.idle * (1.0 - kStartOdds) + before.mark_end * kPauseOdds);
    here.mark_begin += here.idle * kStartOdds;
    // Brought back to about 1.
    const double sum = here.mark_end + here.mark_begin + here.idle;
    if (sum > 0.0) {
        const int more = std::ilogb(sum);
        const double down = std::ldexp(1.0, -more);
        here.mark_end *= down;
        here.mark_begin *= down;
        here.idle *= down;
        here.exponent += more;
        const auto lift = static_cast<float>(down);
        for (int length = 1; length <= here.longest; ++length) {
            factor(now_, length) = std::min(factor(now_, length) * lift, 1e30F);
        }
    }
}

// All ways to cut the audio up to now, on the scale of now.
double KeyPosterior::total() const {
    double sum = sums_[slot(now_)].idle;
    const auto kept = static_cast<int>(now_ - oldest());
    for (int length = 1; length <= std::min(gaps_.last(), kept); ++length) {
        sum += static_cast<double>(gaps_.at_least[static_cast<std::size_t>(length)]) *
               sums_[slot(now_ - length)].mark_end * gap_factor(now_ - length, now_);
    }
    for (int length = 1; length <= std::min({marks_.last(), sums_[slot(now_)].longest, kept});
         ++length) {
        sum += static_cast<double>(marks_.at_least[static_cast<std::size_t>(length)] *
                                   factor(now_, length)) *
               sums_[slot(now_ - length)].mark_begin;
    }
    return sum;
}

// What can follow boundary t: sums over all that comes after a mark that ends there, one that
// begins there, silence. What is under way at now counts with the odds of lasting at least so long.
KeyPosterior::After KeyPosterior::after(std::int64_t t, std::span<const After> later) const {
    After here;
    const auto left = static_cast<int>(now_ - t);
    if (left == 0) {
        here.idle = 1.0;
        return here;
    }
    const auto at = [&](int length) -> const After& {
        return later[later.size() - static_cast<std::size_t>(left - length) - 1];
    };
    const double step = gap_factor(t, t + 1);
    here.idle = step * at(1).idle * (1.0 - kStartOdds);
    here.mark_end = step * at(1).idle * kPauseOdds;
    for (int length = gaps_.first; length <= std::min(gaps_.last(), left); ++length) {
        here.mark_end += static_cast<double>(gaps_.odds[static_cast<std::size_t>(length)]) *
                         gap_factor(t, t + length) * at(length).mark_begin;
    }
    if (left <= gaps_.last()) {
        here.mark_end += static_cast<double>(gaps_.at_least[static_cast<std::size_t>(left)]) *
                         gap_factor(t, now_);
    }
    for (int length = marks_.first; length <= std::min(marks_.last(), left); ++length) {
        if (length <= sums_[slot(t + length)].longest) {
            here.mark_begin += static_cast<double>(marks_.odds[static_cast<std::size_t>(length)] *
                                                   factor(t + length, length)) *
                               at(length).mark_end;
        }
    }
    if (left <= std::min(marks_.last(), sums_[slot(now_)].longest)) {
        here.mark_begin += static_cast<double>(marks_.at_least[static_cast<std::size_t>(left)] *
                                               factor(now_, left));
    }
    here.idle += kStartOdds * here.mark_begin;
    return here;
}

void KeyPosterior::down(std::int64_t from, std::span<float> out) const {
    const auto frames = static_cast<int>(now_ - from);
    std::vector<After> later(static_cast<std::size_t>(frames) + 1);  // in order of time
    for (int t = frames; t >= 0; --t) {
        later[static_cast<std::size_t>(t)] =
            after(from + t, std::span(later).subspan(static_cast<std::size_t>(t) + 1));
    }
    const double all = total();
    // The share of each mark, laid over its frames.
    std::vector<double> change(static_cast<std::size_t>(frames) + 1, 0.0);
    for (int t = 1; t <= frames; ++t) {
        const std::int64_t at = from + t;
        const int longest =
            std::min({marks_.last(), sums_[slot(at)].longest, static_cast<int>(at - oldest())});
        for (int length = 1; length <= longest; ++length) {
            const auto l = static_cast<std::size_t>(length);
            const double ends = t == frames ? static_cast<double>(marks_.at_least[l])
                                            : static_cast<double>(marks_.odds[l]) *
                                                  later[static_cast<std::size_t>(t)].mark_end;
            const double weight = sums_[slot(at - length)].mark_begin *
                                  static_cast<double>(factor(at, length)) * ends;
            change[static_cast<std::size_t>(std::max(0, t - length))] += weight;
            change[static_cast<std::size_t>(t)] -= weight;
        }
    }
    double sum = 0.0;
    for (int i = 0; i < frames; ++i) {
        sum += change[static_cast<std::size_t>(i)];
        out[static_cast<std::size_t>(i)] =
            all > 0.0 ? static_cast<float>(std::clamp(sum / all, 0.0, 1.0)) : 0.0F;
    }
}

}  // namespace skedlark::copy
