#include "dsp/station/plan_writer.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "dsp/core/text_file.h"
#include "dsp/station/plan_reader.h"

namespace skedlark::station {

namespace {

constexpr double kLongestHours = 1000.0;  // a battery may be written in

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

std::string listed(const std::vector<std::string>& texts) {
    std::vector<std::string> all;
    for (const std::string& text : texts) all.push_back(quoted(text));
    return fmt::format("[{}]", fmt::join(all, ", "));
}

// Without the milliseconds where there are none.
std::string moment_text(UtcTime time) {
    std::string text = utc_text(time);
    if (text.ends_with(".000Z")) text.replace(text.size() - 5, 5, "Z");
    return text;
}

std::string day_text(std::chrono::sys_days day) { return utc_text(UtcTime(day)).substr(0, 10); }

// The percentage that is read back as this share to the last bit.
double percent_of(double share) {
    const double percent = 100.0 * share;
    for (const double near :
         {percent, std::nextafter(percent, 0.0), std::nextafter(percent, 1e3)}) {
        if (near / 100.0 == share) return near;
    }
    return percent;
}

std::vector<std::string> common_kit(const Plan& plan) {
    if (plan.contacts.empty()) return {};
    std::vector<std::string> kit = plan.contacts.front().kit;
    for (const Contact& contact : plan.contacts) {
        const auto differs =
            std::mismatch(kit.begin(), kit.end(), contact.kit.begin(), contact.kit.end());
        kit.erase(differs.first, kit.end());
    }
    return kit;
}

class PlanText {
 public:
    explicit PlanText(const Plan& plan) : plan_(plan), kit_(common_kit(plan)) {}

    std::string write() {
        header();
        for (const Station& station : plan_.stations) {
            head("station");
            text("call", station.call);
            text_if("name", station.name);
        }
        for (const Crystal& crystal : plan_.crystals) {
            head("crystal");
            text("name", crystal.name);
            number("khz", crystal.khz);
        }
        for (const TransmitterBand& each : plan_.bands) band(each);
        for (const Battery& each : plan_.batteries) battery(each);
        for (const Contact& each : plan_.contacts) contact(each);
        for (const Charging& each : plan_.charging) charging(each);
        return out_;
    }

 private:
    void head(const char* name) { out_ += fmt::format("\n[[{}]]\n", name); }
    void line(const char* name, const std::string& value) {
        out_ += fmt::format("{} = {}\n", name, value);
    }
    void text(const char* name, const std::string& value) { line(name, quoted(value)); }
    void text_if(const char* name, const std::string& value) {
        if (!value.empty()) text(name, value);
    }
    void number(const char* name, double value) { line(name, fmt::format("{}", value)); }
    void minutes(const char* name, Minutes value) { line(name, fmt::format("{}", value.count())); }

    void header() {
        text_if("title", plan_.title);
        text("call", plan_.call);
        number("sending_wpm", plan_.sending_wpm);
        text_if("zone", plan_.zone);
        line("kit", listed(kit_));
    }

    void band(const TransmitterBand& band) {
        head("band");
        text("position", band.position);
        number("from_khz", band.from_khz);
        number("to_khz", band.to_khz);
        if (band.multiplier != 1) line("multiplier", fmt::format("{}", band.multiplier));
    }

    void battery(const Battery& battery) {
        head("battery");
        text("name", battery.name);
        if (std::max(battery.receive_h, battery.send_h) <= kLongestHours) {
            number("receive_h", battery.receive_h);
            number("send_h", battery.send_h);
        } else {
            // What lasts longer than hours may be written comes from amperes.
            const double ah = std::min(10000.0, std::max(battery.receive_h, battery.send_h));
            number("capacity_ah", ah);
            number("receive_a", ah / battery.receive_h);
            number("send_a", ah / battery.send_h);
        }
        number("charge_ratio", battery.charge_ratio);
        number("charge_percent", percent_of(battery.charge));
        if (battery.as_of) line("as_of", moment_text(*battery.as_of));
    }

    void repeat(const Repeat& repeat) {
        const std::string rule = repeat_text(repeat);
        if (rule != "once") text("repeat", rule);
        if (repeat.until) line("until", day_text(*repeat.until));
        if (repeat.except.empty()) return;
        std::vector<std::string> days;
        for (const auto day : repeat.except) days.push_back(day_text(day));
        line("except", fmt::format("[{}]", fmt::join(days, ", ")));
    }

    void channel(const Channel& channel) {
        number("receive_khz", channel.receive_khz);
        text_if("answer_crystal", channel.crystal);
        if (channel.answer_khz) number("answer_khz", *channel.answer_khz);
    }

    void contact(const Contact& contact) {
        head("contact");
        text("name", contact.name);
        text("station", contact.station);
        line("start", moment_text(contact.start));
        repeat(contact.repeat);
        minutes("duration_min", contact.duration);
        minutes("give_up_min", contact.give_up);
        minutes("warm_up_min", contact.warm_up);
        minutes("sending_min", contact.sending);
        channel(contact.channel);
        text_if("battery", contact.battery);
        const std::vector<std::string> own(
            contact.kit.begin() + static_cast<std::ptrdiff_t>(kit_.size()), contact.kit.end());
        if (!own.empty()) line("kit", listed(own));
        for (const Fallback& fallback : contact.fallbacks) {
            head("contact.fallback");
            minutes("after_min", fallback.after);
            minutes("duration_min", fallback.duration);
            channel(fallback.channel);
        }
    }

    void charging(const Charging& charging) {
        head("charging");
        text("battery", charging.battery);
        line("start", moment_text(charging.start));
        repeat(charging.repeat);
        minutes("duration_min", charging.duration);
    }

    const Plan& plan_;
    const std::vector<std::string> kit_;
    std::string out_;
};

}  // namespace

std::string repeat_text(const Repeat& repeat) {
    static constexpr const char* kDays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    if (repeat.on_weekdays()) {
        std::vector<std::string> days;
        for (std::size_t i = 1; i <= 7; ++i) {  // the week begins on Monday
            if (repeat.weekdays[i % 7]) days.emplace_back(kDays[i % 7]);
        }
        return fmt::format("{}", fmt::join(days, " "));
    }
    if (!repeat.every) return "once";
    constexpr long kDayMin = 24 * 60;
    const long every_min = repeat.every->count();
    if (every_min == kDayMin) return "daily";
    if (every_min == 7 * kDayMin) return "weekly";
    if (every_min % kDayMin == 0) return fmt::format("every {} days", every_min / kDayMin);
    if (every_min % 60 == 0) return fmt::format("every {} h", every_min / 60);
    return fmt::format("every {} min", every_min);
}

std::string plan_toml(const Plan& plan) { return PlanText(plan).write(); }

Result<Plan> save_plan_text(const std::string& path, std::string_view toml) {
    auto plan = read_plan_text(toml, path);
    if (!plan) return plan;
    if (const Status status = replace_file(path, toml); !status) return status.error();
    return plan;
}

}  // namespace skedlark::station
