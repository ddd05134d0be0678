#include "dsp/dial/receiver_file.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <algorithm>
#include <exception>
#include <vector>

#include "dsp/core/text_file.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr const char* kFormat = "skedlark-receiver";
constexpr std::int64_t kVersion = 1;

// Reads fields one by one and keeps the first thing that is wrong.
class Fields {
 public:
    Fields(const std::string& file, const toml::table& table, std::string of)
        : file_(file), table_(table), of_(std::move(of)) {}

    [[nodiscard]] double number(std::string_view key, std::optional<double> otherwise = {}) {
        const toml::node* node = find(key, !otherwise.has_value());
        if (node == nullptr) return otherwise.value_or(0.0);
        if (const auto value = node->value<double>(); value && node->is_number()) return *value;
        fail(*node, fmt::format("{}{} is no number", of_, key));
        return 0.0;
    }
    [[nodiscard]] std::string text(std::string_view key,
                                   std::optional<std::string> otherwise = {}) {
        const toml::node* node = find(key, !otherwise.has_value());
        if (node == nullptr) return otherwise.value_or("");
        if (const auto* value = node->as_string()) return value->get();
        fail(*node, fmt::format("{}{} is no text; allowed: \"in quotes\"", of_, key));
        return {};
    }
    [[nodiscard]] const toml::array* array(std::string_view key) {
        const toml::node* node = find(key, true);
        if (node == nullptr) return nullptr;
        if (const auto* value = node->as_array()) return value;
        fail(*node, fmt::format("{}{} is no list", of_, key));
        return nullptr;
    }
    // An empty one where it is not there.
    [[nodiscard]] const toml::table& table(std::string_view key) {
        static const toml::table kNone;
        const toml::node* node = find(key, false);
        if (node == nullptr) return kNone;
        if (const auto* value = node->as_table()) return *value;
        fail(*node, fmt::format("{}{} is no table; allowed: [{}]", of_, key, key));
        return kNone;
    }
    // After all fields were asked for: what is left is a slip of the pen.
    void end() {
        for (const auto& [key, node] : table_) {
            const std::string name(key.str());
            if (std::find(known_.begin(), known_.end(), name) == known_.end()) {
                fail(node, fmt::format("{}{} is not known; allowed: {}", of_, name,
                                       fmt::join(known_, ", ")));
            }
        }
    }
    void fail(const toml::node& node, const std::string& message) {
        if (!error_) {
            error_ = Error{ErrorCode::damaged,
                           fmt::format("{}:{}: {}", file_, node.source().begin.line, message)};
        }
    }
    [[nodiscard]] const std::optional<Error>& error() const { return error_; }

 private:
    [[nodiscard]] const toml::node* find(std::string_view key, bool wanted) {
        known_.emplace_back(key);
        const toml::node* node = table_.get(key);
        if (node == nullptr && wanted) {
            fail(table_, fmt::format("{}{} is missing", of_, key));
        }
        return node;
    }

    const std::string& file_;
    const toml::table& table_;
    std::string of_;  // "dial.", "band \"2\", "
    std::vector<std::string> known_{};
    std::optional<Error> error_{};
};

Result<std::vector<ChartPoint>> points_of(const std::string& file, const std::string& band,
                                          const toml::array& list) {
    std::vector<ChartPoint> points;
    for (const toml::node& node : list) {
        const toml::array* pair = node.as_array();
        const auto part = [&](std::size_t i) -> std::optional<double> {
            const toml::node* value = pair->get(i);
            return value->is_number() ? value->value<double>() : std::nullopt;
        };
        const int line = static_cast<int>(node.source().begin.line);
        if (pair == nullptr || pair->size() != 2 || !part(0) || !part(1)) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: band \"{}\", point {} is not [division, MHz]", file,
                                     line, band, points.size() + 1)};
        }
        points.push_back({*part(0), *part(1), line});
    }
    return points;
}

Result<Band> band_of(const std::string& file, const toml::table& table, std::size_t place) {
    Fields fields(file, table, fmt::format("band {}: ", place));
    Band band;
    band.line = static_cast<int>(table.source().begin.line);
    band.name = fields.text("name");
    band.from_mhz = fields.number("from_mhz");
    band.to_mhz = fields.number("to_mhz");
    const double chart_sd_div = fields.number("chart_sd_div", -1.0);
    if (table.contains("chart_sd_div")) band.chart_sd_div = chart_sd_div;
    const toml::array* list = fields.array("points");
    fields.end();
    if (fields.error()) return *fields.error();
    Result<std::vector<ChartPoint>> points = points_of(file, band.name, *list);
    if (!points) return points.error();
    band.points = *points;
    return band;
}

Status take_dial(const std::string& file, const toml::table& table, Receiver& receiver) {
    Fields fields(file, table, "dial.");
    receiver.from_div = fields.number("from_div", receiver.from_div);
    receiver.to_div = fields.number("to_div", receiver.to_div);
    receiver.reading_sd_div = fields.number("reading_sd_div", receiver.reading_sd_div);
    fields.end();
    if (fields.error()) return *fields.error();
    return Done{};
}

Status take_audio(const std::string& file, const toml::table& table, Receiver& receiver) {
    Fields fields(file, table, "audio.");
    receiver.audio.pitch_hz = fields.number("pitch_hz", receiver.audio.pitch_hz);
    receiver.audio.low_hz = fields.number("low_hz", receiver.audio.low_hz);
    receiver.audio.high_hz = fields.number("high_hz", receiver.audio.high_hz);
    fields.end();
    if (fields.error()) return *fields.error();
    return Done{};
}

Status take_beat(const std::string& file, const toml::table& table, Receiver& receiver) {
    Fields fields(file, table, "beat.");
    const std::string reads = fields.text("chart_reads", "zero_beat");
    receiver.beat.zero_beat_offset_hz = fields.number("offset_hz", 0.0);
    const std::string listen = fields.text("listen", "above");
    fields.end();
    if (reads != "zero_beat" && reads != "centre") {
        fields.fail(
            *table.get("chart_reads"),
            fmt::format("beat.chart_reads: '{}' is not known; allowed: zero_beat, centre", reads));
    }
    if (reads == "zero_beat" && receiver.beat.zero_beat_offset_hz != 0.0) {
        fields.fail(*table.get("offset_hz"),
                    "beat.offset_hz is only for chart_reads = \"centre\"; a chart that reads zero "
                    "beat has no offset");
    }
    if (reads == "centre" && !table.contains("offset_hz")) {
        fields.fail(table,
                    "beat.offset_hz is missing: how far the beat oscillator stands from the "
                    "centre");
    }
    if (listen != "above" && listen != "below") {
        fields.fail(*table.get("listen"),
                    fmt::format("beat.listen: '{}' is not known; allowed: above, below", listen));
    }
    receiver.beat.listen = listen == "below" ? ListenSide::below : ListenSide::above;
    if (fields.error()) return *fields.error();
    return Done{};
}

Status check_kind(Fields& fields, const toml::table& table) {
    const std::string format = fields.text("format");
    const double version = fields.number("version");
    if (fields.error()) return *fields.error();
    if (format != kFormat) {
        fields.fail(
            *table.get("format"),
            fmt::format("format: '{}' is no receiver file; allowed: \"{}\"", format, kFormat));
    } else if (version != static_cast<double>(kVersion)) {
        fields.fail(*table.get("version"),
                    fmt::format("version: {} is not known here; allowed: {}", version, kVersion));
    }
    if (fields.error()) return *fields.error();
    return Done{};
}

Result<Receiver> receiver_of(const std::string& file, const toml::table& table) {
    Fields fields(file, table, "");
    if (Status s = check_kind(fields, table); !s) return s.error();
    Receiver receiver;
    receiver.name = fields.text("name");
    if (Status s = take_dial(file, fields.table("dial"), receiver); !s) return s.error();
    if (Status s = take_beat(file, fields.table("beat"), receiver); !s) return s.error();
    if (Status s = take_audio(file, fields.table("audio"), receiver); !s) return s.error();
    const toml::array* bands = fields.array("band");
    fields.end();
    if (fields.error()) return *fields.error();
    for (const toml::node& node : *bands) {
        const toml::table* one = node.as_table();
        if (one == nullptr) {
            fields.fail(node, "band: each is a table of its own; allowed: [[band]]");
            return *fields.error();
        }
        Result<Band> band = band_of(file, *one, receiver.bands.size() + 1);
        if (!band) return band.error();
        receiver.bands.push_back(*band);
    }
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
    try {
        const toml::table table = toml::parse(toml, name);
        Result<Receiver> receiver = receiver_of(name, table);
        if (!receiver) return receiver.error();
        if (Status s = check(*receiver); !s) {
            return Error{s.error().code, name + ": " + s.error().message};
        }
        return receiver;
    } catch (const toml::parse_error& wrong) {
        return Error{ErrorCode::damaged, fmt::format("{}:{}: {}", name, wrong.source().begin.line,
                                                     wrong.description())};
    } catch (const std::exception& wrong) {
        return Error{ErrorCode::damaged, fmt::format("{}: {}", name, wrong.what())};
    }
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
