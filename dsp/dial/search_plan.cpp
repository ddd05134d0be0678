#include "dsp/dial/search_plan.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

constexpr double kLeastChance = 1e-6;  // less is no reason to turn the dial

struct Interval {
    std::size_t from = 0, to = 0;  // cells, to not included
    double value = 0.0;
};

// The interval of least to most cells with the largest sum of gain minus price a cell: sums from the
// start, and the smallest of those that are near enough behind.
Interval best_sum(const std::vector<double>& sums, double price, std::size_t least,
                  std::size_t most) {
    const auto key = [&](std::size_t i) { return sums[i] - price * static_cast<double>(i); };
    Interval best{0, 0, -1e300};
    std::vector<std::size_t> starts;  // by rising key, from `first` on
    starts.reserve(sums.size());
    std::size_t first = 0;
    for (std::size_t to = least; to < sums.size(); ++to) {
        const std::size_t fresh = to - least;
        while (starts.size() > first && key(starts.back()) >= key(fresh)) starts.pop_back();
        starts.push_back(fresh);
        while (to - starts[first] > most) ++first;
        const double value = key(to) - key(starts[first]);
        if (value > best.value) best = {starts[first], to, value};
    }
    return best;
}

// All that one speed offers on a map.
struct Speed {
    double div_per_min = 0.0;
    double cell_s = 0.0;                       // to cross a cell
    double fixed_s = 0.0;                      // for each stretch, however short
    std::vector<PlaceMap::ByLevel> noticed{};  // in each cell
    std::vector<double> sums{};                // gain of all cells before this one

    [[nodiscard]] double gain(const Interval& i) const { return sums[i.to] - sums[i.from]; }
    [[nodiscard]] double seconds(const Interval& i) const {
        return fixed_s + cell_s * static_cast<double>(i.to - i.from);
    }
};

class Search {
 public:
    Search(const PlaceMap& map, const ChanceByRate& chance, const SearchConfig& config)
        : low_div_(map.low_div()),
          step_div_(map.step_div()),
          cells_(map.cells()),
          config_(config),
          least_(std::clamp<std::size_t>(
              static_cast<std::size_t>(std::ceil(config.shortest_div / step_div_ - 1e-9)), 1,
              cells_)) {
        for (int n = 0; n < kSpeeds; ++n) add_speed(n, map, chance);
        look_at(map);
    }

    // What the map holds now; it must be the one of before, after more passes.
    void look_at(const PlaceMap& map) {
        for (Speed& speed : speeds_) {
            for (std::size_t i = 0; i < cells_; ++i) {
                const PlaceMap::ByLevel& here = map.by_level(i);
                speed.sums[i + 1] =
                    speed.sums[i] +
                    std::inner_product(here.begin(), here.end(), speed.noticed[i].begin(), 0.0);
            }
        }
    }
    [[nodiscard]] std::optional<Stretch> best_per_second(double window_s) const {
        std::optional<Stretch> best;
        for (const Speed& speed : speeds_) {
            const std::size_t most = most_cells(speed, window_s);
            if (most < least_) continue;
            const Stretch found = stretch(speed, best_ratio(speed, most));
            if (!best || found.chance / found.seconds > best->chance / best->seconds) best = found;
        }
        return useful(best);
    }
    // The one stretch that gains most in the time.
    [[nodiscard]] std::optional<Stretch> best_single(double window_s) const {
        std::optional<Stretch> best;
        for (const Speed& speed : speeds_) {
            const std::size_t most = most_cells(speed, window_s);
            if (most < least_) continue;
            const Stretch found = stretch(speed, best_sum(speed.sums, 0.0, least_, most));
            if (!best || found.chance > best->chance) best = found;
        }
        return useful(best);
    }

 private:
    void add_speed(int n, const PlaceMap& map, const ChanceByRate& chance) {
        Speed speed;
        speed.div_per_min = config_.slowest_div_per_min *
                            std::pow(config_.fastest_div_per_min / config_.slowest_div_per_min,
                                     static_cast<double>(n) / (kSpeeds - 1));
        speed.cell_s = 60.0 * step_div_ / speed.div_per_min;
        speed.fixed_s = config_.setting_s + 120.0 * config_.run_on_div / speed.div_per_min;
        speed.sums.resize(cells_ + 1, 0.0);
        speed.noticed.resize(cells_);
        for (std::size_t i = 0; i < cells_; ++i) {
            const double rate_hz_per_s = 1000.0 * map.khz_per_div(i) * speed.div_per_min / 60.0;
            for (std::size_t level = 0; level < kLevels; ++level) {
                speed.noticed[i][level] = chance.at(rate_hz_per_s, level);
            }
        }
        speeds_.push_back(std::move(speed));
    }

    [[nodiscard]] std::size_t most_cells(const Speed& speed, double window_s) const {
        const double room = (window_s - speed.fixed_s) / speed.cell_s + 1e-9;
        return room < 1.0 ? 0 : std::min(cells_, static_cast<std::size_t>(std::min(room, 1e6)));
    }

    // Largest gain for each second: the price of time is raised until no interval is worth it.
    [[nodiscard]] Interval best_ratio(const Speed& speed, std::size_t most) const {
        Interval best = best_sum(speed.sums, 0.0, least_, most);
        for (int n = 0; n < 50; ++n) {
            const double price = speed.gain(best) / speed.seconds(best);
            const Interval next = best_sum(speed.sums, price * speed.cell_s, least_, most);
            if (next.value <= price * speed.fixed_s + 1e-15) break;
            best = next;
        }
        return best;
    }

    [[nodiscard]] Stretch stretch(const Speed& speed, const Interval& i) const {
        const auto edge = [&](std::size_t cell) {
            return low_div_ + static_cast<double>(cell) * step_div_;
        };
        return {edge(i.from),      edge(i.to),       config_.run_on_div,
                speed.div_per_min, speed.seconds(i), speed.gain(i)};
    }
    [[nodiscard]] static std::optional<Stretch> useful(const std::optional<Stretch>& found) {
        return found && found->chance >= kLeastChance ? found : std::nullopt;
    }

    double low_div_, step_div_;
    std::size_t cells_;
    const SearchConfig& config_;
    std::size_t least_;  // cells
    std::vector<Speed> speeds_{};
};

Status check_config(const SearchConfig& config) {
    for (const Status& s :
         {within("window_s", config.window_s, 1.0, 86400.0),
          within("setting_s", config.setting_s, 0.0, 600.0),
          within("run_on_div", config.run_on_div, 0.0, 100.0),
          within("slowest_div_per_min", config.slowest_div_per_min, 0.01, 1000.0),
          within("fastest_div_per_min", config.fastest_div_per_min, config.slowest_div_per_min,
                 1000.0),
          within("shortest_div", config.shortest_div, 0.0, 100.0),
          within("most_stretches", static_cast<double>(config.most_stretches), 0.0, 1000.0)}) {
        if (!s) return s;
    }
    return Done{};
}

// The plan and one stretch more, whose chance holds where all before it found nothing.
SearchPlan with(SearchPlan plan, const std::optional<Stretch>& next) {
    if (!next) return plan;
    plan.chance += (1.0 - plan.chance) * next->chance;
    plan.seconds += next->seconds;
    plan.stretches.push_back(*next);
    return plan;
}

}  // namespace

Result<SearchPlan> plan_search(const PlaceMap& map, const ChanceByRate& chance,
                               const SearchConfig& config) {
    if (Status s = check_config(config); !s) return s.error();
    SearchPlan greedy;
    SearchPlan best;
    PlaceMap supposed = map;
    Search search(map, chance, config);
    for (;;) {
        const double left_s = config.window_s - greedy.seconds;
        const SearchPlan ended = with(greedy, search.best_single(left_s));
        if (ended.chance > best.chance) best = ended;
        if (greedy.stretches.size() >= config.most_stretches) break;
        const auto next = search.best_per_second(left_s);
        if (!next) break;
        greedy = with(greedy, next);
        const Pass unheard{next->from_div, next->to_div, next->div_per_min, 0.0, {}};
        if (Status s = supposed.heard(unheard, chance); !s) return s.error();
        search.look_at(supposed);
    }
    return greedy.chance > best.chance ? greedy : best;
}

Result<std::optional<Stretch>> next_stretch(const PlaceMap& map, const ChanceByRate& chance,
                                            const SearchConfig& config) {
    Result<SearchPlan> plan = plan_search(map, chance, config);
    if (!plan) return plan.error();
    if (plan->stretches.empty()) return std::optional<Stretch>{};
    return std::optional<Stretch>{plan->stretches.front()};
}

}  // namespace skedlark::dial
