#include "gui/sweep/sweep_setup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/core/csv.h"
#include "dsp/dial/sweep_plan.h"

namespace skedlark::gui {

namespace {

// Of the wanted station, where nobody says: key-down SNR in 2500 Hz, how unsure that is.
constexpr double kUsualSnrDb = -10.0;
constexpr double kUsualSnrSdDb = 6.0;
constexpr double kUsualWpm = 16.0;
// As the settings allow it.
constexpr double kSlowestKhzPerS = 0.02;
constexpr double kFastestKhzPerS = 10.0;

double hz_per_div(const SweepSetup& setup, const dial::Dial& dial) {
    return 1000.0 * std::abs(dial.khz_per_div(0.5 * (setup.from_div + setup.to_div)));
}

Status within(const char* field, double value, double low, double high, const char* unit) {
    if (value >= low && value <= high) return Done{};
    return Error{ErrorCode::invalid_value,
                 fmt::format("{}: {:g}, allowed: {:g} to {:g} {}", field, value, low, high, unit)};
}

}  // namespace

Result<double> read_field(std::string_view field, std::string_view text, double low, double high) {
    std::string plain(text);
    std::replace(plain.begin(), plain.end(), ',', '.');
    const auto value = csv::number(plain);
    if (value && *value >= low && *value <= high) return *value;
    return Error{ErrorCode::invalid_value,
                 fmt::format("{}: '{}', allowed: {:g} to {:g}", field, text, low, high)};
}

Status check_setup(const SweepSetup& setup, const dial::Dial& dial) {
    const dial::Receiver& receiver = dial.receiver();
    for (const auto& [field, div] : {std::pair{"From", setup.from_div}, {"To", setup.to_div}}) {
        if (const Status in = within(field, div, receiver.from_div, receiver.to_div, "divisions");
            !in) {
            return in;
        }
    }
    if (setup.from_div == setup.to_div) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("To: {:g}, allowed: another division than From", setup.to_div)};
    }
    if (setup.way == SweepWay::paced || setup.way == SweepWay::marked) {
        return within("Pace", setup.rate_khz_per_s, kSlowestKhzPerS, kFastestKhzPerS, "kHz/s");
    }
    if (setup.way == SweepWay::stepped) {
        if (const Status in = within("Step", setup.step_div, 0.001, 1000.0, "divisions"); !in)
            return in;
        return within("Rest", setup.rest_s, dial::Motion::kLeastRestS, 3600.0, "s");
    }
    return Done{};
}

double div_per_min(const SweepSetup& setup, const dial::Dial& dial) {
    return 60.0 * 1000.0 * setup.rate_khz_per_s / hz_per_div(setup, dial);
}

double khz_per_s(double div_per_min, const SweepSetup& setup, const dial::Dial& dial) {
    return div_per_min * hz_per_div(setup, dial) / 60.0 / 1000.0;
}

Result<dial::Motion> motion_of(const SweepSetup& setup, const dial::Dial& dial,
                               std::optional<double> file_s) {
    const double reading_sd_div = dial.receiver().reading_sd_div;
    if (setup.way == SweepWay::stepped) {
        return dial::Motion::stepped(
            {setup.from_div, setup.to_div, setup.step_div, setup.rest_s, setup.move_s},
            reading_sd_div);
    }
    double seconds = 60.0 * std::abs(setup.to_div - setup.from_div) / div_per_min(setup, dial);
    if (setup.way == SweepWay::over_file) {
        if (!file_s) {
            return Error{ErrorCode::invalid_value,
                         "Way: over a whole file, allowed: with a sound file as the input"};
        }
        seconds = *file_s;
    }
    return dial::Motion::paced(setup.from_div, setup.to_div, seconds, reading_sd_div);
}

Result<dial::ChanceByRate> usual_chance(const dial::Receiver& receiver) {
    const auto model = dial::DetectionModel::glide_finder(
        {.passband_hz = dial::passband_hz(receiver.audio), .speed_wpm = kUsualWpm});
    if (!model) return model.error();
    return dial::ChanceByRate::create(*model,
                                      {.snr_2500hz_db = kUsualSnrDb, .level_sd_db = kUsualSnrSdDb});
}

Result<SweepSetup> offered_for(double mhz, const dial::Receiver& receiver,
                               const std::vector<dial::KnownStation>& known,
                               const SweepSetup& now) {
    const auto bands = dial::bands_with(receiver, mhz);
    if (!bands) return bands.error();
    const auto dial = dial::Dial::create(receiver, bands->front(), known);
    if (!dial) return dial.error();
    const auto setting = dial->setting(mhz);
    if (!setting) return setting.error();
    const auto chance = usual_chance(receiver);
    if (!chance) return chance.error();
    const auto plan = dial::plan_sweep(*dial, *setting, *chance);
    if (!plan) return plan.error();
    const auto on_dial = [&](double div) {
        const double tenths = std::round(10.0 * div) / 10.0;
        return std::clamp(tenths, receiver.from_div, receiver.to_div);
    };
    SweepSetup offered = now;
    offered.band = bands->front();
    offered.wanted_mhz = mhz;
    offered.from_div = on_dial(plan->low_div - plan->run_on_div);
    offered.to_div = on_dial(plan->high_div + plan->run_on_div);
    if (plan->div_per_min) {
        const double rate = khz_per_s(*plan->div_per_min, offered, *dial);
        // Slower than safe rather than faster.
        const double steps = std::floor(100.0 * rate + 1e-6) / 100.0;
        offered.rate_khz_per_s = std::clamp(steps, kSlowestKhzPerS, kFastestKhzPerS);
    }
    return offered;
}

}  // namespace skedlark::gui
