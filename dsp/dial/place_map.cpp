#include "dsp/dial/place_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>

#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxCells = 2000;
constexpr std::size_t kMaxCandidates = 10000;
// A steady carrier is that much less likely ours than a keyed one: what keeps still is not keyed,
// but a weak keyed station may be judged wrongly (5 % asked of the keying test).
constexpr double kSteadyOdds = 0.05;
constexpr double kCertain = 0.9999;  // no call is surer than that

Error wrong(const std::string& message) { return {ErrorCode::invalid_value, message}; }

double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double density(double offset, double sd) {
    const double z = offset / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double sum_of(const PlaceMap::ByLevel& levels) {
    return std::accumulate(levels.begin(), levels.end(), 0.0);
}

// Share of a cell that lies between two divisions known to within sd.
double covered(double cell_div, double step_div, double low, double high, double sd) {
    if (sd <= 0.0) {
        const double edge = cell_div - 0.5 * step_div;
        return std::clamp((std::min(high, edge + step_div) - std::max(low, edge)) / step_div, 0.0,
                          1.0);
    }
    return std::max(0.0, below((high - cell_div) / sd) - below((low - cell_div) / sd));
}

Status check_candidate(const Candidate& candidate) {
    if (Status s = within("candidate.div", candidate.div, kMinDiv, kMaxDiv); !s) return s;
    if (Status s = within("candidate.sd_div", candidate.sd_div, 1e-6, 100.0); !s) return s;
    return within("candidate.confidence", candidate.confidence, 0.0, 1.0);
}

Status check_pass(const Pass& pass) {
    if (Status s = within("from_div", pass.from_div, kMinDiv, kMaxDiv); !s) return s;
    if (Status s = within("to_div", pass.to_div, kMinDiv, kMaxDiv); !s) return s;
    if (Status s = within("div_per_min", pass.div_per_min, 1e-3, 1000.0); !s) return s;
    if (Status s = within("position_sd_div", pass.position_sd_div, 0.0, 100.0); !s) return s;
    for (const Candidate& candidate : pass.candidates) {
        if (Status s = check_candidate(candidate); !s) return s;
    }
    for (std::size_t i = 0; i < pass.noise.size(); ++i) {
        if (Status s = within("noise.div", pass.noise[i].div, kMinDiv, kMaxDiv); !s) return s;
        if (Status s = within("noise.over_usual_db", pass.noise[i].over_usual_db, -100.0, 100.0);
            !s)
            return s;
        if (i > 0 && !(pass.noise[i].div >= pass.noise[i - 1].div))
            return wrong(fmt::format("noise.div: {} follows {}; allowed: rising", pass.noise[i].div,
                                     pass.noise[i - 1].div));
    }
    return Done{};
}

// Straight lines between the places, level beyond the ends.
double noise_at(const std::vector<PassNoise>& noise, double div) {
    if (noise.empty()) return 0.0;
    const auto after =
        std::upper_bound(noise.begin(), noise.end(), div,
                         [](double at, const PassNoise& one) { return at < one.div; });
    if (after == noise.begin()) return noise.front().over_usual_db;
    if (after == noise.end()) return noise.back().over_usual_db;
    const PassNoise& before = *std::prev(after);
    const double share = (div - before.div) / (after->div - before.div);
    return before.over_usual_db + share * (after->over_usual_db - before.over_usual_db);
}

// Chances by whole decibels of noise: a map of many cells asks for few different ones.
class ChanceInNoise {
 public:
    explicit ChanceInNoise(const ChanceByRate& usual) : usual_(usual) {}
    const ChanceByRate& at(double over_usual_db) {
        const int db = static_cast<int>(std::lround(over_usual_db));
        if (db == 0) return usual_;
        const auto known = louder_.find(db);
        if (known != louder_.end()) return known->second;
        return louder_.emplace(db, usual_.in_noise(db)).first->second;
    }

 private:
    const ChanceByRate& usual_;
    std::map<int, ChanceByRate> louder_;
};

// Normalised Gaussian weights for 0, 1, 2, ... cells away.
std::vector<double> blur_kernel(double sd_cells) {
    const auto reach = static_cast<std::size_t>(std::ceil(4.0 * sd_cells));
    std::vector<double> kernel(reach + 1);
    for (std::size_t i = 0; i <= reach; ++i) kernel[i] = density(static_cast<double>(i), sd_cells);
    return kernel;
}

// Moves what each cell holds to its neighbours; what would leave the map stays at its cell's side.
void blur(std::vector<PlaceMap::ByLevel>& cells, const std::vector<double>& kernel) {
    std::vector<PlaceMap::ByLevel> moved(cells.size(), PlaceMap::ByLevel{});
    const auto size = static_cast<std::ptrdiff_t>(cells.size());
    const auto reach = static_cast<std::ptrdiff_t>(kernel.size()) - 1;
    for (std::ptrdiff_t from = 0; from < size; ++from) {
        const std::ptrdiff_t low = std::max<std::ptrdiff_t>(0, from - reach);
        const std::ptrdiff_t high = std::min(size - 1, from + reach);
        const auto weight = [&](std::ptrdiff_t to) {
            return kernel[static_cast<std::size_t>(std::abs(to - from))];
        };
        double all = 0.0;
        for (std::ptrdiff_t to = low; to <= high; ++to) all += weight(to);
        for (std::ptrdiff_t to = low; to <= high; ++to) {
            const double share = weight(to) / all;
            for (std::size_t level = 0; level < kLevels; ++level) {
                moved[static_cast<std::size_t>(to)][level] +=
                    share * cells[static_cast<std::size_t>(from)][level];
            }
        }
    }
    cells = std::move(moved);
}

}  // namespace

Result<PlaceMap> PlaceMap::create(const Dial& dial, const Setting& setting,
                                  const MapConfig& config) {
    for (const Status& s : {within("reach_sds", config.reach_sds, 2.0, 8.0),
                            within("least_reach_div", config.least_reach_div, 0.1, 1000.0),
                            within("elsewhere", config.elsewhere, 0.0, 0.9),
                            within("others_per_div", config.others_per_div, 0.001, 100.0)}) {
        if (!s) return s.error();
    }
    const Receiver& receiver = dial.receiver();
    PlaceMap map;
    map.state_.receiver = receiver.name;
    map.state_.band = dial.band().name;
    map.state_.wanted_mhz = setting.mhz;
    map.state_.others_per_div = config.others_per_div;
    const double reach = std::max(config.reach_sds * setting.sd_div, config.least_reach_div);
    map.state_.low_div = std::max(receiver.from_div, setting.div - reach);
    const double high = std::min(receiver.to_div, setting.div + reach);
    if (!(high > map.state_.low_div)) {
        return wrong(fmt::format("the setting, {:.2f}, lies off the dial, {} to {}", setting.div,
                                 receiver.from_div, receiver.to_div));
    }
    // Four cells in what the audio passband spans on the dial.
    const double span = 2e-3 * receiver.audio.high_hz / setting.khz_per_div;
    const double wish = std::clamp(span / 4.0, 0.005, 0.1);
    const double count = std::clamp(std::ceil((high - map.state_.low_div) / wish), 8.0,
                                    static_cast<double>(kMaxCells));
    map.state_.step_div = (high - map.state_.low_div) / count;
    map.state_.now.resize(static_cast<std::size_t>(count));
    for (std::size_t i = 0; i < map.state_.now.size(); ++i) {
        const double edge =
            map.state_.low_div + static_cast<double>(i) * map.state_.step_div - setting.div;
        const double mass =
            below((edge + map.state_.step_div) / setting.sd_div) - below(edge / setting.sd_div);
        map.state_.now[i].fill(mass / kLevels);
    }
    map.set_khz_per_div(dial);
    map.normalise();
    map.state_.elsewhere = map.state_.elsewhere_at_first = config.elsewhere;
    for (ByLevel& cell : map.state_.now) {
        for (double& value : cell) value *= 1.0 - config.elsewhere;
    }
    map.state_.left = map.state_.now;
    return map;
}

void PlaceMap::set_khz_per_div(const Dial& dial) {
    khz_per_div_.resize(state_.now.size());
    for (std::size_t i = 0; i < state_.now.size(); ++i)
        khz_per_div_[i] = dial.khz_per_div(div_of(i));
}

double PlaceMap::high_div() const {
    return state_.low_div + static_cast<double>(state_.now.size()) * state_.step_div;
}
double PlaceMap::div_of(std::size_t cell) const {
    return state_.low_div + (static_cast<double>(cell) + 0.5) * state_.step_div;
}
double PlaceMap::chance(std::size_t cell) const { return sum_of(state_.now[cell]); }

double PlaceMap::chance_between(double from_div, double to_div) const {
    const double low = std::min(from_div, to_div);
    const double high = std::max(from_div, to_div);
    double sum = 0.0;
    for (std::size_t i = 0; i < state_.now.size(); ++i) {
        const double edge = state_.low_div + static_cast<double>(i) * state_.step_div;
        const double inside = std::min(high, edge + state_.step_div) - std::max(low, edge);
        if (inside > 0.0) sum += chance(i) * inside / state_.step_div;
    }
    return sum;
}

double PlaceMap::chance_so_far() const {
    double left = state_.elsewhere_at_first;
    for (const ByLevel& cell : state_.left) left += sum_of(cell);
    return std::clamp(1.0 - left, 0.0, 1.0);
}

PlaceMap::Place PlaceMap::place(double chance_wanted) const {
    double total = 0.0;
    std::size_t best = 0;
    for (std::size_t i = 0; i < state_.now.size(); ++i) {
        total += chance(i);
        if (chance(i) > chance(best)) best = i;
    }
    const auto quantile = [&](double share) {
        double sum = 0.0;
        for (std::size_t i = 0; i < state_.now.size(); ++i) {
            const double here = chance(i);
            if (sum + here >= share * total && here > 0.0) {
                return state_.low_div +
                       (static_cast<double>(i) + (share * total - sum) / here) * state_.step_div;
            }
            sum += here;
        }
        return high_div();
    };
    const double tail = 0.5 * (1.0 - chance_wanted);
    return {div_of(best), quantile(tail), quantile(1.0 - tail)};
}

// Density of what is not our station where the candidate was met: the usual one, and whatever was
// already met there, for a station heard twice is one station.
double PlaceMap::others_at(const Candidate& candidate) const {
    double others = state_.others_per_div;
    for (const Candidate& before : state_.candidates) {
        others += density(candidate.div - before.div, std::hypot(candidate.sd_div, before.sd_div));
    }
    return others;
}

// For each cell, how much likelier the candidates are if our station stands there and was noticed
// than if it had nothing to do with them.
std::vector<double> PlaceMap::place_odds(const Pass& pass) const {
    std::vector<double> odds(state_.now.size(), 0.0);
    for (const Candidate& candidate : pass.candidates) {
        double weight = 1.0 / others_at(candidate);
        const double sure = std::min(candidate.confidence, kCertain);
        switch (candidate.heard) {
            case Heard::keyed:
                break;
            case Heard::steady:
                weight *= kSteadyOdds;
                break;
            // The call is what no other station sends: only a misreading gives it elsewhere.
            case Heard::expected_call:
                weight = 1.0 / ((1.0 - sure) * state_.others_per_div);
                break;
            case Heard::other_call:
                weight *= 1.0 - sure;
                break;
        }
        for (std::size_t i = 0; i < odds.size(); ++i) {
            odds[i] += weight * density(candidate.div - div_of(i), candidate.sd_div);
        }
    }
    return odds;
}

Status PlaceMap::heard(const Pass& pass, const ChanceByRate& chance) {
    if (Status s = check_pass(pass); !s) return s;
    if (state_.candidates.size() + pass.candidates.size() > kMaxCandidates) {
        return wrong(fmt::format("candidates: more than {} in one map", kMaxCandidates));
    }
    const std::vector<double> odds = place_odds(pass);
    const double low = std::min(pass.from_div, pass.to_div);
    const double high = std::max(pass.from_div, pass.to_div);
    ChanceInNoise chances(chance);
    for (std::size_t i = 0; i < state_.now.size(); ++i) {
        const double share = covered(div_of(i), state_.step_div, low, high, pass.position_sd_div);
        if (share <= 0.0 && odds[i] <= 0.0) continue;
        const double rate_hz_per_s = 1000.0 * khz_per_div_[i] * pass.div_per_min / 60.0;
        const ChanceByRate& here = chances.at(noise_at(pass.noise, div_of(i)));
        for (std::size_t level = 0; level < kLevels; ++level) {
            const double noticed = share * here.at(rate_hz_per_s, level);
            state_.now[i][level] *= 1.0 - noticed + noticed * odds[i];
            state_.left[i][level] *= 1.0 - noticed;
        }
    }
    state_.candidates.insert(state_.candidates.end(), pass.candidates.begin(),
                             pass.candidates.end());
    ++state_.passes;
    normalise();
    return Done{};
}

Status PlaceMap::drift(double sd_div) {
    if (Status s = within("drift sd_div", sd_div, 0.0, 100.0); !s) return s;
    const double sd_cells = sd_div / state_.step_div;
    if (sd_cells < 0.05) return Done{};  // below what a cell can hold
    const std::vector<double> kernel =
        blur_kernel(std::min(sd_cells, static_cast<double>(state_.now.size())));
    blur(state_.now, kernel);
    blur(state_.left, kernel);
    return Done{};
}

void PlaceMap::normalise() {
    double all = state_.elsewhere;
    for (const ByLevel& cell : state_.now) all += sum_of(cell);
    // All swept away: as far as can be told the station is as likely anywhere as before.
    if (!(all > 0.0) || !std::isfinite(all)) {
        for (ByLevel& cell : state_.now) cell.fill(1.0);
        state_.elsewhere = 0.0;
        all = static_cast<double>(kLevels * state_.now.size());
    }
    for (ByLevel& cell : state_.now) {
        for (double& value : cell) value *= 1.0 / all;
    }
    state_.elsewhere /= all;
}

Result<PlaceMap> PlaceMap::restore(const Dial& dial, const State& state) {
    for (const Status& s : {within("low_div", state.low_div, kMinDiv, kMaxDiv),
                            within("step_div", state.step_div, 1e-4, 100.0),
                            within("elsewhere", state.elsewhere, 0.0, 1.0),
                            within("elsewhere_at_first", state.elsewhere_at_first, 0.0, 1.0),
                            within("others_per_div", state.others_per_div, 0.001, 100.0),
                            within("passes", state.passes, 0.0, 1e9),
                            within("cells", static_cast<double>(state.now.size()), 1.0,
                                   static_cast<double>(kMaxCells))}) {
        if (!s) return s.error();
    }
    if (state.left.size() != state.now.size()) {
        return wrong(fmt::format("left: {} cells, allowed: as many as now, {}", state.left.size(),
                                 state.now.size()));
    }
    double sum = state.elsewhere;
    for (std::size_t i = 0; i < state.now.size(); ++i) {
        for (std::size_t level = 0; level < kLevels; ++level) {
            for (const double value : {state.now[i][level], state.left[i][level]}) {
                if (Status s = within("chance of a cell", value, 0.0, 1.0); !s) return s.error();
            }
            sum += state.now[i][level];
        }
    }
    if (!(std::abs(sum - 1.0) < 1e-3)) {
        return wrong(fmt::format("the chances sum to {}; allowed: 1", sum));
    }
    for (const Candidate& candidate : state.candidates) {
        if (Status s = check_candidate(candidate); !s) return s.error();
    }
    PlaceMap map;
    map.state_ = state;
    map.set_khz_per_div(dial);
    return map;
}

}  // namespace skedlark::dial
