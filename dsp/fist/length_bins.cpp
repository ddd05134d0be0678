#include "dsp/fist/length_bins.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace skedlark::fist {
namespace {

LengthBins empty_bins(double longest_units) {
    LengthBins out;
    out.counts.assign(static_cast<std::size_t>(std::lround(longest_units / kBinUnits)), 0);
    return out;
}

void add(LengthBins& bins, double units) {
    const double place = std::max(0.0, units) / kBinUnits;
    if (!(place < static_cast<double>(bins.counts.size()))) {
        ++bins.beyond;
        return;
    }
    ++bins.counts[static_cast<std::size_t>(place)];
}

}  // namespace

int LengthBins::most() const {
    return counts.empty() ? 0 : *std::max_element(counts.begin(), counts.end());
}

int LengthBins::total() const { return std::accumulate(counts.begin(), counts.end(), beyond); }

LengthBins mark_bins(const Keying& keying, double unit_s) {
    LengthBins out = empty_bins(kLongestMarkUnits);
    if (!(unit_s > 0.0)) return out;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (!keying.marks[i].beside_lost) add(out, keying.marks[i].length_s() / unit_s);
    }
    return out;
}

LengthBins gap_bins(const Keying& keying, const Sending& sending, double unit_s) {
    LengthBins out = empty_bins(kLongestGapUnits);
    if (!(unit_s > 0.0)) return out;
    for (std::size_t i = 0; i + 1 < keying.marks.size(); ++i) {
        const bool lost = keying.marks[i].beside_lost || keying.marks[i + 1].beside_lost;
        const bool pause = i < sending.kinds.pauses.size() && sending.kinds.pauses[i] != 0;
        if (!lost && !pause) add(out, keying.gap_s(i) / unit_s);
    }
    return out;
}

}  // namespace skedlark::fist
