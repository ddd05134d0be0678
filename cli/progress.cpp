#include "cli/progress.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/text_view.h"

namespace skedlark::cli {

std::optional<std::string> Progress::line(double done_s, std::optional<double> total_s,
                                          Clock::time_point now) {
    const auto since = [now](Clock::time_point then) {
        return std::chrono::duration<double>(now - then).count();
    };
    if (since(start_) < kQuietForS || (last_ && since(*last_) < 1.0 / kTimesPerSecond)) {
        return std::nullopt;
    }
    last_ = now;
    if (!total_s || *total_s <= 0.0) {
        return fmt::format("[{}]", clock_text(done_s));
    }
    constexpr int kBarColumns = 20;
    const double part = std::clamp(done_s / *total_s, 0.0, 1.0);
    const int full = static_cast<int>(part * kBarColumns);
    return fmt::format("[{:#<{}}{:-<{}}] {:3.0f} %  {} of {}", "", full, "", kBarColumns - full,
                       100.0 * part, clock_text(done_s), clock_text(*total_s));
}

}  // namespace skedlark::cli
