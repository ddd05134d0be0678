// The file of a measuring chain.
#include <fmt/format.h>

#include "dsp/bench/chain.h"
#include "dsp/core/toml_fields.h"

namespace skedlark::bench {
namespace {

constexpr const char* kFormat = "skedlark-chain";

std::string figure_line(const char* name, const Figure& figure) {
    return fmt::format("{} = {}\n{}_95 = {}\n", name, figure.value, name, figure.uncertainty_95);
}

Figure figure_of(TomlFields& fields, const std::string& name, const Allowed& allowed) {
    Figure out;
    out.value = fields.number(name, allowed);
    out.uncertainty_95 = fields.number(name + "_95", {0.0, 1e6, allowed.unit}, 0.0);
    return out;
}

Result<Chain> chain_of(const toml::table& table, const std::string& file) {
    TomlProblems problems{file};
    TomlFields fields(table, "", problems);
    Chain chain;
    const std::string format = fields.text("format");
    if (format != kFormat) {
        fields.refuse("format",
                      fmt::format("'{}' is no measuring chain; allowed: \"{}\"", format, kFormat));
    }
    fields.whole("version", {1, 1, ""});
    chain.name = fields.text("name");
    chain.sample_rate_hz = fields.number("sample_rate_hz", {8000.0, 192000.0, "Hz"});
    chain.band.low_hz = fields.number("low_hz", {0.0, 96000.0, "Hz"});
    chain.band.high_hz = fields.number("high_hz", {1.0, 96000.0, "Hz"});
    if (chain.band.high_hz <= chain.band.low_hz) fields.refuse("high_hz", "must be above low_hz");
    chain.noise_dbfs = figure_of(fields, "noise_dbfs", {-250.0, 10.0, "dBFS"});
    if (fields.has("hum_dbfs")) chain.hum_dbfs = fields.number("hum_dbfs", {-250.0, 10.0, "dBFS"});
    if (fields.has("thd_percent"))
        chain.thd_percent = fields.number("thd_percent", {0.0, 1000.0, "%"});
    if (fields.has("clock_ppm"))
        chain.clock_ppm = figure_of(fields, "clock_ppm", {-10000.0, 10000.0, "ppm"});
    if (fields.has("full_scale_volts"))
        chain.full_scale_volts = figure_of(fields, "full_scale_volts", {1e-6, 1000.0, "V"});
    fields.refuse_unknown();
    if (problems.first) return *problems.first;
    return chain;
}

// In marks, what would end the text or the line taken out.
std::string quoted(std::string text) {
    for (char& c : text) {
        if (c == '"' || c == '\\' || static_cast<unsigned char>(c) < 0x20) c = ' ';
    }
    return '"' + text + '"';
}

}  // namespace

std::string chain_toml(const Chain& chain) {
    std::string text = fmt::format(
        "format = \"{}\"\nversion = 1\nname = {}\nsample_rate_hz = {}\nlow_hz = "
        "{}\nhigh_hz = {}\n",
        kFormat, quoted(chain.name), chain.sample_rate_hz, chain.band.low_hz, chain.band.high_hz);
    text += figure_line("noise_dbfs", chain.noise_dbfs);
    if (chain.hum_dbfs) text += fmt::format("hum_dbfs = {}\n", *chain.hum_dbfs);
    if (chain.thd_percent) text += fmt::format("thd_percent = {}\n", *chain.thd_percent);
    if (chain.clock_ppm) text += figure_line("clock_ppm", *chain.clock_ppm);
    if (chain.full_scale_volts) text += figure_line("full_scale_volts", *chain.full_scale_volts);
    return text;
}

Result<Chain> parse_chain(std::string_view text, const std::string& file) {
    const auto table = parse_toml(text, file);
    if (!table) return table.error();
    return chain_of(*table, file);
}

Result<Chain> read_chain(const std::string& path) {
    const auto table = parse_toml_file(path);
    if (!table) return table.error();
    return chain_of(*table, path);
}

}  // namespace skedlark::bench
