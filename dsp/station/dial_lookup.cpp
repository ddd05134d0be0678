#include "dsp/station/dial_lookup.h"

#include <span>

namespace skedlark::station {

namespace {

DialSetting look_up(const dial::Receiver& receiver, const dial::ChanceByRate& chance,
                    const std::vector<dial::KnownStation>& known, double khz) {
    DialSetting found;
    const double mhz = khz / 1000.0;
    const auto fail = [&found](const Error& error) {
        found.problem = error.message;
        return found;
    };
    const auto bands = dial::bands_with(receiver, mhz);
    if (!bands) return fail(bands.error());
    const auto today =
        dial::Dial::create(receiver, bands->front(), known_in(receiver, bands->front(), known));
    if (!today) return fail(today.error());
    const auto setting = today->setting(mhz);
    if (!setting) return fail(setting.error());
    const auto plan = dial::plan_sweep(*today, *setting, chance);
    if (!plan) return fail(plan.error());
    found.band = bands->front();
    found.division = setting->div;
    found.from_division = plan->low_div;
    found.to_division = plan->high_div;
    found.sweep_min = plan->sweep_min;
    found.listen_division = setting->listen_div;
    found.low95_division = setting->low95_div;
    found.high95_division = setting->high95_div;
    return found;
}

}  // namespace

Result<dial::ChanceByRate> chance_of(const dial::Receiver& receiver,
                                     const StationExpected& expected) {
    const auto model =
        expected.detection.empty()
            ? dial::DetectionModel::glide_finder({.passband_hz = dial::passband_hz(receiver.audio),
                                                  .speed_wpm = expected.speed_wpm})
            : dial::read_detection(expected.detection);
    if (!model) return model.error();
    return dial::ChanceByRate::create(
        *model, {.snr_2500hz_db = expected.snr_2500hz_db, .level_sd_db = expected.level_sd_db});
}

std::vector<dial::KnownStation> known_in(const dial::Receiver& receiver, const std::string& band,
                                         const std::vector<dial::KnownStation>& known) {
    std::vector<dial::KnownStation> inside;
    for (const dial::KnownStation& station : known) {
        if (dial::Dial::create(receiver, band, std::span(&station, 1))) inside.push_back(station);
    }
    return inside;
}

DialLookup dial_lookup(const dial::Receiver& receiver, const dial::ChanceByRate& chance,
                       const std::vector<dial::KnownStation>& known) {
    return [receiver, chance, known](double khz) { return look_up(receiver, chance, known, khz); };
}

}  // namespace skedlark::station
