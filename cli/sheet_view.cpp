#include "cli/sheet_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/card_view.h"
#include "cli/terminal.h"

namespace skedlark::cli {

namespace {

constexpr std::size_t kMargin = 12;
constexpr std::size_t kNumber = 5;  // columns of a group's number and the blank behind it
constexpr std::size_t kMostInARow = 5;

// Groups under each other in columns, each with its number.
std::string group_rows(const station::MessageSheet& sheet, const station::SheetPart& part) {
    std::size_t widest = 0;
    for (const std::string& group : sheet.groups) widest = std::max(widest, group.size());
    const std::size_t column = kNumber + widest + 1;
    const std::size_t in_a_row =
        std::clamp<std::size_t>((kPlainWidth - kMargin) / column, 1, kMostInARow);
    std::string text;
    std::string row;
    for (std::size_t number = part.first_group; number <= part.last_group; ++number) {
        row += fmt::format("{:>4} {:<{}} ", number, sheet.groups[number - 1], widest);
        const bool full = (number - part.first_group + 1) % in_a_row == 0;
        if (!full && number != part.last_group) continue;
        row.erase(row.find_last_not_of(' ') + 1);
        text += std::string(kMargin, ' ') + row + "\n";
        row.clear();
    }
    return text;
}

std::string battery_cost(const station::Battery& battery, double air_s) {
    const double share = station::share_for_sending(battery, air_s);
    return fmt::format("{:.1f} % of \"{}\", {:.1f} h of charging", 100.0 * share, battery.name,
                       share * battery.receive_h * battery.charge_ratio);
}

}  // namespace

std::string sheet_text(const station::MessageSheet& sheet, const station::Battery* battery) {
    std::string text =
        fmt::format("message {} from {} to {}: {} groups, {} on the air at {:.1f} wpm\n",
                    sheet.draft.number, sheet.draft.from, sheet.draft.to, sheet.groups.size(),
                    length_text(sheet.air_s), station::speed_of(sheet.hand));
    text += std::string(kPlainWidth, '=') + "\n";
    if (battery != nullptr) text += labelled("battery", battery_cost(*battery, sheet.air_s));
    text += labelled("call up", sheet.call_up);
    text += labelled("preamble", "[KA] " + sheet.preamble + " [BT]");
    for (const station::SheetPart& part : sheet.parts) {
        text += group_rows(sheet, part);
        const bool last = part.last_group == sheet.groups.size();
        text += labelled(last ? "end" : "pause",
                         fmt::format("{} ({} for groups {} to {}){}", last ? "[AR] K" : "K",
                                     length_text(part.air_s), part.first_group, part.last_group,
                                     last ? "" : ": wait for their K before going on"));
    }
    text += labelled("expect", sheet.expect);
    text += labelled("receipt", sheet.receipt + " ___ for a message of theirs");
    text +=
        labelled("repeat", "RPT GR ___ ? asks for a group of theirs, AA ___ ? for all after it");
    return text + labelled("sign off", sheet.sign_off);
}

std::string repeat_text(const station::MessageSheet& sheet, const station::RepeatAnswer& answer) {
    std::string text;
    for (const std::size_t number : answer.numbers) {
        text += fmt::format("{:>6}  {}\n", number, sheet.groups[number - 1]);
    }
    return text + labelled("send", answer.sent) +
           labelled("", length_text(answer.air_s) + " on the air");
}

}  // namespace skedlark::cli
