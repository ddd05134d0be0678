#include "dsp/bench/curve.h"

#include <algorithm>
#include <cmath>

namespace skedlark::bench {

Curve thinned(Curve curve, std::size_t most) {
    const std::size_t count = curve.rows.size();
    most = std::max<std::size_t>(most, 1);
    if (count <= most) return curve;
    std::vector<CurveRow> rows;
    rows.reserve(most);
    for (std::size_t part = 0; part < most; ++part) {
        const std::size_t from = part * count / most;
        const std::size_t to = (part + 1) * count / most;
        CurveRow mean;
        for (std::size_t i = from; i < to; ++i) {
            mean.x += curve.rows[i].x;
            mean.y += curve.rows[i].y;
            mean.uncertainty_95 = std::hypot(mean.uncertainty_95, curve.rows[i].uncertainty_95);
        }
        const auto joined = static_cast<double>(to - from);
        rows.push_back({mean.x / joined, mean.y / joined, mean.uncertainty_95 / joined});
    }
    curve.rows = std::move(rows);
    return curve;
}

}  // namespace skedlark::bench
