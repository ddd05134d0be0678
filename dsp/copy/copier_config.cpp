#include <fmt/format.h>

#include "dsp/copy/copier.h"
#include "dsp/core/units.h"

namespace skedlark::copy {

std::optional<Error> fault_of(const CopierConfig& config) {
    const auto bad = [](const char* field, double value, const char* allowed) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {} is not allowed; {}", field, value, allowed)};
    };
    if (config.speed_wpm != 0.0 &&
        !(config.speed_wpm >= kMinSpeedWpm && config.speed_wpm <= kMaxSpeedWpm)) {
        return bad("speed_wpm", config.speed_wpm, "0 (not known) or 4 to 60");
    }
    if (!(config.lag_s >= 0.5 && config.lag_s <= 10.0)) {
        return bad("lag_s", config.lag_s, "0.5 to 10");
    }
    if (!(config.open_mark_below >= 0.0 && config.open_mark_below <= 1.0)) {
        return bad("open_mark_below", config.open_mark_below, "0 to 1");
    }
    return std::nullopt;
}

}  // namespace skedlark::copy
