// What of a CopyModel is saved: text, JSON Lines, the sheet of the message.
#include <fmt/format.h>

#include <algorithm>

#include "gui/copy/copy_model.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kSheetWidth = 80;

std::string own_text(std::span<const Copied> characters) {
    std::vector<Copied> own;
    for (Copied one : characters) {
        if (!one.own) continue;
        one.own = false;  // so that it is written
        own.push_back(std::move(one));
    }
    return text_as_read(own);
}

std::string labelled(const char* label, const std::string& text) {
    return fmt::format("{:<12}{}\n", label, text);
}

}  // namespace

SummaryEvent CopyModel::summary() const {
    SummaryEvent summary;
    summary.seconds = seconds_from_frames(heard_to_);
    summary.tones = followed_;
    for (ToneSummary& one : summary.tones) {
        const auto characters = text_.final_of(one.tone);
        one.text = text_as_read(characters);
    }
    return summary;
}

std::string CopyModel::as_text() const {
    const auto characters = text_.final_of(tone());
    std::string text = text_as_taken(characters) + "\n";
    const bool corrected = std::any_of(characters.begin(), characters.end(),
                                       [](const Copied& one) { return one.corrected.has_value(); });
    if (corrected)
        text += "\nAs read, before it was corrected:\n" + text_as_read(characters) + "\n";
    const std::string own = own_text(characters);
    if (!own.empty()) text += "\nOwn sending:\n" + own + "\n";
    return text;
}

std::string CopyModel::as_json() const {
    // A summary stands last in what skedlark copy --json writes; while listening goes on, what it
    // would say now.
    return ended_ ? lines_ : lines_ + log::json_line(summary(), heard_.start_utc);
}

std::string CopyModel::as_sheet(const std::string& own_call, const std::string& their_call,
                                std::optional<bool> in_fives) const {
    const CopiedMessage message = this->message(in_fives);
    const std::string both =
        (their_call.empty() ? "___" : their_call) + " DE " + (own_call.empty() ? "___" : own_call);
    std::string text = "message received: " + message.count_in_words() + "\n";
    text += std::string(kSheetWidth, '=') + "\n";
    text += labelled("input", heard_.name);
    if (!message.preamble.empty()) text += labelled("preamble", message.preamble);
    text += groups_in_rows(message);
    for (const std::size_t number : message.doubtful()) {
        text +=
            labelled("doubtful", fmt::format("{} {}: {}", number, message.groups[number - 1].text,
                                             message.groups[number - 1].doubt));
    }
    const std::string request = message.request();
    if (!request.empty()) text += labelled("ask", both + " " + request);
    text += labelled("receipt", both + " R NR ___");
    return text;
}

}  // namespace skedlark::gui
