#include "dsp/watch/sweep_map.h"

#include <algorithm>
#include <utility>

#include "dsp/dial/map_file.h"

namespace skedlark::watch {
namespace {

constexpr double kWindowS = 600.0;
// Advised: slower is hard to keep even, faster too short to be heard.
constexpr double kSlowestHzPerS = 250.0;
constexpr double kFastestHzPerS = 5000.0;

Result<dial::PlaceMap> old_or_fresh(const std::string& file, const dial::Dial& dial,
                                    const dial::Setting& setting) {
    if (!file.empty()) {
        auto old = dial::read_map(file, dial, setting.mhz);
        if (old || old.error().code != ErrorCode::not_found) return old;
    }
    return dial::PlaceMap::create(dial, setting);
}

}  // namespace

SweepMap::SweepMap(std::string file, dial::ChanceByRate chance, dial::PlaceMap map,
                   const dial::ReceiverAudio& audio, double khz_per_div)
    : file_(std::move(file)),
      chance_(std::move(chance)),
      map_(std::move(map)),
      audio_(audio),
      khz_per_div_(khz_per_div) {}

Result<SweepMap> SweepMap::open(const std::string& file, const dial::Dial& dial,
                                const dial::Setting& setting, dial::ChanceByRate chance) {
    auto map = old_or_fresh(file, dial, setting);
    if (!map) return map.error();
    return SweepMap(file, std::move(chance), *std::move(map), dial.receiver().audio,
                    setting.khz_per_div);
}

Status SweepMap::update(const Sweep& sweep, double until_s) {
    return sweep.update(map_, chance_, until_s);
}

Status SweepMap::raise(const Sweep& sweep, const SweepStation& station, const CallHeard& call,
                       double seconds) {
    return sweep.raise(map_, chance_, station, call, seconds);
}

Result<std::optional<dial::Stretch>> SweepMap::next_stretch() const {
    const double fastest = 0.06 * kFastestHzPerS / khz_per_div_;
    const double slowest = std::clamp(0.06 * kSlowestHzPerS / khz_per_div_, 0.01, 29.0);
    return dial::next_stretch(map_, chance_,
                              {.window_s = kWindowS,
                               .run_on_div = dial::run_on_div(audio_, khz_per_div_),
                               .slowest_div_per_min = slowest,
                               .fastest_div_per_min = std::clamp(fastest, 1.1 * slowest, 33.0)});
}

Status SweepMap::keep() const {
    if (file_.empty()) return Done{};
    return dial::write_map(file_, map_);
}

}  // namespace skedlark::watch
