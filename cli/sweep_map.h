// The where-is-it map of a sweep: read from its file, changed by what was heard, kept again.
//
// Stage:   cli. In: options, the dial, a finished sweep. Out: the map, the stretch to sweep next.
// Units:   divisions, seconds.
// Errors:  those of the map file; values out of range.
// Threads: none.
// Checked: tests/cli/sweep_test.cpp
#pragma once

#include <optional>
#include <string>

#include "cli/sweep_options.h"
#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"
#include "dsp/watch/sweep.h"

namespace skedlark::cli {

class SweepMap {
 public:
    // Goes on with the map in options.map where there is one; it must be of this receiver and
    // frequency.
    [[nodiscard]] static Result<SweepMap> open(const SweepOptions& options, const dial::Dial& dial,
                                               const dial::Setting& setting);

    [[nodiscard]] Status update(const watch::Sweep& sweep, double until_s);
    [[nodiscard]] Status raise(const watch::Sweep& sweep, const watch::SweepStation& station,
                               const watch::CallHeard& call, double seconds);
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

}  // namespace skedlark::cli
