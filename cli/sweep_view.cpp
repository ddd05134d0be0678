#include "cli/sweep_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/text_view.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of a normal

Json rounded(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double near = std::round(value * scale) / scale;
    return near == 0.0 ? 0.0 : near;
}

// Chance a division along the map, cells joined to what a plot can show.
Json density_of(const dial::PlaceMap& map) {
    constexpr std::size_t kMostPoints = 400;
    const std::size_t together = (map.cells() + kMostPoints - 1) / kMostPoints;
    Json points = Json::array();
    for (std::size_t from = 0; from < map.cells(); from += together) {
        const std::size_t to = std::min(from + together, map.cells());
        double chance = 0.0;
        for (std::size_t cell = from; cell < to; ++cell) chance += map.chance(cell);
        const double width_div = static_cast<double>(to - from) * map.step_div();
        const double middle_div = 0.5 * (map.div_of(from) + map.div_of(to - 1));
        points.push_back({rounded(middle_div, 4), rounded(chance / width_div, 8)});
    }
    return points;
}

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string kind_of(const watch::SweepStation& heard) {
    if (heard.broadcast) return "broadcast";
    return !heard.keyed ? "unknown" : *heard.keyed ? "keyed" : "steady";
}

// The end of what was copied, as far as a line has room: the call is more likely there.
std::string shortened(const std::string& text) {
    constexpr std::size_t kRoom = 28;
    return text.size() <= kRoom ? text : "... " + text.substr(text.size() - kRoom);
}

std::string percent(double chance) {
    return chance > 0.999 ? "over 99.9 %" : fmt::format("{:.1f} %", 100.0 * chance);
}

}  // namespace

std::string sweep_heading() {
    return "    time   division  95 %         MHz  kind           SNR  odds of a false alarm\n";
}

std::string station_text(const watch::SweepStation& station) {
    const std::string odds = station.false_alarm_odds < 1.0e-99
                                 ? "below 1e-99"
                                 : fmt::format("{:.2g}", station.false_alarm_odds);
    std::string text = fmt::format("{:>8}  {:>9.2f}  ±{:<5.2f}  {:>8.4f}  {:<9}  {:>5.1f} dB  {}\n",
                                   clock_text(station.at_s), station.div, kZ95 * station.sd_div,
                                   station.mhz, kind_of(station), station.snr_2500hz_db, odds);
    if (!station.stop_pitch_hz) return text;
    text += fmt::format("          at rest, {:.0f} Hz", *station.stop_pitch_hz);
    if (const auto& call = station.expected_call)
        text += fmt::format("; {}, {:.0f} % sure", call->call, 100.0 * call->confidence);
    if (station.other_call) text += fmt::format("; another call, {}", station.other_call->call);
    if (!station.text.empty()) text += ": " + shortened(station.text);
    return text + "\n";
}

std::string station_json(const watch::SweepStation& station) {
    Json json = {{"event", "station"},
                 {"div", rounded(station.div, 4)},
                 {"div_95", {rounded(station.low95_div, 4), rounded(station.high95_div, 4)}},
                 {"mhz", rounded(station.mhz, 6)},
                 {"mhz_sd", rounded(station.mhz_sd, 6)},
                 {"zero_beat_s", station.stop_pitch_hz ? Json(nullptr) : rounded(station.at_s, 3)},
                 {"keyed", station.keyed ? Json(*station.keyed) : Json(nullptr)},
                 {"broadcast", station.broadcast},
                 {"snr_2500hz_db", rounded(station.snr_2500hz_db, 1)},
                 {"rate_hz_per_s", rounded(station.rate_hz_per_s, 1)},
                 {"false_alarm_odds", station.false_alarm_odds}};
    if (station.stop_pitch_hz) {
        json["rest_s"] = rounded(station.at_s, 3);
        json["pitch_hz"] = rounded(*station.stop_pitch_hz, 1);
        json["text"] = station.text;
        json["call"] = nullptr;
        if (const auto& call = station.expected_call)
            json["call"] = {{"call", call->call}, {"confidence", rounded(call->confidence, 3)}};
    }
    return line_of(json);
}

std::string sweep_text(const SweepTold& told, double pitch_hz) {
    const auto keyed = std::count_if(told.stations.begin(), told.stations.end(),
                                     [](const auto& one) { return one.keyed.value_or(false); });
    std::string text =
        fmt::format("-- {} of audio, {:.1f} to {:.1f}: {} station{}, {} keyed\n",
                    clock_text(told.seconds), told.from_div, told.to_div, told.stations.size(),
                    told.stations.size() == 1 ? "" : "s", keyed);
    if (told.go_back != nullptr) {
        text += fmt::format("   go back to {:.2f} for zero beat", told.go_back->div);
        if (told.go_back_listen_div) {
            text += fmt::format(", about {:.2f} to hear it at {:.0f} Hz", *told.go_back_listen_div,
                                pitch_hz);
        }
        text += "\n";
    }
    if (told.map == nullptr) return text;
    const auto place = told.map->place();
    text += fmt::format(
        "   {:.4f} MHz: likeliest at {:.2f}, with 95 % from {:.2f} to {:.2f};\n"
        "   the sweeps so far ({}) would have found it with {}\n",
        told.map->wanted_mhz(), place.likeliest_div, place.low_div, place.high_div,
        told.map->passes(), percent(told.map->chance_so_far()));
    if (told.next) {
        const dial::Stretch& s = *told.next;
        text += fmt::format("   next: {:.2f} to {:.2f} at {:.2f} divisions a minute, {:.0f} s\n",
                            s.from_div - s.run_on_div, s.to_div + s.run_on_div, s.div_per_min,
                            s.seconds);
    }
    return text;
}

std::string sweep_json(const SweepTold& told) {
    Json json = {{"event", "sweep"},
                 {"seconds", rounded(told.seconds, 3)},
                 {"from_div", rounded(told.from_div, 4)},
                 {"to_div", rounded(told.to_div, 4)},
                 {"stations", told.stations.size()},
                 {"go_back_div", told.go_back != nullptr ? rounded(told.go_back->div, 4) : nullptr},
                 {"go_back_listen_div",
                  told.go_back_listen_div ? rounded(*told.go_back_listen_div, 4) : nullptr},
                 {"map", nullptr}};
    if (told.map != nullptr) {
        const auto place = told.map->place();
        Json map = {{"mhz", told.map->wanted_mhz()},
                    {"likeliest_div", rounded(place.likeliest_div, 4)},
                    {"div_95", {rounded(place.low_div, 4), rounded(place.high_div, 4)}},
                    {"passes", told.map->passes()},
                    {"chance_so_far", rounded(told.map->chance_so_far(), 5)},
                    {"next", nullptr}};
        if (told.next) {
            map["next"] = {{"from_div", rounded(told.next->from_div, 4)},
                           {"to_div", rounded(told.next->to_div, 4)},
                           {"run_on_div", rounded(told.next->run_on_div, 4)},
                           {"div_per_min", rounded(told.next->div_per_min, 3)},
                           {"seconds", rounded(told.next->seconds, 1)},
                           {"chance", rounded(told.next->chance, 5)}};
        }
        map["density"] = density_of(*told.map);
        json["map"] = map;
    }
    return line_of(json);
}

}  // namespace skedlark::cli
