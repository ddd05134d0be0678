#include "dsp/bench/contacts.h"

#include <algorithm>
#include <boost/math/special_functions/digamma.hpp>
#include <boost/math/special_functions/trigamma.hpp>
#include <cmath>
#include <numbers>

#include "dsp/bench/contact_levels.h"
#include "dsp/bench/contact_scan.h"
#include "dsp/bench/quadratic_tail.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kMinLengthS = 5.0;
constexpr double kMaxLengthS = 7200.0;
// A dropout in a tone is a step at both of its edges, which is no crackle.
constexpr double kBesideS = 0.002;
constexpr double kDbPerNeper = 4.342944819032518;  // of power

// The logarithm of a chi-square mean is biased and spread by digamma and trigamma.
Figure level_db(double power, double freedom) {
    const double half = 0.5 * std::max(1.0, freedom);
    const double bias = boost::math::digamma(half) - std::log(half);
    return {db_from_power(std::max(power, 1e-12)) - kDbPerNeper * bias,
            expanded_95(kDbPerNeper * std::sqrt(boost::math::trigamma(half)))};
}

std::vector<ContactEvent> events_of(std::span<const float> audio, double rate_hz,
                                    const ContactLevels& levels, const ContactsConfig& config) {
    const auto limits =
        scan_limits(levels, rate_hz, config.false_dropouts_per_10_min, config.least_depth_db);
    const auto suspects = scan_contacts(audio, rate_hz, levels, limits);
    std::vector<Suspect> quiet, loud;
    for (const Suspect& s : suspects) {
        if (!s.loud) quiet.push_back(s);
    }
    std::vector<ContactEvent> events;
    const auto dropouts = fit_events(audio, rate_hz, levels, quiet);
    const auto beside = static_cast<FrameIndex>(kBesideS * rate_hz);
    std::size_t next = 0;
    for (const Suspect& s : suspects) {
        if (!s.loud) continue;
        while (next < dropouts.size() && dropouts[next].to + beside < s.from) ++next;
        const bool at_dropout = next < dropouts.size() && dropouts[next].from - beside < s.to;
        if (!levels.has_tone || !at_dropout) loud.push_back(s);
    }
    const auto add = [&](const std::vector<FittedEvent>& fitted, ContactKind kind) {
        for (const FittedEvent& e : fitted) {
            const Figure level = level_db(e.power, e.freedom);
            const double fall = kind == ContactKind::dropout ? -level.value : level.value;
            events.push_back({kind,
                              static_cast<double>(e.from) / rate_hz,
                              static_cast<double>(e.to - e.from) / rate_hz,
                              {fall, level.uncertainty_95},
                              false});
        }
    };
    add(dropouts, ContactKind::dropout);
    add(fit_events(audio, rate_hz, levels, loud), ContactKind::crackle);
    std::erase_if(events, [](const ContactEvent& e) { return !(e.depth_db.value > 0.0); });
    std::stable_sort(events.begin(), events.end(),
                     [](const auto& a, const auto& b) { return a.at_s < b.at_s; });
    return events;
}

bool is_in(const std::vector<Stretch>& stretches, const ContactEvent& e) {
    return std::any_of(stretches.begin(), stretches.end(), [&](const Stretch& s) {
        return e.at_s + e.length_s > s.from_s && e.at_s < s.to_s;
    });
}

double seconds_of(const std::vector<Stretch>& stretches) {
    double sum = 0.0;
    for (const Stretch& s : stretches) sum += s.to_s - s.from_s;
    return sum;
}

std::vector<Stretch> rest_of(const std::vector<Stretch>& touched, double length_s) {
    std::vector<Stretch> rest;
    double from_s = 0.0;
    for (const Stretch& s : touched) {
        if (s.from_s > from_s) rest.push_back({from_s, s.from_s});
        from_s = s.to_s;
    }
    if (from_s < length_s) rest.push_back({from_s, length_s});
    return rest;
}

ContactRates rates_of(const std::vector<ContactEvent>& events, ContactKind kind,
                      const ContactsConfig& config, const std::vector<Stretch>& at_rest) {
    long touched = 0, rest = 0;
    for (const ContactEvent& e : events) {
        if (e.kind != kind) continue;
        if (e.touched) {
            ++touched;
        } else if (is_in(at_rest, e)) {
            ++rest;
        }
    }
    ContactRates rates{
        event_rate(touched, seconds_of(config.touched)), event_rate(rest, seconds_of(at_rest)), {}};
    rates.ratio = rate_ratio(rates.touched, rates.at_rest);
    return rates;
}

Status check(const ContactsConfig& config, double length_s) {
    if (Status s = within_range("least_depth_db", config.least_depth_db, 1.0, 40.0); !s) return s;
    if (Status s = within_range("false_dropouts_per_10_min", config.false_dropouts_per_10_min,
                                0.001, 100.0);
        !s)
        return s;
    if (Status s = check_stretches("touched", config.touched, length_s); !s) return s;
    if (Status s = check_stretches("at_rest", config.at_rest, length_s); !s) return s;
    std::vector<Stretch> both = config.touched;
    both.insert(both.end(), config.at_rest.begin(), config.at_rest.end());
    std::sort(both.begin(), both.end(),
              [](const auto& a, const auto& b) { return a.from_s < b.from_s; });
    return check_stretches("touched and at_rest", both, length_s);
}

double noise_width_hz(const ContactLevels& levels, double rate_hz) {
    // Degrees of freedom come at twice the noise-equivalent width a second.
    const int length = static_cast<int>(levels.covariance.size()) - 1;
    return 0.5 * degrees_of_freedom(levels.covariance, length) * rate_hz / length;
}

}  // namespace

Result<Contacts> measure_contacts(std::span<const float> audio, const ContactsConfig& config) {
    const double rate_hz = config.sample_rate_hz;
    if (Status s = check_audio(audio, rate_hz, kMinLengthS); !s) return s.error();
    const double length_s = static_cast<double>(audio.size()) / rate_hz;
    if (Status s = within_range("audio length in s", length_s, kMinLengthS, kMaxLengthS); !s)
        return s.error();
    if (Status s = check(config, length_s); !s) return s.error();
    if (Status s = check_clipping(audio); !s) return s.error();
    // What the sound card adds to zero is no signal.
    double mean = 0.0;
    for (const float x : audio) mean += static_cast<double>(x);
    mean /= static_cast<double>(audio.size());
    std::vector<float> centred(audio.begin(), audio.end());
    for (float& x : centred) x -= static_cast<float>(mean);
    const auto at_rest =
        config.at_rest.empty() ? rest_of(config.touched, length_s) : config.at_rest;
    const auto levels = measure_contact_levels(centred, rate_hz, at_rest);
    if (!levels) return levels.error();

    Contacts result;
    result.in_tone = levels->has_tone;
    result.pitch_hz = levels->pitch_hz;
    result.tone_over_noise_db = levels->tone_over_noise_db;
    result.noise_width_hz = noise_width_hz(*levels, rate_hz);
    result.noise_swing_db = kDbPerNeper * levels->swing_nepers;
    result.events = events_of(centred, rate_hz, *levels, config);
    for (ContactEvent& e : result.events) e.touched = is_in(config.touched, e);
    result.dropouts = rates_of(result.events, ContactKind::dropout, config, at_rest);
    result.crackles = rates_of(result.events, ContactKind::crackle, config, at_rest);
    for (const ScanLimit& limit :
         scan_limits(*levels, rate_hz, config.false_dropouts_per_10_min, config.least_depth_db)) {
        if (limit.found_99 > 0.0)
            result.noticed.push_back({limit.length / rate_hz, -db_from_power(limit.found_99)});
    }
    return result;
}

}  // namespace skedlark::bench
