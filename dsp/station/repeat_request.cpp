#include "dsp/station/repeat_request.h"

#include <fmt/format.h>

#include <set>

namespace skedlark::station {

std::string repeat_request(std::span<const std::size_t> numbers,
                           std::optional<std::size_t> all_after) {
    if (all_after && *all_after == 0) return "RPT ALL ?";
    std::set<std::size_t> asked(numbers.begin(), numbers.end());
    // What is asked for with all the rest is not named apart.
    if (all_after) asked.erase(asked.upper_bound(*all_after), asked.end());
    if (asked.empty() && !all_after) return {};
    std::string text = "RPT";
    for (auto first = asked.begin(); first != asked.end();) {
        auto last = first;
        while (std::next(last) != asked.end() && *std::next(last) == *last + 1) ++last;
        text += first == last ? fmt::format(" GR {}", *first)
                              : fmt::format(" GR {} TO {}", *first, *last);
        first = std::next(last);
    }
    if (all_after) text += fmt::format(" AA GR {}", *all_after);
    return text + " ?";
}

}  // namespace skedlark::station
