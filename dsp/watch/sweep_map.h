// The where-is-it map of a sweep: read from its file, changed by what was heard, kept again.
//
// Stage:   watch. In: the dial, a finished sweep. Out: the map, the stretch to sweep next.
// Units:   divisions, seconds.
// Errors:  those of the map file; values out of range.
// Threads: none.
// Source:  none
// Checked: tests/dsp/watch/sweep_map_test.cpp, tests/cli/sweep_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"
#include "dsp/watch/sweep.h"

namespace skedlark::watch {

class SweepMap {
 public:
    // Goes on with the map in the file where there is one; it must be of this receiver and
    // frequency. An empty name: a fresh map, kept nowhere.
    [[nodiscard]] static Result<SweepMap> open(const std::string& file, const dial::Dial& dial,
                                               const dial::Setting& setting,
                                               dial::ChanceByRate chance);

    [[nodiscard]] Status update(const Sweep& sweep, double until_s);
    [[nodiscard]] Status raise(const Sweep& sweep, const SweepStation& station,
                               const CallHeard& call, double seconds);
    [[nodiscard]] Result<std::optional<dial::Stretch>> next_stretch() const;
    // Writes the file, where one was named.
    [[nodiscard]] Status keep() const;
    [[nodiscard]] const dial::PlaceMap& map() const { return map_; }

 private:
    SweepMap(std::string file, dial::ChanceByRate chance, dial::PlaceMap map,
             const dial::ReceiverAudio& audio, double khz_per_div);

    std::string file_;
    dial::ChanceByRate chance_;
    dial::PlaceMap map_;
    dial::ReceiverAudio audio_;
    double khz_per_div_;
};

}  // namespace skedlark::watch
