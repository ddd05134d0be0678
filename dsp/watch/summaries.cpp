#include "dsp/watch/summaries.h"

#include <algorithm>

namespace skedlark::watch {

namespace {

double weight(const ToneSummary& summary) {
    return static_cast<double>(summary.text.size()) * summary.mean_confidence;
}

ToneSummary joined(const ToneSummary& earlier, const ToneSummary& later) {
    if (earlier.text.empty()) {
        return later;
    }
    if (later.text.empty()) {
        return earlier;
    }
    ToneSummary both = later;
    if (earlier.timing.marks > later.timing.marks) {
        both.timing = earlier.timing;  // lengths over few marks say little
        both.speed_wpm = earlier.speed_wpm;
    }
    both.text = earlier.text + " " + later.text;
    both.mean_confidence = (weight(earlier) + weight(later)) /
                           static_cast<double>(earlier.text.size() + later.text.size());
    return both;
}

}  // namespace

void Summaries::add(const ToneSummary& summary) {
    const auto [entry, is_new] = tones_.try_emplace(summary.tone, summary);
    if (!is_new) {
        entry->second = joined(entry->second, summary);
    }
}

std::vector<ToneSummary> Summaries::in_order() const {
    std::vector<ToneSummary> all;
    for (const auto& [tone, summary] : tones_) {
        all.push_back(summary);
    }
    std::stable_sort(all.begin(), all.end(), [](const ToneSummary& a, const ToneSummary& b) {
        return weight(a) > weight(b);
    });
    return all;
}

}  // namespace skedlark::watch
