#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/dial_view.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;

Json rounded(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double near = std::round(value * scale) / scale;
    return near == 0.0 ? 0.0 : near;
}
Json rounded(const std::optional<double>& value, int decimals) {
    return value ? rounded(*value, decimals) : Json(nullptr);
}

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json setting_object(const dial::Setting& s) {
    return {{"mhz", s.mhz},
            {"div", rounded(s.div, 4)},
            {"listen_div", rounded(s.listen_div, 4)},
            {"sd_div", rounded(s.sd_div, 4)},
            {"div_95", {rounded(s.low95_div, 4), rounded(s.high95_div, 4)}},
            {"khz_per_div", rounded(s.khz_per_div, 3)}};
}

Json sweep_object(const dial::SweepPlan& sweep) {
    return {{"from_div", rounded(sweep.low_div, 3)},
            {"to_div", rounded(sweep.high_div, 3)},
            {"run_on_div", rounded(sweep.run_on_div, 3)},
            {"inside_chance", rounded(sweep.inside_chance, 5)},
            {"div_per_min", rounded(sweep.div_per_min, 3)},
            {"rate_hz_per_s", rounded(sweep.rate_hz_per_s, 1)},
            {"sweep_min", rounded(sweep.sweep_min, 2)},
            {"noticed_chance", rounded(sweep.noticed_chance, 4)}};
}

Json search_object(const dial::SearchPlan& search, double window_min) {
    Json json = {{"window_min", window_min},
                 {"seconds", rounded(search.seconds, 1)},
                 {"chance", rounded(search.chance, 4)},
                 {"stretches", Json::array()}};
    for (const dial::Stretch& s : search.stretches) {
        json["stretches"].push_back({{"from_div", rounded(s.from_div, 3)},
                                     {"to_div", rounded(s.to_div, 3)},
                                     {"run_on_div", rounded(s.run_on_div, 3)},
                                     {"div_per_min", rounded(s.div_per_min, 3)},
                                     {"seconds", rounded(s.seconds, 1)},
                                     {"chance", rounded(s.chance, 5)}});
    }
    return json;
}

Json known_list(const dial::Correction& correction) {
    Json list = Json::array();
    for (const dial::KnownFit& k : correction.stations) {
        list.push_back({{"mhz", k.station.mhz},
                        {"div", k.station.div},
                        {"chart_div", rounded(k.chart_div, 4)},
                        {"residual_div", rounded(k.residual_div, 4)},
                        {"fits", k.fits}});
    }
    return list;
}

Json correction_object(const dial::Correction& c) {
    return {{"offset_div", rounded(c.offset_div, 4)},
            {"stretch", rounded(c.stretch, 6)},
            {"offset_sd_div", rounded(std::sqrt(c.offset_variance), 4)},
            {"stretch_sd", rounded(std::sqrt(c.stretch_variance), 6)},
            {"checked", c.checked},
            {"known", known_list(c)}};
}

}  // namespace

std::string setting_json(const dial::Dial& dial, const SettingTold& told) {
    Json json = {
        {"event", "setting"}, {"receiver", dial.receiver().name}, {"band", dial.band().name}};
    json.update(setting_object(told.setting));
    json["sweep"] = sweep_object(told.sweep);
    json["search"] = told.search ? search_object(*told.search, told.window_min) : Json(nullptr);
    json["correction"] = correction_object(dial.correction());
    return line_of(json);
}

std::string place_json(const dial::Dial& dial, double div) {
    return line_of({{"event", "frequency"},
                    {"receiver", dial.receiver().name},
                    {"band", dial.band().name},
                    {"div", div},
                    {"mhz", rounded(dial.mhz_at(div), 7)},
                    {"mhz_sd", rounded(dial.mhz_sd(div), 7)},
                    {"khz_per_div", rounded(dial.khz_per_div(div), 3)},
                    {"correction", correction_object(dial.correction())}});
}

std::string band_json(const dial::Dial& dial) {
    const dial::BandChart& chart = dial.chart();
    Json json = {{"event", "band"},
                 {"receiver", dial.receiver().name},
                 {"band", dial.band().name},
                 {"mhz", {chart.low_mhz(), chart.high_mhz()}},
                 {"div", {chart.low_div(), chart.high_div()}},
                 {"points", dial.band().points.size()},
                 {"chart_sd_div", rounded(chart.chart_sd_div(), 4)},
                 {"reading_sd_div", dial.receiver().reading_sd_div},
                 {"check_points", Json::array()},
                 {"correction", correction_object(dial.correction())}};
    for (const dial::Setting& point : dial::check_points(dial)) {
        json["check_points"].push_back(setting_object(point));
    }
    return line_of(json);
}

std::string measured_json(const dial::MeasuredChart& made) {
    Json json = {{"event", "measured_chart"},
                 {"band", made.band.name},
                 {"chart_sd_div", rounded(made.chart_sd_div, 4)},
                 {"pairs", Json::array()}};
    for (const dial::PairFit& fit : made.pairs) {
        json["pairs"].push_back({{"div", fit.pair.div},
                                 {"mhz", fit.pair.mhz},
                                 {"residual_div", rounded(fit.residual_div, 4)},
                                 {"fits", fit.fits}});
    }
    return line_of(json);
}

}  // namespace skedlark::cli
