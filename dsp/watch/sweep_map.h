// The where-is-it map of a sweep: read from its file, changed by what was heard, kept again.
//
// Stage:   watch. In: a file's name, the dial, what is expected, a finished sweep. Out: the map, the stretch to sweep next.
// Units:   divisions, seconds.
// Shape:   one map a wanted station; an empty file name: kept in memory alone.
// Time:    none.
// Errors:  those of the map file; values out of range.
// Threads: values.
// Source:  none
// Checked: tests/dsp/watch/sweep_map_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"
#include "dsp/watch/sweep.h"

namespace skedlark::watch {

class SweepMap {
 public:
    // Goes on with the map in the file where there is one; it must be of this receiver and frequency.
    [[nodiscard]] static Result<SweepMap> open(const std::string& file,
                                               const dial::ChanceByRate& chance,
                                               const dial::Dial& dial,
                                               const dial::Setting& setting);

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
