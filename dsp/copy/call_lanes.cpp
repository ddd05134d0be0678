#include "dsp/copy/call_lanes.h"

#include "dsp/core/vector_clones.h"

namespace skedlark::copy {

SKEDLARK_VECTOR_CLONES
Lanes over_gaps(const LanesPast& past, const LengthTable& lengths) {
    Lanes sum;
    // The boundary itself is not in the past yet: a gap of one step began at back(0).
    const Lanes* before = &past.back(lengths.first - 1);
    for (std::size_t i = 0; i < lengths.odds.size(); ++i) {
        const auto odds = static_cast<double>(lengths.odds[i]);
        const double* from = (before - i)->at.data();
        for (int l = 0; l < kCallLanes; ++l) sum.at[l] += odds * from[l];
    }
    return sum;
}

SKEDLARK_VECTOR_CLONES
Lanes over_marks(const LanesPast& past, const LengthTable& lengths,
                 const std::vector<Lanes>& marks) {
    Lanes sum;
    const Lanes* before = &past.back(lengths.first - 1);
    const Lanes* mark = &marks[static_cast<std::size_t>(lengths.first)];
    for (std::size_t i = 0; i < lengths.odds.size(); ++i) {
        const auto odds = static_cast<double>(lengths.odds[i]);
        const double* from = (before - i)->at.data();
        const double* speaks = (mark + i)->at.data();
        for (int l = 0; l < kCallLanes; ++l) sum.at[l] += odds * from[l] * speaks[l];
    }
    return sum;
}

}  // namespace skedlark::copy
