#include "dsp/station/plan_reader.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "dsp/core/toml_fields.h"
#include "dsp/core/units.h"
#include "dsp/station/repeat_rule.h"

namespace skedlark::station {

namespace {

const Allowed kKhz{kMinKhz, kMaxKhz, "kHz"};

struct PlanDefaults {
    long warm_up_min = kDefaultWarmUpMin;
    std::vector<std::string> kit;
};

template <typename T>
std::string names_of(const std::vector<T>& all) {
    std::vector<std::string> names;
    for (const T& one : all) names.push_back(one.name);
    return names.empty() ? "none is in the plan" : fmt::format("{}", fmt::join(names, ", "));
}

std::string calls_of(const std::vector<Station>& stations) {
    std::vector<std::string> calls;
    for (const Station& station : stations) calls.push_back(station.call);
    return calls.empty() ? "none is in the plan" : fmt::format("{}", fmt::join(calls, ", "));
}

Repeat read_repeat(TomlFields& fields) {
    const std::string rule = fields.text("repeat", "once");
    Repeat repeat;
    if (auto read = parse_repeat(rule)) {
        repeat = std::move(*read);
    } else {
        fields.refuse("repeat", read.error().message);
    }
    repeat.until = fields.date("until");
    repeat.except = fields.dates("except");
    return repeat;
}

Minutes read_minutes(TomlFields& fields, std::string_view name, double from,
                     std::optional<long> fallback = {}) {
    return Minutes(
        fields.whole(name, {from, static_cast<double>(kMaxDurationMin), "min"}, fallback));
}

class PlanReader {
 public:
    PlanReader(const toml::table& root, const std::string& file) : root_(root), problems_{file} {
        plan_.file = file;
    }

    Result<Plan> read() {
        TomlFields fields(root_, "", problems_);
        read_header(fields);
        for (const auto* table : fields.tables("station")) read_station(*table);
        for (const auto* table : fields.tables("crystal")) read_crystal(*table);
        for (const auto* table : fields.tables("band")) read_band(*table);
        for (const auto* table : fields.tables("battery")) read_battery(*table);
        for (const auto* table : fields.tables("contact")) read_contact(*table);
        for (const auto* table : fields.tables("charging")) read_charging(*table);
        fields.refuse_unknown();
        if (plan_.contacts.empty()) {
            problems_.add(0, "contact: is missing; a plan has at least one [[contact]]");
        }
        if (problems_.first) return *problems_.first;
        return std::move(plan_);
    }

 private:
    void read_header(TomlFields& fields) {
        plan_.title = fields.text("title", "");
        plan_.call = fields.call("call");
        plan_.sending_wpm =
            fields.number("sending_wpm", {kMinSpeedWpm, kMaxSpeedWpm, "wpm"}, plan_.sending_wpm);
        plan_.zone = fields.text("zone", plan_.zone);
        defaults_.warm_up_min = read_minutes(fields, "warm_up_min", 0, kDefaultWarmUpMin).count();
        defaults_.kit = fields.texts("kit", {"crystal", "spare valve", "fuse"});
    }

    // Each name once; the table is then known by it.
    template <typename T>
    std::string read_name(TomlFields& fields, const char* kind, const std::vector<T>& known) {
        const std::string name = fields.text("name");
        fields.rename(fmt::format("{} \"{}\"", kind, name));
        if (find_named(known, name) != nullptr) {
            fields.refuse("name", fmt::format("'{}' is there twice", name));
        }
        return name;
    }

    void read_station(const toml::table& table) {
        TomlFields fields(table, "station", problems_);
        Station station{fields.call("call"), fields.text("name", "")};
        fields.rename(fmt::format("station \"{}\"", station.call));
        if (is_known(station.call)) {
            fields.refuse("call", fmt::format("'{}' is there twice", station.call));
        }
        fields.refuse_unknown();
        plan_.stations.push_back(std::move(station));
    }

    void read_crystal(const toml::table& table) {
        TomlFields fields(table, "crystal", problems_);
        Crystal crystal;
        crystal.name = read_name(fields, "crystal", plan_.crystals);
        crystal.khz = fields.number("khz", kKhz);
        fields.refuse_unknown();
        plan_.crystals.push_back(std::move(crystal));
    }

    void read_band(const toml::table& table) {
        TomlFields fields(table, "band", problems_);
        TransmitterBand band;
        band.position = fields.text("position");
        fields.rename(fmt::format("band \"{}\"", band.position));
        band.from_khz = fields.number("from_khz", kKhz);
        band.to_khz = fields.number("to_khz", kKhz);
        band.multiplier = static_cast<int>(fields.whole("multiplier", {1.0, 4.0}, 1));
        if (!problems_.first && band.to_khz <= band.from_khz) {
            fields.refuse("to_khz",
                          fmt::format("{} is not above from_khz ({})", band.to_khz, band.from_khz));
        }
        fields.refuse_unknown();
        plan_.bands.push_back(std::move(band));
    }

    void read_battery(const toml::table& table) {
        TomlFields fields(table, "battery", problems_);
        Battery battery;
        battery.name = read_name(fields, "battery", plan_.batteries);
        read_hours(fields, battery);
        battery.charge_ratio = fields.number("charge_ratio", {0.1, 100.0});
        battery.charge = fields.number("charge_percent", {0.0, 100.0, "%"}, 100.0) / 100.0;
        if (fields.has("as_of")) battery.as_of = fields.utc("as_of");
        fields.refuse_unknown();
        plan_.batteries.push_back(std::move(battery));
    }

    // Either as hours, or as what stands on the label and on the meter.
    static void read_hours(TomlFields& fields, Battery& battery) {
        const Allowed hours{0.05, 1000.0, "h"};
        const Allowed amperes{0.001, 1000.0, "A"};
        if (!fields.has("capacity_ah")) {
            battery.receive_h = fields.number("receive_h", hours);
            battery.send_h = fields.number("send_h", hours, battery.receive_h);
            return;
        }
        if (fields.has("receive_h") || fields.has("send_h")) {
            fields.refuse("capacity_ah",
                          "cannot stand beside receive_h and send_h; allowed: hours, "
                          "or capacity_ah with receive_a and send_a");
        }
        const double capacity_ah = fields.number("capacity_ah", {0.01, 10000.0, "Ah"});
        battery.receive_h = capacity_ah / fields.number("receive_a", amperes);
        battery.send_h = capacity_ah / fields.number("send_a", amperes);
    }

    void read_contact(const toml::table& table) {
        TomlFields fields(table, "contact", problems_);
        Contact contact;
        contact.name = read_name(fields, "contact", plan_.contacts);
        contact.line = static_cast<int>(fields.line());
        contact.station = fields.call("station");
        if (!is_known(contact.station)) {
            fields.refuse("station", fmt::format("'{}' is not in the plan; allowed: {}",
                                                 contact.station, calls_of(plan_.stations)));
        }
        contact.start = fields.utc("start");
        contact.repeat = read_repeat(fields);
        contact.duration = read_minutes(fields, "duration_min", 1);
        if (contact.repeat.every && *contact.repeat.every < contact.duration) {
            fields.refuse("repeat",
                          fmt::format("comes round every {} min; allowed: not more often "
                                      "than duration_min ({})",
                                      contact.repeat.every->count(), contact.duration.count()));
        }
        read_times(fields, contact);
        contact.channel = read_channel(fields);
        contact.battery = read_battery_name(fields);
        contact.kit = defaults_.kit;
        for (std::string& thing : fields.texts("kit", {})) contact.kit.push_back(std::move(thing));
        for (const auto* fallback : fields.tables("fallback")) {
            contact.fallbacks.push_back(read_fallback(*fallback, contact));
        }
        std::stable_sort(contact.fallbacks.begin(), contact.fallbacks.end(),
                         [](const auto& a, const auto& b) { return a.after < b.after; });
        fields.refuse_unknown();
        plan_.contacts.push_back(std::move(contact));
    }

    void read_times(TomlFields& fields, Contact& contact) {
        const long duration_min = contact.duration.count();
        contact.give_up = read_minutes(fields, "give_up_min", 1, duration_min);
        contact.warm_up = read_minutes(fields, "warm_up_min", 0, defaults_.warm_up_min);
        const auto usual = static_cast<long>(
            std::max(1.0, kDefaultSendingShare * static_cast<double>(duration_min)));
        contact.sending = read_minutes(fields, "sending_min", 0, usual);
        for (const auto& [name, value] : {std::pair{"give_up_min", contact.give_up},
                                          std::pair{"sending_min", contact.sending}}) {
            if (value > contact.duration) {
                fields.refuse(name, fmt::format("{}; allowed: up to duration_min ({})",
                                                value.count(), duration_min));
            }
        }
    }

    Channel read_channel(TomlFields& fields) {
        Channel channel;
        channel.receive_khz = fields.number("receive_khz", kKhz);
        channel.crystal = fields.text("answer_crystal", "");
        if (fields.has("answer_khz")) channel.answer_khz = fields.number("answer_khz", kKhz);
        if (!channel.crystal.empty() && find_named(plan_.crystals, channel.crystal) == nullptr) {
            fields.refuse("answer_crystal", fmt::format("'{}' is not in the plan; allowed: {}",
                                                        channel.crystal, names_of(plan_.crystals)));
        }
        return channel;
    }

    Fallback read_fallback(const toml::table& table, const Contact& contact) {
        TomlFields fields(table, fmt::format("contact \"{}\": fallback", contact.name), problems_);
        Fallback fallback;
        fallback.after = read_minutes(fields, "after_min", 1);
        fallback.duration = read_minutes(fields, "duration_min", 1, contact.duration.count());
        fallback.channel = read_channel(fields);
        if (!problems_.first && fallback.after < contact.give_up) {
            fields.refuse("after_min",
                          fmt::format("{}; allowed: from the contact's give_up_min ({}) on",
                                      fallback.after.count(), contact.give_up.count()));
        }
        fields.refuse_unknown();
        return fallback;
    }

    std::string read_battery_name(TomlFields& fields) {
        const auto& batteries = plan_.batteries;
        std::string name =
            fields.text("battery", batteries.size() == 1 ? batteries.front().name : "");
        const bool wanted = batteries.size() > 1 || fields.has("battery");
        if (wanted && find_named(batteries, name) == nullptr) {
            fields.refuse("battery",
                          name.empty() ? fmt::format("is missing; allowed: {}", names_of(batteries))
                                       : fmt::format("'{}' is not in the plan; allowed: {}", name,
                                                     names_of(batteries)));
        }
        return name;
    }

    void read_charging(const toml::table& table) {
        TomlFields fields(table, "charging", problems_);
        Charging charging;
        charging.battery = read_battery_name(fields);
        if (plan_.batteries.empty())
            fields.refuse("battery", "there is no [[battery]] in the plan");
        charging.start = fields.utc("start");
        charging.repeat = read_repeat(fields);
        charging.duration = read_minutes(fields, "duration_min", 1);
        fields.refuse_unknown();
        plan_.charging.push_back(std::move(charging));
    }

    [[nodiscard]] bool is_known(const std::string& call) const {
        return std::any_of(plan_.stations.begin(), plan_.stations.end(),
                           [&](const Station& station) { return station.call == call; });
    }

    const toml::table& root_;
    TomlProblems problems_;
    PlanDefaults defaults_;
    Plan plan_;
};

}  // namespace

Result<Plan> read_plan_text(std::string_view text, const std::string& name) {
    const auto root = parse_toml(text, name);
    if (!root) return root.error();
    return PlanReader(*root, name).read();
}

Result<Plan> read_plan(const std::string& path) {
    const auto root = parse_toml_file(path);
    if (!root) return root.error();
    return PlanReader(*root, path).read();
}

}  // namespace skedlark::station
