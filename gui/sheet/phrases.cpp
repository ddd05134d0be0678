#include "gui/sheet/phrases.h"

#include <fmt/format.h>

#include <cmath>

namespace skedlark::gui {

std::string shown(double value, int decimals, std::string_view unit) {
    if (!std::isfinite(value)) return kNothing;
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') {
        text.erase(0, 1);
    }
    return unit.empty() ? text : text + " " + std::string(unit);
}

std::string percent(double share, int decimals) { return shown(100.0 * share, decimals, "%"); }

std::string clock_of(double seconds) {
    if (!std::isfinite(seconds)) return kNothing;
    const auto whole = static_cast<long>(std::floor(std::max(0.0, seconds)));
    if (whole >= 3600)
        return fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60);
    return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::string one_in(double chance) {
    if (!std::isfinite(chance)) return kNothing;
    if (chance < 1e-6) return "under 1 in 1 000 000";
    return fmt::format("1 in {:.{}f}", 1.0 / chance, chance > 0.1 ? 1 : 0);
}

std::string counted(long count, std::string_view singular, std::string_view plural) {
    return fmt::format("{} {}", count, count == 1 ? singular : plural);
}

std::string file_name(const std::string& path) {
    const std::size_t slash = path.find_last_of('/');
    return slash == std::string::npos || slash + 1 == path.size() ? path : path.substr(slash + 1);
}

}  // namespace skedlark::gui
