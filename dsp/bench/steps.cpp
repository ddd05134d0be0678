#include "dsp/bench/steps.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "dsp/bench/batch_means.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr int kMostBatches = 32;
constexpr double kPricePerLog = 3.0;
// Longer recordings are looked at in coarser blocks, so that the search stays quick.
constexpr std::size_t kMostBlocks = 3000;
constexpr double kSameLevel = 3.0;  // standard deviations between neighbours that are one stretch
constexpr double kQuietest = 1e-20;

// Variance of one value about an even level, by differences of neighbours, so that steps hardly count.
// A tone is far more even than noise: the least even part of the recording decides.
double variance_of(const std::vector<double>& db) {
    constexpr std::size_t kWindow = 24;
    std::vector<double> squares;
    for (std::size_t n = 1; n < db.size(); ++n)
        squares.push_back(0.5 * (db[n] - db[n - 1]) * (db[n] - db[n - 1]));
    double most = 0.0;
    for (std::size_t from = 0; from < squares.size(); from += kWindow / 2) {
        const auto to = std::min(squares.size(), from + kWindow);
        if (to - from < kWindow / 2 && from > 0) break;
        std::vector<double> some(squares.begin() + static_cast<std::ptrdiff_t>(from),
                                 squares.begin() + static_cast<std::ptrdiff_t>(to));
        const auto middle = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
        std::nth_element(some.begin(), middle, some.end());
        most = std::max(most, *middle);
    }
    // Median of chi-square of one degree of freedom: 0.4549. Swings of 0.05 dB are no steps.
    return std::max(most / 0.4549, 0.0025);
}

}  // namespace

Result<BlockPowers> block_powers(std::span<const float> audio, double sample_rate_hz,
                                 const Band& band) {
    // The ends are faded when cut to the band: lengthened so that nothing of the recording is lost.
    const auto extra =
        static_cast<std::size_t>(2.0 * kFadeShare * static_cast<double>(audio.size()));
    std::vector<float> longer(extra, 0.0F);
    longer.insert(longer.end(), audio.begin(), audio.end());
    for (std::size_t n = 0; n < extra && n < audio.size(); ++n) {
        longer[extra - 1 - n] = audio[n];
        longer.push_back(audio[audio.size() - 1 - n]);
    }
    const auto cut = cut_to_band(longer, sample_rate_hz, band);
    if (!cut) return cut.error();
    BlockPowers out;
    const auto length = static_cast<std::size_t>(kBlockS * sample_rate_hz);
    out.block_s = static_cast<double>(length) / sample_rate_hz;
    for (std::size_t from = 0; from + length <= audio.size(); from += length) {
        double sum = 0.0;
        for (std::size_t n = from; n < from + length; ++n) {
            const auto x = static_cast<double>(cut->audio[extra + n]);
            sum += x * x;
        }
        out.power.push_back(sum / static_cast<double>(length));
    }
    return out;
}

BlockPowers::Mean BlockPowers::mean(std::span<const std::pair<double, double>> stretches,
                                    double guard_s) const {
    std::vector<double> some;
    for (const auto& [from_s, to_s] : stretches) {
        for (std::size_t b = 0; b < power.size(); ++b) {
            const double at = static_cast<double>(b) * block_s;
            if (at >= from_s + guard_s - 1e-9 && at + block_s <= to_s - guard_s + 1e-9)
                some.push_back(power[b]);
        }
    }
    Mean out;
    out.seconds = static_cast<double>(some.size()) * block_s;
    if (some.size() < 4) return out;
    const int batches = static_cast<int>(std::min<std::size_t>(kMostBatches, some.size() / 2));
    const double mean = mean_of(some).value;
    out.power = {mean, mean_of(batch_means(some, batches)).uncertainty_95};
    return out;
}

std::vector<EvenStretch> find_stretches(const BlockPowers& blocks) {
    const std::size_t join = 1 + blocks.power.size() / kMostBlocks;
    std::vector<double> db;
    for (std::size_t b = 0; b + join <= blocks.power.size(); b += join) {
        double sum = 0.0;
        for (std::size_t n = 0; n < join; ++n) sum += blocks.power[b + n];
        db.push_back(db_from_power(std::max(sum / static_cast<double>(join), kQuietest)));
    }
    const double block_s = blocks.block_s * static_cast<double>(join);
    const auto shortest =
        std::max<std::size_t>(4, static_cast<std::size_t>(std::ceil(kShortestStretchS / block_s)));
    if (db.size() < shortest) return {};
    std::vector<double> sum(db.size() + 1), square(db.size() + 1);
    for (std::size_t n = 0; n < db.size(); ++n) {
        sum[n + 1] = sum[n] + db[n];
        square[n + 1] = square[n] + db[n] * db[n];
    }
    const double variance = variance_of(db);
    const double price = kPricePerLog * std::log(static_cast<double>(db.size()));
    const auto cost = [&](std::size_t from, std::size_t to) {
        const double s = sum[to] - sum[from];
        return (square[to] - square[from] - s * s / static_cast<double>(to - from)) / variance;
    };
    std::vector<double> best(db.size() + 1, std::numeric_limits<double>::infinity());
    std::vector<std::size_t> before(db.size() + 1, 0);
    best[0] = 0.0;
    for (std::size_t to = shortest; to <= db.size(); ++to) {
        for (std::size_t from = 0; from + shortest <= to; ++from) {
            if (from != 0 && from < shortest) continue;
            const double now = best[from] + cost(from, to) + price;
            if (now < best[to]) {
                best[to] = now;
                before[to] = from;
            }
        }
    }
    // The block in which the generator was switched is half of each: it must not make a stretch.
    const auto inner = [&](std::size_t from, std::size_t to) {
        return (sum[to - 1] - sum[from + 1]) / static_cast<double>(to - from - 2);
    };
    std::vector<std::pair<std::size_t, std::size_t>> parts;
    for (std::size_t to = db.size(); to > 0; to = before[to]) {
        const std::size_t from = before[to];
        if (!parts.empty()) {
            const auto [next_from, next_to] = parts.back();
            const double spread =
                std::sqrt(variance * (1.0 / static_cast<double>(to - from - 2) +
                                      1.0 / static_cast<double>(next_to - next_from - 2)));
            if (std::abs(inner(from, to) - inner(next_from, next_to)) < kSameLevel * spread) {
                parts.back().first = from;
                continue;
            }
        }
        parts.emplace_back(from, to);
    }
    std::vector<EvenStretch> out;
    for (auto part = parts.rbegin(); part != parts.rend(); ++part) {
        out.push_back({static_cast<double>(part->first) * block_s,
                       static_cast<double>(part->second) * block_s,
                       inner(part->first, part->second)});
    }
    return out;
}

}  // namespace skedlark::bench
