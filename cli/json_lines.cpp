#include "cli/json_lines.h"

#include "dsp/log/json_values.h"

namespace skedlark::cli {

using namespace log::json;

std::string json_line(const DeviceLine& device) {
    return line_of({{"event", "device"},
                    {"number", device.number},
                    {"name", device.name},
                    {"host_api", device.host_api},
                    {"channels", device.channels},
                    {"default_rate_hz", device.default_rate_hz},
                    {"default", device.is_default}});
}

std::string json_line(const CheckLine& check) {
    const auto of_hum = [&](Json value) {
        return check.hum_found ? std::move(value) : Json(nullptr);
    };
    return line_of({{"event", "check"},
                    {"name", check.name},
                    {"seconds", number(check.seconds, 4)},
                    {"level", check.level},
                    {"peak_dbfs", decibel(check.peak_dbfs)},
                    {"rms_dbfs", decibel(check.rms_dbfs)},
                    {"dc_offset", number(check.dc_offset, 6)},
                    {"clipped_share", number(check.clipped_share, 6)},
                    {"hum_found", check.hum_found},
                    {"hum_matters", check.hum_matters},
                    {"mains_hz", of_hum(hertz(check.mains_hz))},
                    {"hum_dbfs", of_hum(decibel(check.hum_dbfs))},
                    {"hum_to_rest_db", of_hum(decibel(check.hum_to_rest_db))},
                    {"advice", check.advice}});
}

}  // namespace skedlark::cli
