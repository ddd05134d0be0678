#include "dsp/bench/sheet_json.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace skedlark::bench {
namespace {

using Json = nlohmann::ordered_json;

Json rounded(double value, double uncertainty) {
    if (!std::isfinite(value)) return nullptr;
    const int decimals =
        decimals_of({value, uncertainty}) + 2;  // rounding adds nothing to the uncertainty
    const double scale = std::pow(10.0, std::min(decimals, 12));
    const double near = std::round(value * scale) / scale;
    return near == 0.0 ? 0.0 : near;
}

Json limit_json(const std::optional<Limit>& limit) {
    if (!limit) return nullptr;
    if (limit->min && limit->max) return Json::array({*limit->min, *limit->max});
    return limit->min ? *limit->min : *limit->max;
}

const char* kind_of(const Limit& limit) {
    if (limit.min && limit.max) return "between";
    return limit.min ? "min" : "max";
}

const char* word_for(Known known) {
    switch (known) {
        case Known::at_most:
            return "at_most";
        case Known::at_least:
            return "at_least";
        default:
            return "value";
    }
}

Json measurement_json(const Sheet& sheet, const Measurement& m) {
    Json line{{"event", "measurement"}, {"test", sheet.test}, {"name", m.name}};
    if (!m.at.empty()) line["at"] = m.at;
    line["what"] = m.what;
    line["value"] = rounded(m.figure.value, m.figure.uncertainty_95);
    line["uncertainty_95"] = m.known == Known::value
                                 ? rounded(m.figure.uncertainty_95, m.figure.uncertainty_95)
                                 : Json(nullptr);
    line["known"] = word_for(m.known);
    const auto limit = sheet.limits.of(sheet.test, m.name);
    line["limit"] = limit_json(limit);
    if (limit) {
        const auto judgement = judge(m, *limit);
        line["limit_kind"] = kind_of(*limit);
        line["limit_from"] = limit->own ? "project" : "file";
        line["pass"] = judgement.pass ? Json(*judgement.pass) : Json(nullptr);
        line["sure"] = judgement.sure;
    } else {
        line["pass"] = nullptr;
    }
    if (!sheet.report.chain.empty()) line["chain"] = sheet.report.chain;
    return line;
}

Json curve_json(const std::string& test, const Curve& curve) {
    Json points = Json::array();
    for (const CurveRow& row : curve.rows) {
        points.push_back({rounded(row.x, 0.0), rounded(row.y, row.uncertainty_95),
                          rounded(row.uncertainty_95, row.uncertainty_95)});
    }
    return {{"event", "curve"},  {"test", test},      {"name", curve.name}, {"what", curve.what},
            {"x", curve.x_name}, {"y", curve.y_name}, {"points", points}};
}

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string sheet_json(const Sheet& sheet) {
    std::string text = line_of({{"event", "input"},
                                {"name", sheet.input},
                                {"sample_rate_hz", sheet.sample_rate_hz},
                                {"seconds", sheet.seconds}});
    for (const Measurement& m : sheet.report.measurements)
        text += line_of(measurement_json(sheet, m));
    for (const Occurrence& o : sheet.report.occurrences) {
        text += line_of({{"event", "occurrence"},
                         {"test", sheet.test},
                         {"kind", o.kind},
                         {"at_s", o.at_s},
                         {"length_s", o.length_s},
                         {"depth_db", o.depth_db ? Json(*o.depth_db) : Json(nullptr)},
                         {"said", o.said}});
    }
    for (const Curve& curve : sheet.report.curves) text += line_of(curve_json(sheet.test, curve));
    for (const std::string& remark : sheet.report.remarks) {
        text += line_of({{"event", "note"}, {"at_s", sheet.seconds}, {"text", remark}});
    }
    const std::string& chain = sheet.report.chain;
    return text + line_of({{"event", "bench"},
                           {"test", sheet.test},
                           {"seconds", sheet.seconds},
                           {"chain", chain.empty() ? Json(nullptr) : Json(chain)},
                           {"pass", keeps_limits(sheet)}});
}

}  // namespace skedlark::bench
