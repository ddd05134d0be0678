// Plans at random, such as the reader gives them.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "dsp/station/plan_reader.h"
#include "dsp/station/repeat_rule.h"

namespace skedlark::station::test {

inline int draw(std::mt19937& random, int from, int to) {
    return std::uniform_int_distribution<int>(from, to)(random);
}
inline double draw_real(std::mt19937& random, double from, double to) {
    // Some with few digits, as people write them; some with all a double has.
    const double value = std::uniform_real_distribution<double>(from, to)(random);
    return draw(random, 0, 1) == 0 ? value : std::max(from, std::floor(value * 2.0) / 2.0);
}

inline std::string draw_text(std::mt19937& random) {
    static constexpr const char* kParts[] = {
        "K1", "a \"marked\" one", "back\\slash", "Hütte", "#no", "x = [1]", "'"};
    return std::string(kParts[draw(random, 0, 6)]) + " " + std::to_string(draw(random, 0, 1 << 30));
}

inline UtcTime draw_time(std::mt19937& random) {
    const UtcTime base(std::chrono::sys_days(std::chrono::year(2026) / 1 / 1));
    const auto ms = draw(random, 0, 3) == 0 ? draw(random, 0, 59999) : 0;
    return base + Minutes(draw(random, 0, 60 * 24 * 365)) + std::chrono::milliseconds(ms);
}

inline Repeat draw_repeat(std::mt19937& random) {
    static constexpr const char* kRules[] = {
        "once", "daily", "weekly", "every 3 days", "Mon Wed Fri", "every 4321 min", "every 50 h"};
    Repeat repeat = *parse_repeat(kRules[draw(random, 0, 6)]);
    const auto day = [&] { return std::chrono::floor<std::chrono::days>(draw_time(random)); };
    if (draw(random, 0, 2) == 0) repeat.until = day();
    for (int i = draw(random, 0, 2); i > 0; --i) repeat.except.push_back(day());
    return repeat;
}

inline Channel draw_channel(std::mt19937& random, const Plan& plan) {
    Channel channel;
    channel.receive_khz = draw_real(random, kMinKhz, kMaxKhz);
    if (!plan.crystals.empty() && draw(random, 0, 1) == 0) {
        const int last = static_cast<int>(plan.crystals.size()) - 1;
        channel.crystal = plan.crystals[static_cast<std::size_t>(draw(random, 0, last))].name;
    }
    if (draw(random, 0, 2) == 0) channel.answer_khz = draw_real(random, kMinKhz, kMaxKhz);
    return channel;
}

inline Contact draw_contact(std::mt19937& random, const Plan& plan) {
    Contact contact;
    contact.name = draw_text(random);
    const int last = static_cast<int>(plan.stations.size()) - 1;
    contact.station = plan.stations[static_cast<std::size_t>(draw(random, 0, last))].call;
    contact.start = draw_time(random);
    contact.repeat = draw_repeat(random);
    contact.duration = Minutes(draw(random, 1, 240));
    const int length = static_cast<int>(contact.duration.count());
    contact.give_up = Minutes(draw(random, 1, length));
    contact.sending = Minutes(draw(random, 0, length));
    contact.warm_up = Minutes(draw(random, 0, 60));
    contact.channel = draw_channel(random, plan);
    if (!plan.batteries.empty()) contact.battery = plan.batteries.back().name;
    auto after = contact.give_up;
    for (int i = draw(random, 0, 3); i > 0; --i) {
        after += Minutes(draw(random, 0, 200));
        contact.fallbacks.push_back(
            {after, Minutes(draw(random, 1, 90)), draw_channel(random, plan)});
    }
    return contact;
}

inline void draw_tables(std::mt19937& random, Plan& plan) {
    for (int i = draw(random, 1, 4); i > 0; --i) {
        plan.stations.push_back({"QX" + std::to_string(i), i % 2 == 0 ? draw_text(random) : ""});
    }
    for (int i = draw(random, 0, 4); i > 0; --i) {
        plan.crystals.push_back(
            {draw_text(random) + std::to_string(i), draw_real(random, kMinKhz, kMaxKhz)});
    }
    for (int i = draw(random, 0, 3); i > 0; --i) {
        const double from_khz = draw_real(random, kMinKhz, 30000.0);
        plan.bands.push_back({std::to_string(i), from_khz,
                              from_khz + draw_real(random, 1.0, 5000.0), draw(random, 1, 4)});
    }
    for (int i = draw(random, 0, 3); i > 0; --i) {
        Battery battery{draw_text(random) + std::to_string(i), draw_real(random, 0.5, 1000.0),
                        draw_real(random, 0.5, 1000.0), draw_real(random, 0.5, 100.0),
                        draw_real(random, 0.0, 1.0)};
        if (draw(random, 0, 1) == 0) battery.as_of = draw_time(random);
        plan.batteries.push_back(battery);
    }
}

inline Plan random_plan(std::mt19937& random) {
    Plan plan;
    plan.title = draw(random, 0, 1) == 0 ? "" : draw_text(random);
    plan.call = "QVA" + std::to_string(draw(random, 0, 9));
    plan.sending_wpm = draw_real(random, 4.0, 60.0);
    plan.zone = draw(random, 0, 1) == 0 ? "UTC" : "Europe/Vienna";
    draw_tables(random, plan);
    std::vector<std::string> kit;
    for (int i = draw(random, 0, 3); i > 0; --i) kit.push_back(draw_text(random));
    for (int i = draw(random, 1, 4); i > 0; --i) {
        Contact contact = draw_contact(random, plan);
        contact.kit = kit;
        for (int more = draw(random, 0, 2); more > 0; --more) {
            contact.kit.push_back(draw_text(random));
        }
        plan.contacts.push_back(std::move(contact));
    }
    for (int i = plan.batteries.empty() ? 0 : draw(random, 0, 2); i > 0; --i) {
        plan.charging.push_back({plan.batteries.front().name, draw_time(random),
                                 draw_repeat(random), Minutes(draw(random, 1, 600))});
    }
    return plan;
}

}  // namespace skedlark::station::test
