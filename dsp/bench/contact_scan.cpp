#include "dsp/bench/contact_scan.h"

#include <algorithm>
#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>

#include "dsp/bench/contact_fit.h"
#include "dsp/bench/quadratic_tail.h"

namespace skedlark::bench {
namespace {

constexpr double kStepS = 0.000125;
constexpr double kSegmentS = 2.0;
constexpr double kLengthsS[] = {0.00025, 0.0005, 0.001,  0.0014, 0.002, 0.0028, 0.004,
                                0.0056,  0.008,  0.0113, 0.016,  0.032, 0.064,  0.128};
constexpr double kShortestQuietS = 0.001;
constexpr double kLongestLoudS = 0.032;
// Longer windows would take a knock of the pitch for a loss of the tone.
constexpr double kLongestToneS = 0.016;
// How many independent looks a second of scanning at one length is worth, as far as false alarms go. With 2000, 0.3
// asked for gave 0.2 to 0.8 false dropouts in ten minutes, by ground (tests/accuracy/bench_events, contacts --hours).
constexpr double kLooksPerSecond = 5000.0;
constexpr double kLongGroupS = 0.3;
constexpr double kMarginS = 0.001;
constexpr double kMostMarginS = 0.07;

double noise_at_tone(const ContactLevels& levels, double rate_hz, int length) {
    double sum = 1.0;
    for (int lag = 1; lag < length && lag < static_cast<int>(levels.covariance.size()); ++lag) {
        const double turn = 2.0 * std::numbers::pi * levels.pitch_hz / rate_hz * lag;
        sum += 2.0 * (1.0 - static_cast<double>(lag) / length) *
               levels.covariance[static_cast<std::size_t>(lag)] * std::cos(turn);
    }
    return std::max(sum, 1e-3);
}

// Amplitude over noise deviation where the tone is weakest against it, but for one moment in ten.
double weak_ratio(const ContactLevels& levels) {
    std::vector<double> ratios;
    for (const Moment& m : levels.moments) {
        ratios.push_back(m.tone_amplitude / std::sqrt(std::max(m.noise_power, 1e-20)));
    }
    const auto tenth = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 10);
    std::nth_element(ratios.begin(), tenth, ratios.end());
    return *tenth;
}

void set_tone_limit(ScanLimit& limit, const ContactLevels& levels, double rate_hz, double ratio,
                    double chance) {
    const double variance = 2.0 * noise_at_tone(levels, rate_hz, limit.length) / limit.length;
    const double lambda = ratio * ratio / variance;
    const double sd = 1.0 / std::sqrt(lambda);
    if (lambda < 20.0) return;  // the tone says nothing at this length
    if (lambda > 1000.0) {
        const boost::math::normal normal;
        limit.tone_quiet = 1.0 + boost::math::quantile(normal, chance) * sd;
    } else {
        const boost::math::non_central_chi_squared law(2.0, lambda);
        limit.tone_quiet = std::sqrt(boost::math::quantile(law, chance) * variance) / ratio;
    }
    const double deep = std::max(0.0, limit.tone_quiet) / (1.0 + 2.33 * sd);
    limit.found_99 = std::max(limit.found_99, deep * deep);
}

struct Sums {
    std::vector<double> xx, xc, xs, c2, s2;
    void resize(std::size_t n) {
        for (auto* one : {&xx, &xc, &xs, &c2, &s2}) one->assign(n + 1, 0.0);
    }
    [[nodiscard]] ToneSums over(std::size_t from, std::size_t to) const {
        return {xx[to] - xx[from], xc[to] - xc[from], xs[to] - xs[from], c2[to] - c2[from],
                s2[to] - s2[from]};
    }
};

void add_up(std::span<const float> audio, FrameIndex start, double rate_hz,
            const ContactLevels& levels, Sums& sums) {
    sums.resize(audio.size());
    double phase = 0.0;
    std::size_t next_moment = 0;
    double step = 0.0;
    std::complex<double> turn = 1.0, now = 1.0;
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const auto x = static_cast<double>(audio[i]);
        sums.xx[i + 1] = sums.xx[i] + x * x;
        if (!levels.has_tone) continue;
        if (i == next_moment) {
            const double at_s = (static_cast<double>(start) + static_cast<double>(i)) / rate_hz;
            phase = std::arg(now);
            step = 2.0 * std::numbers::pi * levels.at(at_s).pitch_hz / rate_hz;
            turn = std::polar(1.0, step);
            now = std::polar(1.0, phase);
            next_moment = i + static_cast<std::size_t>(0.05 * rate_hz);
        }
        sums.xc[i + 1] = sums.xc[i] + x * now.real();
        sums.xs[i + 1] = sums.xs[i] + x * now.imag();
        const std::complex<double> twice = now * now;
        sums.c2[i + 1] = sums.c2[i] + twice.real();
        sums.s2[i + 1] = sums.s2[i] + twice.imag();
        now *= turn;
    }
}

double score_of(double power, double freedom) {
    const double p = std::max(power, 1e-8);
    return 0.5 * freedom * (p - 1.0 - std::log(p));
}

class Scanner {
 public:
    Scanner(double rate_hz, const ContactLevels& levels, std::span<const ScanLimit> limits)
        : rate_hz_(rate_hz), levels_(levels), limits_(limits) {
        for (const ScanLimit& limit : limits) {
            freedom_.push_back(degrees_of_freedom(levels.covariance, limit.length));
        }
    }

    void scan(std::span<const float> audio, FrameIndex start, std::size_t begins_below,
              std::vector<Suspect>& found) {
        add_up(audio, start, rate_hz_, levels_, sums_);
        const auto step = std::max<std::size_t>(1, static_cast<std::size_t>(kStepS * rate_hz_));
        for (std::size_t n = 0; n < limits_.size(); ++n) {
            const auto length = static_cast<std::size_t>(limits_[n].length);
            for (std::size_t at = 0; at < begins_below && at + length <= audio.size(); at += step) {
                judge(n, at, start, found);
            }
        }
    }

 private:
    void judge(std::size_t n, std::size_t at, FrameIndex start, std::vector<Suspect>& found) const {
        const ScanLimit& limit = limits_[n];
        const auto length = static_cast<std::size_t>(limit.length);
        const auto count = static_cast<double>(length);
        const double middle_s =
            (static_cast<double>(start) + static_cast<double>(at) + 0.5 * count) / rate_hz_;
        const Moment& usual = levels_.at(middle_s);
        const double power = (sums_.xx[at + length] - sums_.xx[at]) / count;
        bool quiet = power < limit.quiet * usual.noise_power;
        bool loud = false;
        if (!levels_.has_tone) {
            loud = power > limit.loud * usual.noise_power;
        } else {
            const Coefficients tone = solve_tone(sums_.over(at, at + length), count);
            const double amplitude = std::hypot(tone.cosine, tone.sine);
            const bool holds_cycle = count * usual.pitch_hz >= rate_hz_;
            if (holds_cycle) quiet = quiet || amplitude < limit.tone_quiet * usual.tone_amplitude;
            if (count * usual.pitch_hz >= 1.5 * rate_hz_) {
                loud = power - tone.power_taken / count > limit.loud * usual.noise_power;
            } else {
                // The tone's greatest share, by the triangle inequality.
                const double most =
                    usual.tone_amplitude + std::sqrt(limit.loud * usual.noise_power);
                loud = power > most * most;
            }
        }
        if (!quiet && !loud) return;
        const double relative = power / usual.power();
        const double score = loud ? score_of(power / usual.noise_power, freedom_[n])
                                  : score_of(relative, freedom_[n]);
        const auto from = start + static_cast<FrameIndex>(at);
        found.push_back({from, from + limit.length, loud, score});
    }

    double rate_hz_;
    const ContactLevels& levels_;
    std::span<const ScanLimit> limits_;
    std::vector<double> freedom_;
    Sums sums_;
};

// Finds the edges of one event between two frames.
class EdgeFinder {
 public:
    EdgeFinder(std::span<const float> audio, double rate_hz, const ContactLevels& levels)
        : audio_(audio), rate_hz_(rate_hz), levels_(levels) {
        const int length = std::min(static_cast<int>(0.008 * rate_hz),
                                    static_cast<int>(levels.covariance.size()) - 1);
        freedom_per_frame_ = degrees_of_freedom(levels.covariance, length) / length;
        step_ = std::max<std::size_t>(1, static_cast<std::size_t>(0.5 * kStepS * rate_hz));
    }

    [[nodiscard]] FittedEvent fit(FrameIndex low, FrameIndex high) {
        // The window that stood out most may lie anywhere in a dropout half as long again.
        const auto longest = static_cast<FrameIndex>(kMostMarginS * rate_hz_);
        const auto margin = std::max(static_cast<FrameIndex>(kMarginS * rate_hz_),
                                     std::min(longest, (high - low) / 2));
        first_ = std::max<FrameIndex>(0, low - margin);
        const auto end = std::min(static_cast<FrameIndex>(audio_.size()), high + margin);
        sum_up(end);
        const auto places = static_cast<std::size_t>(end - first_);
        std::size_t from = 0, to = places;
        std::size_t step = std::max(step_, places / 96);
        best(0, places, 0, places, step, from, to);
        while (step > step_) {
            const std::size_t reach = step;
            step = std::max(step_, step / 8);
            const std::size_t a = from, b = to;
            best(a > reach ? a - reach : 0, std::min(a + reach, places), b > reach ? b - reach : 0,
                 std::min(b + reach, places), step, from, to);
        }
        const auto length = static_cast<double>(to - from);
        return {first_ + static_cast<FrameIndex>(from), first_ + static_cast<FrameIndex>(to),
                (sums_[to] - sums_[from]) / length, std::max(1.0, freedom_per_frame_ * length)};
    }

 private:
    void sum_up(FrameIndex end) {
        sums_.assign(1, 0.0);
        for (FrameIndex i = first_; i < end; ++i) {
            const auto x = static_cast<double>(audio_[static_cast<std::size_t>(i)]);
            const double usual = levels_.at(static_cast<double>(i) / rate_hz_).power();
            sums_.push_back(sums_.back() + x * x / usual);
        }
    }
    void best(std::size_t from_low, std::size_t from_high, std::size_t to_low, std::size_t to_high,
              std::size_t step, std::size_t& from, std::size_t& to) const {
        double most = -1.0;
        for (std::size_t a = from_low; a < from_high; a += step) {
            for (std::size_t b = std::max(to_low, a + step_); b <= to_high; b += step) {
                const auto length = static_cast<double>(b - a);
                const double inside = (sums_[b] - sums_[a]) / length;
                const double score = score_of(inside, freedom_per_frame_ * length);
                if (score > most) {
                    most = score;
                    from = a;
                    to = b;
                }
            }
        }
    }

    std::span<const float> audio_;
    double rate_hz_;
    const ContactLevels& levels_;
    double freedom_per_frame_ = 1.0;
    std::size_t step_ = 1;
    FrameIndex first_ = 0;
    std::vector<double> sums_;
};

// Events of one group of overlapping suspects, the clearest first; what overlaps it goes with it.
void fit_group(std::vector<Suspect> group, EdgeFinder& edges, double rate_hz,
               std::vector<FittedEvent>& events) {
    FrameIndex low = group.front().from, high = group.front().to;
    for (const Suspect& s : group) {
        low = std::min(low, s.from);
        high = std::max(high, s.to);
    }
    if (static_cast<double>(high - low) > kLongGroupS * rate_hz) {
        events.push_back(edges.fit(low, high));
        return;
    }
    while (!group.empty()) {
        const auto best =
            std::max_element(group.begin(), group.end(),
                             [](const auto& a, const auto& b) { return a.score < b.score; });
        const FittedEvent event = edges.fit(best->from, best->to);
        events.push_back(event);
        const FrameIndex from = std::min(event.from, best->from), to = std::max(event.to, best->to);
        std::erase_if(group, [&](const Suspect& s) { return s.from < to && s.to > from; });
    }
}

}  // namespace

std::vector<ScanLimit> scan_limits(const ContactLevels& levels, double sample_rate_hz,
                                   double false_per_10_min, double least_depth_db) {
    std::vector<ScanLimit> limits;
    const double chance =
        false_per_10_min / (600.0 * kLooksPerSecond * static_cast<double>(std::size(kLengthsS)));
    const double ratio = levels.has_tone ? weak_ratio(levels) : 0.0;
    // Noise that swings by itself must fall farther: by as many deviations of its swing as the chance asks of a
    // normal.
    const double swing =
        std::exp(-boost::math::quantile(boost::math::complement(boost::math::normal(), chance)) *
                 levels.swing_nepers);
    const double least_fall = power_from_db(-least_depth_db),
                 least_rise = power_from_db(least_depth_db);
    for (const double length_s : kLengthsS) {
        ScanLimit limit;
        limit.length = static_cast<int>(std::lround(length_s * sample_rate_hz));
        limit.loud = std::numeric_limits<double>::infinity();
        if (limit.length < 2) continue;
        const auto weights = power_weights(levels.covariance, limit.length);
        if (length_s >= kShortestQuietS) {
            limit.quiet = std::min(swing * lower_limit(weights, chance), least_fall);
            limit.found_99 = limit.quiet / upper_limit(weights, 0.01);
            if (levels.has_tone && length_s <= kLongestToneS) {
                set_tone_limit(limit, levels, sample_rate_hz, ratio, chance);
                limit.tone_quiet = std::min(limit.tone_quiet, std::sqrt(least_fall));
            }
        }
        if (length_s <= kLongestLoudS)
            limit.loud = std::max(upper_limit(weights, chance) / swing, least_rise);
        limits.push_back(limit);
    }
    return limits;
}

std::vector<Suspect> scan_contacts(std::span<const float> audio, double sample_rate_hz,
                                   const ContactLevels& levels, std::span<const ScanLimit> limits) {
    Scanner scanner(sample_rate_hz, levels, limits);
    std::vector<Suspect> found;
    const auto segment = static_cast<std::size_t>(kSegmentS * sample_rate_hz);
    const auto overlap = static_cast<std::size_t>(limits.back().length);
    for (std::size_t at = 0; at < audio.size(); at += segment) {
        scanner.scan(audio.subspan(at, std::min(segment + overlap, audio.size() - at)),
                     static_cast<FrameIndex>(at), segment, found);
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.from < b.from; });
    return found;
}

std::vector<FittedEvent> fit_events(std::span<const float> audio, double sample_rate_hz,
                                    const ContactLevels& levels,
                                    std::span<const Suspect> suspects) {
    std::vector<FittedEvent> events;
    EdgeFinder edges(audio, sample_rate_hz, levels);
    std::vector<Suspect> group;
    FrameIndex end = 0;
    for (const Suspect& s : suspects) {
        if (!group.empty() && s.from > end) {
            fit_group(std::move(group), edges, sample_rate_hz, events);
            group.clear();
        }
        end = group.empty() ? s.to : std::max(end, s.to);
        group.push_back(s);
    }
    if (!group.empty()) fit_group(std::move(group), edges, sample_rate_hz, events);
    std::sort(events.begin(), events.end(),
              [](const auto& a, const auto& b) { return a.from < b.from; });
    return events;
}

}  // namespace skedlark::bench
