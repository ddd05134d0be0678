#include "dsp/tone/tone_list.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace skedlark::tone {
namespace {

// Lines nearer than this are one tone: no two stations can be told apart there by ear or by filter.
constexpr double kSameTone_hz = 8.0;
// Edges of the key a second at 60 wpm: their power spreads over the square of the distance.
constexpr double kKeyEdges_hz = 36.0;
constexpr double kShareSquared = 0.19;  // carrier power over key-down power
constexpr double kPeakMargin = 8.0;     // a line's peak over the mean of such a spectrum
constexpr std::array<double, 2> kMains_hz = {50.0, 60.0};
// A line near a tone that is weaker than this share of it is part of it.
constexpr double kPartOfTone = 0.2;
// A weaker line with a mirror image of this share of its power on the tone's other side is a side
// band.
constexpr double kMirrorWeaker = 0.5;
constexpr double kMirrorShare = 0.3;
// Not far above what side bands may have, a fainter image will do: noise may have eaten at it.
constexpr double kMirrorShareNear = 0.12;
constexpr double kNearMask = 5.0;
constexpr double kClicks = 3e-4;
constexpr int kMainsMultiples = 6;
constexpr int kHarmonics = 6;
constexpr double kHumWeaker = 0.25;
constexpr double kHarmonicWeaker = 0.25;

}  // namespace

double side_band_mask(double offset_hz, double window_s) {
    return kPeakMargin * kKeyEdges_hz /
           (std::pow(2.0 * 3.14159265358979 * std::max(offset_hz, 0.5), 2.0) * kShareSquared *
            window_s / 1.5);
}

bool belongs_to(double tone_hz, double line_hz, double power_ratio, double window_s) {
    const double offset_hz = std::abs(line_hz - tone_hz);
    if (power_ratio < std::min(1.0, side_band_mask(offset_hz, window_s))) return true;
    if (power_ratio < kHumWeaker) {
        for (const double mains_hz : kMains_hz)
            for (int multiple = 1; multiple <= kMainsMultiples; ++multiple)
                if (std::abs(offset_hz - multiple * mains_hz) < 1.0) return true;
    }
    if (power_ratio < kHarmonicWeaker) {
        for (int harmonic = 2; harmonic <= kHarmonics; ++harmonic)
            if (std::abs(line_hz - harmonic * tone_hz) < 1.0 * harmonic) return true;
    }
    return false;
}

ListedTone* ToneList::take(const Line& line, const RatioAt& ratio_at) {
    std::erase_if(tones_, [](const ListedTone& tone) { return tone.merged; });
    ListedTone* nearest = nullptr;
    double nearest_hz = kSameTone_hz;
    for (ListedTone& tone : tones_) {
        const double since_s = seconds_from_frames(line.at_frame - tone.found.event.at_frame);
        const double expected_hz = tone.found.event.pitch_hz + tone.found.rate_hz_per_s * since_s;
        const double away_hz = std::min(std::abs(line.pitch_hz - expected_hz),
                                        std::abs(line.pitch_hz - tone.found.event.pitch_hz));
        if (away_hz < nearest_hz) {
            nearest = &tone;
            nearest_hz = away_hz;
        }
    }
    if (nearest == nullptr) {
        for (const ListedTone& tone : tones_) {
            const double tone_hz = tone.found.event.pitch_hz;
            if (belongs_to(tone_hz, line.pitch_hz,
                           line.carrier_power / std::max(tone.carrier_power, 1e-30),
                           std::min(line.window_s, tone.window_s)))
                return nullptr;
            const double relative = line.carrier_power / std::max(tone.carrier_power, 1e-30);
            if (relative > kMirrorWeaker) continue;
            // Where the image lies outside the audio searched, clicks are known by their level
            // alone.
            const std::optional<double> image = ratio_at(
                2.0 * tone_hz - line.pitch_hz, 2.0 * tone.found.rate_hz_per_s - line.rate_hz_per_s);
            const double mask = side_band_mask(std::abs(line.pitch_hz - tone_hz), line.window_s);
            const double share = relative < kNearMask * mask ? kMirrorShareNear : kMirrorShare;
            if (image ? *image - 1.0 > share * (line.ratio - 1.0) : relative < kClicks)
                return nullptr;
        }
        ListedTone fresh;
        fresh.found.event.tone = ++numbers_given_;
        fresh.found.first_frame = line.from_frame;
        fresh.found.event.false_alarm_odds = line.odds;
        tones_.push_back(fresh);
        nearest = &tones_.back();
    }
    // A much weaker line near by is what keying spreads around the carrier, unless the tone has
    // faded.
    const bool part = line.carrier_power < kPartOfTone * nearest->carrier_power &&
                      nearest_hz > 1.5 / line.window_s;
    // Of two spectra the longer knows the pitch better, as long as it hears the tone at all.
    const double since_longer_s = seconds_from_frames(line.at_frame - nearest->longest_frame);
    const bool longer = line.window_s >= nearest->window_s;
    // The strongest line of a spectrum comes first; what else it shows near by is less of the same.
    const bool again =
        line.at_frame == nearest->longest_frame && line.window_s <= nearest->window_s;
    if (!part && !again && (longer || since_longer_s > 2.0 * nearest->window_s)) {
        nearest->found.event.pitch_hz = line.pitch_hz;
        nearest->found.rate_hz_per_s = line.rate_hz_per_s;
        nearest->carrier_power = line.carrier_power;
        nearest->window_s = line.window_s;
        nearest->longest_frame = line.at_frame;
    }
    nearest->found.event.at_frame = std::max(nearest->found.event.at_frame, line.at_frame);
    merge_into(*nearest);
    nearest->found.event.false_alarm_odds =
        std::min(nearest->found.event.false_alarm_odds, line.odds);
    return nearest;
}

// Of two tones that turn out to be one, the one found first stays.
void ToneList::merge_into(ListedTone& kept) {
    for (ListedTone& other : tones_) {
        const double apart_hz = std::abs(other.found.event.pitch_hz - kept.found.event.pitch_hz);
        if (&other != &kept && apart_hz < kSameTone_hz) other.merged = true;
    }
}

void ToneList::forget_before(FrameIndex frame) {
    std::erase_if(tones_, [frame](const ListedTone& tone) {
        return tone.merged || tone.found.event.at_frame < frame;
    });
}

void ToneList::clear() {
    tones_.clear();
    numbers_given_ = 0;
}

}  // namespace skedlark::tone
