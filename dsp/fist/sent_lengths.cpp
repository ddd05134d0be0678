#include "dsp/fist/sent_lengths.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace skedlark::fist {
namespace {

constexpr std::array<std::string_view, 6> kNames = {"dot",           "dash",     "element_gap",
                                                    "character_gap", "word_gap", "pause"};

LengthKind kind_of(morse::ElementKind kind) { return static_cast<LengthKind>(index_of(kind)); }

}  // namespace

std::string_view name_of(LengthKind kind) { return kNames[static_cast<std::size_t>(kind)]; }

std::optional<LengthKind> length_kind_by_name(std::string_view name) {
    const auto found = std::find(kNames.begin(), kNames.end(), name);
    if (found == kNames.end()) return std::nullopt;
    return static_cast<LengthKind>(found - kNames.begin());
}

std::vector<SentLength> sent_lengths(const Keying& keying, const Sending& sending) {
    std::vector<SentLength> all;
    all.reserve(2 * keying.marks.size());
    const Kinds& kinds = sending.kinds;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        const MeasuredMark& mark = keying.marks[i];
        if (!mark.beside_lost) {
            all.push_back({kind_of(kinds.marks[i]), mark.on_s, mark.length_s()});
        }
        if (i + 1 == keying.marks.size()) break;
        if (mark.beside_lost || keying.marks[i + 1].beside_lost) continue;
        const LengthKind gap = kinds.pauses[i] != 0 ? LengthKind::pause : kind_of(kinds.gaps[i]);
        all.push_back({gap, mark.off_s, keying.gap_s(i)});
    }
    return all;
}

LengthHistogram histogram_of(std::span<const SentLength> lengths, LengthKind kind, double unit_s) {
    LengthHistogram out;
    const auto most = static_cast<std::size_t>(std::lround(kMostHistogramUnits / out.bin_units));
    for (const SentLength& one : lengths) {
        if (one.kind != kind) continue;
        const double bins = std::max(0.0, one.length_s / unit_s / out.bin_units);
        const std::size_t bin =
            bins < static_cast<double>(most) ? static_cast<std::size_t>(bins) : most - 1;
        if (out.counts.size() <= bin) out.counts.resize(bin + 1, 0);
        ++out.counts[bin];
    }
    return out;
}

}  // namespace skedlark::fist
