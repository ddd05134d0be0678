#include "cli/station_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;

Json number(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;
}

Json percent(double share) { return number(100.0 * share, 2); }

Json time(const std::optional<UtcTime>& when) {
    return when ? Json(utc_text(*when)) : Json(nullptr);
}

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json object(const std::optional<station::DialSetting>& dial) {
    if (!dial) return nullptr;
    if (!dial->problem.empty()) return {{"problem", dial->problem}};
    return {{"band", dial->band},
            {"division", number(dial->division, 3)},
            {"from_division", number(dial->from_division, 3)},
            {"to_division", number(dial->to_division, 3)},
            {"sweep_min", dial->sweep_min ? number(*dial->sweep_min, 2) : Json(nullptr)}};
}

Json object(const station::Answer& answer) {
    if (!answer.wanted) return nullptr;
    Json json = {{"crystal", answer.crystal ? Json(answer.crystal->name) : Json(nullptr)},
                 {"crystal_khz", answer.crystal ? Json(answer.crystal->khz) : Json(nullptr)}};
    if (!answer.problem.empty()) {
        json["problem"] = answer.problem;
        return json;
    }
    json["khz"] = answer.khz;
    json["band_position"] = answer.band->position;
    json["band_khz"] = {answer.band->from_khz, answer.band->to_khz};
    json["multiplier"] = answer.band->multiplier;
    return json;
}

Json object(const station::Leg& leg) {
    Json json = {{"start_utc", utc_text(leg.start)}, {"end_utc", utc_text(leg.end)},
                 {"local_start", nullptr},           {"local_zone", nullptr},
                 {"receive_khz", leg.receive_khz},   {"dial", object(leg.dial)},
                 {"answer", object(leg.answer)}};
    if (leg.local_start) {
        const UtcTime clock(leg.local_start->written.clock.time_since_epoch());
        json["local_start"] = utc_text(clock).substr(0, 19);
        json["local_zone"] = leg.local_start->abbreviation;
    }
    return json;
}

Json object(const std::optional<station::ContactBudget>& budget) {
    if (!budget) return nullptr;
    return {{"name", budget->battery},
            {"before_percent", percent(budget->contact.before)},
            {"at_start_percent", percent(budget->start_share)},
            {"after_percent", percent(budget->contact.after)},
            {"after_fallbacks_percent", percent(budget->after_fallbacks_share)},
            {"short_by_percent", percent(budget->contact.short_by)},
            {"charge_owed_h", number(budget->contact.charge_owed_h, 2)},
            {"receive_left_h", number(budget->contact.receive_left_h, 2)},
            {"on_charger", budget->on_charger}};
}

}  // namespace

std::string json_line(const station::ContactCard& card) {
    Json legs = Json::array({object(card.leg)});
    for (const station::Leg& leg : card.fallbacks) legs.push_back(object(leg));
    const auto& doubt = card.clock.uncertainty_95_s;
    return line_of(
        {{"event", "contact"},
         {"name", card.contact},
         {"call", card.own_call},
         {"station", card.with.call},
         {"station_name", card.with.name},
         {"now_utc", utc_text(card.now)},
         {"stage", station::name_of(card.stage)},
         {"to_start_s", number(card.to_start_s, 3)},
         {"switch_on_utc", utc_text(card.switch_on)},
         {"to_switch_on_s", number(card.to_switch_on_s, 3)},
         {"give_up_utc", utc_text(card.give_up)},
         {"legs", legs},
         {"next_fallback", card.next_fallback ? Json(*card.next_fallback + 1) : Json(nullptr)},
         {"next_contact_utc", time(card.next_contact)},
         {"battery", object(card.battery)},
         {"kit", card.kit},
         {"clock",
          {{"offset_s", number(card.clock.offset_s, 3)},
           {"uncertainty_95_s", doubt ? number(*doubt, 3) : Json(nullptr)},
           {"how", card.clock.how}}},
         {"notes", card.notes}});
}

std::string json_line(const station::Conflict& conflict) {
    return line_of({{"event", "conflict"},
                    {"kind", station::name_of(conflict.kind)},
                    {"contact", conflict.contact},
                    {"other", conflict.other},
                    {"at_utc", time(conflict.at)},
                    {"said", conflict.said}});
}

std::string json_line(const station::MessageSheet& sheet, const station::Battery* battery) {
    Json parts = Json::array();
    for (const station::SheetPart& part : sheet.parts) {
        parts.push_back({{"first_group", part.first_group},
                         {"last_group", part.last_group},
                         {"sent", part.sent},
                         {"air_s", number(part.air_s, 2)}});
    }
    return line_of({{"event", "message"},
                    {"number", sheet.draft.number},
                    {"from", sheet.draft.from},
                    {"to", sheet.draft.to},
                    {"written_utc", utc_text(sheet.draft.written)},
                    {"count", sheet.groups.size()},
                    {"groups", sheet.groups},
                    {"call_up", sheet.call_up},
                    {"preamble", sheet.preamble},
                    {"parts", parts},
                    {"expect", sheet.expect},
                    {"receipt", sheet.receipt},
                    {"sign_off", sheet.sign_off},
                    {"speed_wpm", number(station::speed_of(sheet.hand), 2)},
                    {"message_air_s", number(sheet.message_air_s, 2)},
                    {"air_s", number(sheet.air_s, 2)},
                    {"battery", battery == nullptr ? Json(nullptr) : Json(battery->name)},
                    {"battery_percent", battery == nullptr ? Json(nullptr)
                                                           : percent(station::share_for_sending(
                                                                 *battery, sheet.air_s))}});
}

std::string json_line(const station::MessageSheet& sheet, const station::RepeatAnswer& answer) {
    Json groups = Json::array();
    for (const std::size_t group : answer.numbers) {
        groups.push_back({{"number", group}, {"text", sheet.groups[group - 1]}});
    }
    return line_of({{"event", "repeat"},
                    {"groups", groups},
                    {"sent", answer.sent},
                    {"air_s", number(answer.air_s, 2)}});
}

}  // namespace skedlark::cli
