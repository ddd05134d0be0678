#include "cli/bench_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/terminal.h"

namespace skedlark::cli {

namespace {

using bench::Known;
using bench::Measurement;
using Json = nlohmann::ordered_json;

// Decimals at which the uncertainty has two figures.
int decimals_of(const bench::Figure& figure) {
    const double scale = figure.uncertainty_95 > 0.0 ? figure.uncertainty_95 : figure.value * 1e-3;
    if (!(std::abs(scale) > 0.0)) return 2;
    return std::clamp(1 - static_cast<int>(std::floor(std::log10(std::abs(scale)))), 0, 9);
}

// "dB" for "sinad_db".
std::string unit_of(const std::string& name) {
    static const std::pair<const char*, const char*> kUnits[] = {
        {"_hz_per_s", "Hz/s"}, {"_hz_per_min", "Hz/min"},
        {"_dbfs", "dBFS"},     {"_dbm", "dBm"},
        {"_dbuv", "dBuV"},     {"_db", "dB"},
        {"_hz", "Hz"},         {"_khz", "kHz"},
        {"_percent", "%"},     {"_ppm", "ppm"},
        {"_volts", "V"},       {"_microvolt", "uV"},
        {"_ms", "ms"},         {"_s", "s"},
        {"_min", "min"},       {"_div", "div"}};
    for (const auto& [ending, unit] : kUnits) {
        if (name.ends_with(ending)) return unit;
    }
    return "";
}

std::string limit_text(const bench::Limit& limit) {
    std::string text;
    if (limit.min) text += fmt::format("min {:g}", *limit.min);
    if (limit.max) text += fmt::format("{}max {:g}", text.empty() ? "" : ", ", *limit.max);
    return text + (limit.own ? "*" : "");
}

std::string verdict_text(const bench::Judgement& judgement) {
    if (!judgement.pass) return "not settled";
    return std::string(*judgement.pass ? "kept" : "MISSED") + (judgement.sure ? "" : ", close");
}

Json rounded(double value, double uncertainty) {
    if (!std::isfinite(value)) return nullptr;
    const int decimals =
        decimals_of({value, uncertainty}) + 2;  // rounding adds nothing to the uncertainty
    const double scale = std::pow(10.0, std::min(decimals, 12));
    const double near = std::round(value * scale) / scale;
    return near == 0.0 ? 0.0 : near;
}

Json limit_json(const std::optional<bench::Limit>& limit) {
    if (!limit) return nullptr;
    if (limit->min && limit->max) return Json::array({*limit->min, *limit->max});
    return limit->min ? *limit->min : *limit->max;
}

const char* kind_of(const bench::Limit& limit) {
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

Json measurement_json(const BenchResult& result, const Measurement& m) {
    Json line{{"event", "measurement"}, {"test", result.test}, {"name", m.name}};
    if (!m.at.empty()) line["at"] = m.at;
    line["value"] = rounded(m.figure.value, m.figure.uncertainty_95);
    line["uncertainty_95"] = m.known == Known::value
                                 ? rounded(m.figure.uncertainty_95, m.figure.uncertainty_95)
                                 : Json(nullptr);
    line["known"] = word_for(m.known);
    const auto limit = result.limits.of(result.test, m.name);
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
    if (!result.report.chain.empty()) line["chain"] = result.report.chain;
    return line;
}

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string figure_text(const Measurement& m) {
    const int decimals = decimals_of(m.figure);
    const std::string unit = unit_of(m.name);
    if (m.known != Known::value) {
        return fmt::format("{} {:.{}f} {}", m.known == Known::at_most ? "below" : "above",
                           m.figure.value, decimals, unit);
    }
    return fmt::format("{:.{}f} +- {:.{}f} {}", m.figure.value, decimals, m.figure.uncertainty_95,
                       decimals, unit);
}

std::string difference_text(const std::string& name, const bench::Figure& difference) {
    const int decimals = decimals_of({difference.value, difference.uncertainty_95});
    return fmt::format("{:+.{}f} +- {:.{}f} {}", difference.value, decimals,
                       difference.uncertainty_95, decimals, unit_of(name));
}

bool keeps_limits(const BenchResult& result) {
    return std::all_of(result.report.measurements.begin(), result.report.measurements.end(),
                       [&](const Measurement& m) {
                           const auto limit = result.limits.of(result.test, m.name);
                           return !limit || judge(m, *limit).pass.value_or(false);
                       });
}

std::string wrapped_text(const std::string& text, std::size_t width, std::size_t indent) {
    std::string out;
    std::size_t column = 0;
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        if (column > 0 && column + 1 + word.size() > width) {
            out += "\n" + std::string(indent, ' ');
            column = indent;
        } else if (column > 0) {
            out += ' ';
            ++column;
        }
        out += word;
        column += word.size();
    }
    return out + "\n";
}

std::string bench_text(const BenchResult& result) {
    const auto width = static_cast<std::size_t>(kPlainWidth);
    std::string text = wrapped_text(
        fmt::format(
            "{}: {}, {:.1f} s at {:g} Hz{}", result.test, result.input, result.seconds,
            result.sample_rate_hz,
            result.report.chain.empty() ? "" : ", measured with the chain " + result.report.chain),
        width, 2);
    bool own = false;
    for (const Measurement& m : result.report.measurements) {
        const std::string what = m.at.empty() ? m.what : m.at + ": " + m.what;
        std::string line = fmt::format("  {:<37} {:<22}", what, figure_text(m));
        if (const auto limit = result.limits.of(result.test, m.name)) {
            own = own || limit->own;
            const std::string verdict = limit_text(*limit) + " " + verdict_text(judge(m, *limit));
            // Where it does not fit beside, it stands below.
            line += line.size() + 1 + verdict.size() > width ? "\n" + std::string(41, ' ') : " ";
            line += verdict;
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    for (const bench::Occurrence& o : result.report.occurrences) {
        text += wrapped_text(fmt::format("  {:.2f} s  {}: {}", o.at_s, o.kind, o.said), width, 4);
    }
    if (own) text += "  * a limit of the project's own; --limits FILE sets yours\n";
    for (const std::string& remark : result.report.remarks) {
        text += wrapped_text("- " + remark, width, 2);
    }
    return text;
}

std::string bench_json(const BenchResult& result) {
    std::string text = line_of({{"event", "input"},
                                {"name", result.input},
                                {"sample_rate_hz", result.sample_rate_hz},
                                {"seconds", result.seconds}});
    for (const Measurement& m : result.report.measurements)
        text += line_of(measurement_json(result, m));
    for (const bench::Occurrence& o : result.report.occurrences) {
        text += line_of({{"event", "occurrence"},
                         {"test", result.test},
                         {"kind", o.kind},
                         {"at_s", o.at_s},
                         {"length_s", o.length_s},
                         {"depth_db", o.depth_db ? Json(*o.depth_db) : Json(nullptr)}});
    }
    for (const std::string& remark : result.report.remarks) {
        text += line_of({{"event", "note"}, {"at_s", result.seconds}, {"text", remark}});
    }
    const std::string& chain = result.report.chain;
    return text + line_of({{"event", "bench"},
                           {"test", result.test},
                           {"seconds", result.seconds},
                           {"chain", chain.empty() ? Json(nullptr) : Json(chain)},
                           {"pass", keeps_limits(result)}});
}

}  // namespace skedlark::cli
