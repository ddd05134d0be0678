#include "dsp/bench/whole_test.h"

#include <algorithm>

#include "dsp/bench/event_reports.h"

namespace skedlark::bench {
namespace {

// Two takes do not fit each other: a step there is none of the receiver's.
constexpr double kJointS = 0.1;

Result<Measured> contacts_measured(const Result<Contacts>& contacts) {
    if (!contacts) return contacts.error();
    return Measured{contacts_report(*contacts), contacts_picture(*contacts)};
}

Result<std::vector<ResponsePoint>> points_of(const Recorded& r, const PassbandWish& wish) {
    if (!wish.steps.empty()) return step_points(r.audio, r.sample_rate_hz, wish.steps);
    if (wish.sweep) return sweep_points(r.audio, r.sample_rate_hz, *wish.sweep, wish.first);
    return noise_points(r.audio, r.sample_rate_hz);
}

}  // namespace

Result<Measured> tone_test(const Recorded& r, const ToneTrackConfig& config, const Chain* chain) {
    const auto figures = measure_tone(r.audio, r.sample_rate_hz, config);
    if (!figures) return figures.error();
    return Measured{tone_report(*figures, config, chain),
                    spectrum_picture(r.audio, r.sample_rate_hz)};
}

Result<Measured> hum_test(const Recorded& r, const ToneTrackConfig& config, const Chain* chain) {
    const auto figures = measure_hum(r.audio, r.sample_rate_hz, config);
    if (!figures) return figures.error();
    return Measured{hum_report(*figures, chain), hum_picture(*figures)};
}

Result<Measured> sensitivity_test(const Recorded& r, const SensitivityWish& wish,
                                  const Chain* chain) {
    if (wish.levels.empty()) {
        const auto measured = measure_on_off(r.audio, r.sample_rate_hz, wish.tone);
        if (!measured) return measured.error();
        return Measured{on_off_report(*measured, wish.tone, chain),
                        level_picture(r.audio, r.sample_rate_hz)};
    }
    const auto series = measure_series(r.audio, r.sample_rate_hz, wish.levels, wish.tone);
    if (!series) return series.error();
    std::optional<Series> image;
    if (wish.image) {
        auto other = measure_series(wish.image->recorded.audio, wish.image->recorded.sample_rate_hz,
                                    wish.image->levels, wish.tone);
        if (!other) return Error{other.error().code, "image: " + other.error().message};
        image = std::move(*other);
    }
    auto report =
        series_report(*series, wish.tone, chain, wish.generator_95_db, image ? &*image : nullptr);
    if (!report) return report.error();
    return Measured{std::move(*report), series_picture(*series)};
}

Result<Measured> passband_test(const Recorded& r, const PassbandWish& wish) {
    const auto points = points_of(r, wish);
    if (!points) return points.error();
    const auto band = read_passband(*points, wish.config);
    if (!band) return band.error();
    return Measured{passband_report(*band, wish.config), response_picture(*points)};
}

Result<Measured> contacts_test(const Recorded& r, ContactsConfig config) {
    config.sample_rate_hz = r.sample_rate_hz;
    return contacts_measured(measure_contacts(r.audio, config));
}

Result<Measured> ring_test(const Recorded& r, RingConfig config) {
    config.sample_rate_hz = r.sample_rate_hz;
    const auto ring = measure_ring(r.audio, config);
    if (!ring) return ring.error();
    return Measured{ring_report(*ring), taps_picture(*ring)};
}

Joined join_takes(std::span<const std::span<const float>> takes, double sample_rate_hz) {
    Joined joined;
    for (const auto& take : takes) {
        const double from_s = static_cast<double>(joined.audio.size()) / sample_rate_hz;
        joined.audio.insert(joined.audio.end(), take.begin(), take.end());
        joined.at.push_back({from_s, static_cast<double>(joined.audio.size()) / sample_rate_hz});
    }
    return joined;
}

Result<Measured> contacts_of_takes(std::span<const float> at_rest, std::span<const float> touched,
                                   const ContactsConfig& config) {
    const std::span<const float> takes[] = {at_rest, touched};
    const Joined joined = join_takes(takes, config.sample_rate_hz);
    const double joint_s = joined.at[0].to_s;
    ContactsConfig apart = config;
    apart.at_rest = {{0.0, joint_s - kJointS}};
    apart.touched = {{joint_s + kJointS, joined.at[1].to_s}};
    if (apart.at_rest[0].to_s <= 0.0 || apart.touched[0].from_s >= apart.touched[0].to_s) {
        return Error{ErrorCode::invalid_value,
                     "both takes are needed, at rest and touched, some seconds each"};
    }
    auto contacts = measure_contacts(joined.audio, apart);
    if (contacts) {
        std::erase_if(contacts->events, [&](const ContactEvent& e) {
            return e.at_s + e.length_s > joint_s - kJointS && e.at_s < joint_s + kJointS;
        });
    }
    return contacts_measured(contacts);
}

}  // namespace skedlark::bench
