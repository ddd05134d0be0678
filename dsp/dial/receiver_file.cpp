#include "dsp/dial/receiver_file.h"

#include <fmt/format.h>

#include <vector>

#include "dsp/core/text_file.h"
#include "dsp/core/toml_fields.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr const char* kFormat = "skedlark-receiver";
constexpr std::int64_t kVersion = 1;

std::vector<ChartPoint> points_of(TomlFields& fields, const std::string& band) {
    std::vector<ChartPoint> points;
    const toml::array* list = fields.list("points");
    if (list == nullptr) return points;
    for (const toml::node& node : *list) {
        const toml::array* pair = node.as_array();
        const auto part = [&](std::size_t i) -> std::optional<double> {
            const toml::node* value = pair->get(i);
            return value->is_number() ? value->value<double>() : std::nullopt;
        };
        if (pair == nullptr || pair->size() != 2 || !part(0) || !part(1)) {
            fields.refuse_at(node, fmt::format("band \"{}\": point {} is not [division, MHz]", band,
                                               points.size() + 1));
            return points;
        }
        points.push_back({*part(0), *part(1), static_cast<int>(node.source().begin.line)});
    }
    return points;
}

Band band_of(const toml::table& table, std::size_t place, TomlProblems& problems) {
    TomlFields fields(table, fmt::format("band {}", place), problems);
    Band band;
    band.line = static_cast<int>(fields.line());
    band.name = fields.text("name");
    band.from_mhz = fields.any_number("from_mhz");
    band.to_mhz = fields.any_number("to_mhz");
    const double chart_sd_div = fields.any_number("chart_sd_div", 0.0);
    if (fields.has("chart_sd_div")) band.chart_sd_div = chart_sd_div;
    band.points = points_of(fields, band.name);
    fields.refuse_unknown();
    return band;
}

void take_dial(const toml::table& table, Receiver& receiver, TomlProblems& problems) {
    TomlFields fields(table, "dial", problems);
    receiver.from_div = fields.any_number("from_div", receiver.from_div);
    receiver.to_div = fields.any_number("to_div", receiver.to_div);
    receiver.reading_sd_div = fields.any_number("reading_sd_div", receiver.reading_sd_div);
    fields.refuse_unknown();
}

void take_audio(const toml::table& table, Receiver& receiver, TomlProblems& problems) {
    TomlFields fields(table, "audio", problems);
    receiver.audio.pitch_hz = fields.any_number("pitch_hz", receiver.audio.pitch_hz);
    receiver.audio.low_hz = fields.any_number("low_hz", receiver.audio.low_hz);
    receiver.audio.high_hz = fields.any_number("high_hz", receiver.audio.high_hz);
    fields.refuse_unknown();
}

void take_beat(const toml::table& table, Receiver& receiver, TomlProblems& problems) {
    TomlFields fields(table, "beat", problems);
    const std::string reads = fields.text("chart_reads", "zero_beat");
    receiver.beat.zero_beat_offset_hz = fields.any_number("offset_hz", 0.0);
    const std::string listen = fields.text("listen", "above");
    fields.refuse_unknown();
    if (reads != "zero_beat" && reads != "centre") {
        fields.refuse("chart_reads",
                      fmt::format("'{}' is not known; allowed: zero_beat, centre", reads));
    }
    if (reads == "zero_beat" && receiver.beat.zero_beat_offset_hz != 0.0) {
        fields.refuse("offset_hz",
                      "is only for chart_reads = \"centre\"; a chart that reads zero beat has no "
                      "offset");
    }
    if (reads == "centre" && !fields.has("offset_hz")) {
        fields.refuse("offset_hz",
                      "is missing: how far the beat oscillator stands from the centre");
    }
    if (listen != "above" && listen != "below") {
        fields.refuse("listen", fmt::format("'{}' is not known; allowed: above, below", listen));
    }
    receiver.beat.listen = listen == "below" ? ListenSide::below : ListenSide::above;
}

void check_kind(TomlFields& fields) {
    const std::string format = fields.text("format");
    const double version = fields.any_number("version");
    if (format != kFormat) {
        fields.refuse("format",
                      fmt::format("'{}' is no receiver file; allowed: \"{}\"", format, kFormat));
    } else if (version != static_cast<double>(kVersion)) {
        fields.refuse("version",
                      fmt::format("{} is not known here; allowed: {}", version, kVersion));
    }
}

Result<Receiver> receiver_of(const std::string& file, const toml::table& table) {
    TomlProblems problems{file};
    TomlFields fields(table, "", problems);
    Receiver receiver;
    check_kind(fields);
    receiver.name = fields.text("name");
    take_dial(fields.table("dial"), receiver, problems);
    take_beat(fields.table("beat"), receiver, problems);
    take_audio(fields.table("audio"), receiver, problems);
    for (const toml::table* band : fields.tables("band")) {
        receiver.bands.push_back(band_of(*band, receiver.bands.size() + 1, problems));
    }
    fields.refuse_unknown();
    if (problems.first) return *problems.first;
    return receiver;
}

// Short where it can be, exact always.
std::string exact(double value) { return fmt::format("{}", value); }

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

std::string band_toml(const Band& band) {
    std::string out = fmt::format("\n[[band]]\nname = {}\nfrom_mhz = {}\nto_mhz = {}\n",
                                  quoted(band.name), exact(band.from_mhz), exact(band.to_mhz));
    if (band.chart_sd_div) out += fmt::format("chart_sd_div = {}\n", exact(*band.chart_sd_div));
    out += "points = [  # division, MHz\n";
    for (const ChartPoint& point : band.points) {
        out += fmt::format("    [{}, {}],\n", exact(point.div), exact(point.mhz));
    }
    return out + "]\n";
}

}  // namespace

Result<Receiver> parse_receiver(std::string_view toml, const std::string& name) {
    const Result<toml::table> table = parse_toml(toml, name);
    if (!table) return table.error();
    Result<Receiver> receiver = receiver_of(name, *table);
    if (!receiver) return receiver;
    if (Status s = check(*receiver); !s) {
        return Error{s.error().code, name + ": " + s.error().message};
    }
    return receiver;
}

Result<Receiver> read_receiver(const std::string& path) {
    const Result<std::string> text = read_text_file(path, kMaxBytes);
    if (!text) return text.error();
    return parse_receiver(*text, path);
}

std::string receiver_toml(const Receiver& receiver) {
    const bool centre = receiver.beat.zero_beat_offset_hz != 0.0;
    std::string out = fmt::format("format = \"{}\"\nversion = {}\nname = {}\n", kFormat, kVersion,
                                  quoted(receiver.name));
    out += fmt::format("\n[dial]\nfrom_div = {}\nto_div = {}\nreading_sd_div = {}\n",
                       exact(receiver.from_div), exact(receiver.to_div),
                       exact(receiver.reading_sd_div));
    out += fmt::format("\n[beat]\nchart_reads = \"{}\"\n", centre ? "centre" : "zero_beat");
    if (centre) out += fmt::format("offset_hz = {}\n", exact(receiver.beat.zero_beat_offset_hz));
    out += fmt::format("listen = \"{}\"\n",
                       receiver.beat.listen == ListenSide::below ? "below" : "above");
    out += fmt::format("\n[audio]\npitch_hz = {}\nlow_hz = {}\nhigh_hz = {}\n",
                       exact(receiver.audio.pitch_hz), exact(receiver.audio.low_hz),
                       exact(receiver.audio.high_hz));
    for (const Band& band : receiver.bands) out += band_toml(band);
    return out;
}

}  // namespace skedlark::dial
