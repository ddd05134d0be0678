#include "gui/sweep/sweep_setup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "dsp/dial/sweep_plan.h"

namespace skedlark::gui {

namespace {

constexpr double kEachSideDiv = 2.0;  // common practice, no source
constexpr double kMostDivPerMin = 1000.0;

Error wrong(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value, fmt::format("{}: {:g}, allowed: {}", field, value, allowed)};
}

Status within(const char* field, double value, double low, double high) {
    if (value >= low && value <= high) return Done{};
    return wrong(field, value, fmt::format("{:g} to {:g}", low, high));
}

}  // namespace

Status check(const SweepSetup& setup, const dial::Dial& dial) {
    const dial::Receiver& receiver = dial.receiver();
    for (const Status& right : {within("From", setup.from_div, receiver.from_div, receiver.to_div),
                                within("To", setup.to_div, receiver.from_div, receiver.to_div),
                                within("Count-in, s", setup.count_in_s, 0.0, 60.0)}) {
        if (!right) return right;
    }
    if (setup.from_div == setup.to_div)
        return wrong("To", setup.to_div, "another division than From");
    if (setup.div_per_min && !(*setup.div_per_min > 0.0 && *setup.div_per_min <= kMostDivPerMin))
        return wrong("Pace, divisions a minute", *setup.div_per_min,
                     fmt::format("above 0, to {:g}", kMostDivPerMin));
    if (setup.way != DialWay::stepped) return Done{};
    if (const Status right = within("Step, divisions", setup.step_div, 0.001, 1000.0); !right)
        return right;
    return within("Rest, s", setup.rest_s, dial::Motion::kLeastRestS, 3600.0);
}

Result<dial::Motion> motion_of(const SweepSetup& setup, const dial::Dial& dial,
                               std::optional<double> audio_s) {
    const double reading_sd_div = dial.receiver().reading_sd_div;
    if (setup.way == DialWay::stepped) {
        return dial::Motion::stepped(
            {setup.from_div, setup.to_div, setup.step_div, setup.rest_s, setup.move_s},
            reading_sd_div);
    }
    const double way_div = std::abs(setup.to_div - setup.from_div);
    const double seconds =
        setup.div_per_min ? 60.0 * way_div / *setup.div_per_min : audio_s.value_or(0.0);
    if (!(seconds > 0.0)) {
        return Error{ErrorCode::invalid_value,
                     "Pace: is missing, allowed: a pace, where the length of the audio is not "
                     "known"};
    }
    return dial::Motion::paced(setup.from_div, setup.to_div, seconds, reading_sd_div);
}

Result<dial::ChanceByRate> usual_chance(const dial::Receiver& receiver) {
    const auto model = dial::DetectionModel::glide_finder(
        {.passband_hz = dial::passband_hz(receiver.audio), .speed_wpm = 16.0});
    if (!model) return model.error();
    return dial::ChanceByRate::create(*model, {.snr_2500hz_db = -10.0, .level_sd_db = 6.0});
}

double div_per_min(const dial::Dial& dial, double at_div, double khz_per_s) {
    return 60.0 * khz_per_s / std::max(1e-6, std::abs(dial.khz_per_div(at_div)));
}

double khz_per_s(const dial::Dial& dial, double at_div, double div_per_min) {
    return div_per_min * std::abs(dial.khz_per_div(at_div)) / 60.0;
}

std::optional<double> safe_khz_per_s(const dial::Dial& dial, double wanted_mhz) {
    const auto setting = dial.setting(wanted_mhz);
    const auto chance = usual_chance(dial.receiver());
    if (!setting || !chance) return std::nullopt;
    const auto plan = dial::plan_sweep(dial, *setting, *chance);
    if (!plan || !plan->rate_hz_per_s) return std::nullopt;
    return *plan->rate_hz_per_s / 1000.0;
}

std::optional<FirstStretch> first_stretch(const station::Leg& leg, const dial::Receiver& receiver) {
    FirstStretch first;
    first.wanted_mhz = leg.receive_khz / 1000.0;
    const auto has = [&](const std::string& name) {
        return std::any_of(receiver.bands.begin(), receiver.bands.end(),
                           [&](const dial::Band& band) { return band.name == name; });
    };
    if (leg.dial && leg.dial->problem.empty() && has(leg.dial->band)) {
        first.band = leg.dial->band;
        first.from_div = leg.dial->from_division;
        first.to_div = leg.dial->to_division;
        if (first.from_div < first.to_div) return first;
    }
    const auto bands = dial::bands_with(receiver, first.wanted_mhz);
    if (!bands) return std::nullopt;
    first.band = bands->front();
    const auto dial = dial::Dial::create(receiver, first.band);
    if (!dial) return std::nullopt;
    const auto setting = dial->setting(first.wanted_mhz);
    if (!setting) return std::nullopt;
    first.from_div = std::max(receiver.from_div, setting->div - kEachSideDiv);
    first.to_div = std::min(receiver.to_div, setting->div + kEachSideDiv);
    return first;
}

std::string map_file_name(const dial::Dial& dial, double wanted_mhz) {
    std::string name =
        fmt::format("{}_{}_{:.1f}", dial.receiver().name, dial.band().name, 1000.0 * wanted_mhz);
    for (char& c : name) {
        const bool plain = std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '.';
        c = plain ? static_cast<char>(std::tolower(static_cast<unsigned char>(c))) : '-';
    }
    return name + ".json";
}

}  // namespace skedlark::gui
