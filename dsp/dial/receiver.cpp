#include "dsp/dial/receiver.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::dial {
namespace {

constexpr double kMaxOffsetHz = 20000.0;
constexpr double kMaxChartSdDiv = 100.0;
constexpr std::size_t kMaxNameBytes = 60;

Error wrong(const std::string& message) { return {ErrorCode::invalid_value, message}; }

Status within(const std::string& field, double value, double from, double to, const char* unit) {
    if (value >= from && value <= to) return Done{};
    return wrong(
        fmt::format("{}: {} is not allowed; allowed: {} to {} {}", field, value, from, to, unit));
}

Status check_name(const std::string& field, const std::string& name) {
    const bool printable = std::all_of(name.begin(), name.end(), [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte >= 0x20 && byte != 0x7F;
    });
    if (!name.empty() && name.size() <= kMaxNameBytes && printable && name.front() != ' ' &&
        name.back() != ' ') {
        return Done{};
    }
    return wrong(fmt::format(
        "{}: '{}' is not allowed; allowed: one line of 1 to {} bytes, no blank at its ends", field,
        printable ? name.substr(0, kMaxNameBytes) : "(unprintable)", kMaxNameBytes));
}

// The point by its place and, where it came from a file, its line.
std::string point_name(const Band& band, std::size_t index) {
    const int line = band.points[index].line;
    return fmt::format("band \"{}\", point {}{}", band.name, index + 1,
                       line > 0 ? fmt::format(" (line {})", line) : "");
}

Status check_point(const Receiver& receiver, const Band& band, std::size_t index) {
    const ChartPoint& point = band.points[index];
    const std::string name = point_name(band, index);
    if (!(point.div >= receiver.from_div && point.div <= receiver.to_div)) {
        return wrong(fmt::format("{}: division {} lies outside the dial, {} to {}", name, point.div,
                                 receiver.from_div, receiver.to_div));
    }
    if (!(point.mhz >= band.from_mhz && point.mhz <= band.to_mhz)) {
        return wrong(fmt::format("{}: {} MHz lies outside the band, {} to {} MHz", name, point.mhz,
                                 band.from_mhz, band.to_mhz));
    }
    if (index == 0) return Done{};
    const ChartPoint& before = band.points[index - 1];
    if (!(point.div > before.div)) {
        return wrong(fmt::format("{}: division {} does not rise above {} of the point before", name,
                                 point.div, before.div));
    }
    const double step = point.mhz - before.mhz;
    // The ends tell which way the band goes: one wrong point in between is then named itself.
    const double way = band.points.back().mhz - band.points.front().mhz;
    if (step == 0.0) {
        return wrong(fmt::format("{}: {} MHz repeats the point before", name, point.mhz));
    }
    if (step * way <= 0.0) {
        return wrong(fmt::format(
            "{}: {} MHz after {} MHz {} back; along the dial a band only rises or only falls", name,
            point.mhz, before.mhz, way > 0.0 ? "falls" : "rises"));
    }
    return Done{};
}

Status check_settings(const Receiver& receiver) {
    if (Status s = check_name("receiver name", receiver.name); !s) return s;
    if (Status s = within("dial.from_div", receiver.from_div, kMinDiv, kMaxDiv, "divisions"); !s)
        return s;
    if (Status s = within("dial.to_div", receiver.to_div, kMinDiv, kMaxDiv, "divisions"); !s)
        return s;
    if (!(receiver.to_div > receiver.from_div)) {
        return wrong(fmt::format("dial.to_div: {} is not above dial.from_div, {}", receiver.to_div,
                                 receiver.from_div));
    }
    if (Status s = within("dial.reading_sd_div", receiver.reading_sd_div, 0.001, 10.0, "divisions");
        !s) {
        return s;
    }
    return within("beat.offset_hz", receiver.beat.zero_beat_offset_hz, -kMaxOffsetHz, kMaxOffsetHz,
                  "Hz");
}

Status check_audio(const ReceiverAudio& audio) {
    if (Status s = within("audio.low_hz", audio.low_hz, 20.0, 20000.0, "Hz"); !s) return s;
    if (Status s = within("audio.high_hz", audio.high_hz, 20.0, 20000.0, "Hz"); !s) return s;
    if (!(audio.high_hz > audio.low_hz)) {
        return wrong(fmt::format("audio.high_hz: {} is not above audio.low_hz, {}", audio.high_hz,
                                 audio.low_hz));
    }
    return within("audio.pitch_hz", audio.pitch_hz, audio.low_hz, audio.high_hz,
                  "Hz, the passband");
}

}  // namespace

Status check_band(const Receiver& receiver, const Band& band) {
    if (Status s = check_name("band name", band.name); !s) return s;
    const std::string of_band = fmt::format("band \"{}\", ", band.name);
    if (Status s = within(of_band + "from_mhz", band.from_mhz, kMinMhz, kMaxMhz, "MHz"); !s)
        return s;
    if (Status s = within(of_band + "to_mhz", band.to_mhz, kMinMhz, kMaxMhz, "MHz"); !s) return s;
    if (!(band.to_mhz > band.from_mhz)) {
        return wrong(fmt::format("{}to_mhz: {} is not above from_mhz, {}", of_band, band.to_mhz,
                                 band.from_mhz));
    }
    if (band.chart_sd_div) {
        if (Status s = within(of_band + "chart_sd_div", *band.chart_sd_div, 0.0, kMaxChartSdDiv,
                              "divisions");
            !s) {
            return s;
        }
    }
    if (band.points.size() < kMinPoints || band.points.size() > kMaxPoints) {
        return wrong(
            fmt::format("{}points: {} points are not enough or too many; allowed: {} to {}",
                        of_band, band.points.size(), kMinPoints, kMaxPoints));
    }
    for (std::size_t i = 0; i < band.points.size(); ++i) {
        if (Status s = check_point(receiver, band, i); !s) return s;
    }
    return Done{};
}

Status check(const Receiver& receiver) {
    if (Status s = check_settings(receiver); !s) return s;
    if (Status s = check_audio(receiver.audio); !s) return s;
    if (receiver.bands.empty() || receiver.bands.size() > kMaxBands) {
        return wrong(
            fmt::format("band: there are {}; allowed: 1 to {}", receiver.bands.size(), kMaxBands));
    }
    for (std::size_t i = 0; i < receiver.bands.size(); ++i) {
        const Band& band = receiver.bands[i];
        if (Status s = check_band(receiver, band); !s) return s;
        for (std::size_t k = 0; k < i; ++k) {
            if (receiver.bands[k].name == band.name) {
                return wrong(fmt::format("band \"{}\": the name stands twice", band.name));
            }
        }
    }
    return Done{};
}

std::string bands_in_words(const Receiver& receiver) {
    std::string words;
    for (const Band& band : receiver.bands) {
        words += fmt::format("{}{} ({} to {} MHz)", words.empty() ? "" : ", ", band.name,
                             band.from_mhz, band.to_mhz);
    }
    return words;
}

}  // namespace skedlark::dial
