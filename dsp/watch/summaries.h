// What was copied of each tone, put together over every time it was listened to.
//
// Stage:   watch. In: summaries of listeners, as they end. Out: one ToneSummary a tone.
// Units:   as ToneSummary.
// Shape:   any number of additions.
// Time:    later additions count as later in time: their pitch, level and timing stand.
// Errors:  none.
// Threads: one.
// Source:  none
// Checked: tests/dsp/watch/summaries_test.cpp
#pragma once

#include <map>
#include <vector>

#include "dsp/core/events.h"

namespace skedlark::watch {

class Summaries {
 public:
    void add(const ToneSummary& summary);
    // Most text first, text weighed by how sure it is; then by number.
    [[nodiscard]] std::vector<ToneSummary> in_order() const;

 private:
    std::map<int, ToneSummary> tones_;
};

}  // namespace skedlark::watch
