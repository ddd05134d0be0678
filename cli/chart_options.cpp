#include "cli/chart_options.h"

#include <fmt/format.h>

#include "cli/options.h"
#include "dsp/core/csv.h"
#include "dsp/core/units.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::cli {

void add_expected_options(CLI::App& verb, StationExpected& expected) {
    verb.add_option("--snr", expected.snr_2500hz_db,
                    "Level the station is expected at: key-down SNR in 2500 Hz")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({-60.0, 60.0, "dB"}));
    verb.add_option("--level-sd", expected.level_sd_db, "How unsure that level is")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({0.0, 30.0, "dB"}));
    verb.add_option("--wpm", expected.speed_wpm, "Speed it is expected to send at")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    verb.add_option("--detection", expected.detection,
                    "Chance of noticing as measured (CSV: rate_hz_per_s,snr_2500hz_db,chance); "
                    "default: as measured of skedlark sweep")
        ->type_name("FILE");
}

Result<std::vector<dial::KnownStation>> parse_known(const std::vector<std::string>& texts) {
    std::vector<dial::KnownStation> known;
    for (const std::string& text : texts) {
        const std::size_t equals = text.find('=');
        const auto mhz = csv::number(std::string_view(text).substr(0, equals));
        const auto div = equals == std::string::npos
                             ? std::nullopt
                             : csv::number(std::string_view(text).substr(equals + 1));
        if (!mhz || !div) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("--known: '{}' is not allowed; allowed: MHZ=DIV, such as "
                                     "5=57.2",
                                     text.substr(0, 60))};
        }
        known.push_back({*mhz, *div});
    }
    return known;
}

Result<station::DialLookup> dial_lookup(const std::string& chart_path,
                                        const StationExpected& expected) {
    const auto receiver = dial::read_receiver(chart_path);
    if (!receiver) return receiver.error();
    const auto chance = station::chance_of(*receiver, expected);
    if (!chance) return chance.error();
    return station::dial_lookup(*receiver, *chance);
}

}  // namespace skedlark::cli
