#include "dsp/station/message_sheet.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <span>

#include "dsp/morse/code_table.h"

namespace skedlark::station {

namespace {

constexpr std::size_t kFive = 5;
constexpr int kMostNumber = 9999;

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool is_figure_or_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

Error wrong(const std::string& field, const std::string& why) {
    return {ErrorCode::invalid_value, field + ": " + why};
}

std::string shown(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte > 0x20 && byte < 0x7F ? fmt::format("'{}'", c) : fmt::format("byte 0x{:02X}", byte);
}

Result<std::vector<std::string>> split_fives(std::string_view text) {
    std::vector<std::string> groups;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (is_blank(text[at])) continue;
        const char c = upper(text[at]);
        if (!is_figure_or_letter(c)) {
            return wrong("text", fmt::format("{} at character {} cannot stand in groups of five; "
                                             "allowed: letters and figures",
                                             shown(text[at]), at + 1));
        }
        if (groups.empty() || groups.back().size() == kFive) groups.emplace_back();
        groups.back() += c;
    }
    if (!groups.empty()) groups.back().resize(kFive, 'X');
    return groups;
}

Result<std::vector<std::string>> split_words(std::string_view text) {
    std::vector<std::string> groups;
    bool open = false;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (is_blank(text[at])) {
            open = false;
            continue;
        }
        const std::string character(1, upper(text[at]));
        if (morse::find_by_text(character) == nullptr) {
            return wrong(
                "text",
                fmt::format("{} at character {} is not in the Morse code; allowed: letters, "
                            "figures and . , : ? ' - / ( ) \" = + @",
                            shown(text[at]), at + 1));
        }
        if (!open) groups.emplace_back();
        open = true;
        groups.back() += character;
    }
    return groups;
}

// 261830Z: day, hour and minute, as navigators and signallers write it.
std::string date_time_group(UtcTime time) {
    const std::string text = utc_text(time);
    return text.substr(8, 2) + text.substr(11, 2) + text.substr(14, 2) + "Z";
}

Status check(const MessageDraft& draft) {
    if (draft.from.empty()) return wrong("from", "is missing: the own call");
    if (draft.to.empty()) return wrong("to", "is missing: the call of the station it goes to");
    if (draft.number < 1 || draft.number > kMostNumber) {
        return wrong("number", fmt::format("{}; allowed: 1 to {}", draft.number, kMostNumber));
    }
    for (const std::string& call : {draft.from, draft.to}) {
        const auto groups = split_into_groups(call, Grouping::words);
        if (!groups || groups->size() != 1) {
            return wrong("call", fmt::format("'{}' is not a call", call.substr(0, 60)));
        }
    }
    return Done{};
}

std::vector<SheetPart> make_parts(const MessageSheet& sheet) {
    const std::size_t longest = sheet.draft.grouping == Grouping::fives ? kCodePart : kPlainPart;
    std::vector<SheetPart> parts;
    const std::span<const std::string> groups(sheet.groups);
    for (std::size_t at = 0; at < groups.size(); at += longest) {
        const auto here = groups.subspan(at, std::min(longest, groups.size() - at));
        const bool first = at == 0;
        const bool last = at + here.size() == groups.size();
        SheetPart part{at + 1, at + here.size()};
        part.sent = fmt::format("{}{} {}", first ? "[KA] " + sheet.preamble + " [BT] " : "",
                                fmt::join(here, " "), last ? "[AR] K" : "K");
        parts.push_back(std::move(part));
    }
    return parts;
}

}  // namespace

Result<std::vector<std::string>> split_into_groups(std::string_view text, Grouping grouping) {
    auto groups = grouping == Grouping::fives ? split_fives(text) : split_words(text);
    if (!groups) return groups;
    if (groups->empty()) return wrong("text", "is empty: there is nothing to send");
    if (groups->size() > kMostGroups) {
        return wrong("text",
                     fmt::format("{} groups; allowed: 1 to {}", groups->size(), kMostGroups));
    }
    return groups;
}

Result<MessageSheet> make_message_sheet(const MessageDraft& draft, const HandLengths& hand) {
    if (const Status status = check(draft); !status) return status.error();
    auto groups = split_into_groups(draft.text, draft.grouping);
    if (!groups) return groups.error();
    MessageSheet sheet;
    sheet.draft = draft;
    sheet.groups = std::move(*groups);
    sheet.hand = hand;
    const std::string both = fmt::format("{} DE {}", draft.to, draft.from);
    sheet.call_up = fmt::format("{0} {0} DE {1} {1} K", draft.to, draft.from);
    sheet.preamble = fmt::format("NR {} GR {} {}", draft.number, sheet.groups.size(),
                                 date_time_group(draft.written));
    sheet.expect = fmt::format("{} DE {} R NR {}", draft.from, draft.to, draft.number);
    sheet.receipt = both + " R NR";
    sheet.sign_off = both + " [SK]";
    sheet.parts = make_parts(sheet);
    for (SheetPart& part : sheet.parts) {
        const auto air_s = air_time_s(part.sent, hand);
        if (!air_s) return air_s.error();
        part.air_s = *air_s;
        sheet.message_air_s += *air_s;
    }
    const auto around_s = air_time_s(sheet.call_up + " " + sheet.sign_off, hand);
    if (!around_s) return around_s.error();
    sheet.air_s = sheet.message_air_s + *around_s;
    return sheet;
}

}  // namespace skedlark::station
