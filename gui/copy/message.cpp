#include "gui/copy/message.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "dsp/station/repeat_request.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kFive = 5;

using Word = std::vector<Copied>;

bool is_sign(const Copied& one, const char* letters, const char* sign) {
    return (one.read.procedure && one.read.text == letters) || one.read.text == sign;
}
bool is_break(const Copied& one) { return is_sign(one, "BT", "="); }
bool is_end(const Copied& one) { return is_sign(one, "AR", "+"); }

std::string text_of(const Word& word) {
    std::string text;
    for (const Copied& one : word) text += one.as_taken();
    return text;
}

std::vector<Word> words_of(std::span<const Copied> characters) {
    std::vector<Word> words(1);
    for (const Copied& one : characters) {
        if (one.own) continue;
        // A corrected gap may have become none, and a character a gap.
        if (one.as_taken() == " ") {
            if (!words.back().empty()) words.emplace_back();
        } else {
            words.back().push_back(one);
        }
    }
    if (words.back().empty()) words.pop_back();
    return words;
}

// What the operator put in the place of several characters may itself be several words.
std::size_t length_of(const Word& word) { return text_of(word).size(); }

void make_fives(std::vector<Word>& words) {
    std::vector<Word> fives;
    for (std::size_t i = 0; i < words.size(); ++i) {
        Word word = words[i];
        const bool joins = length_of(word) < kFive && i + 1 < words.size() &&
                           length_of(word) + length_of(words[i + 1]) == kFive;
        if (joins) {
            ++i;
            word.insert(word.end(), words[i].begin(), words[i].end());
        }
        const bool whole = word.size() == length_of(word);  // a character each
        if (whole && word.size() > kFive && word.size() % kFive == 0) {
            for (std::size_t at = 0; at < word.size(); at += kFive) {
                fives.emplace_back(word.begin() + static_cast<std::ptrdiff_t>(at),
                                   word.begin() + static_cast<std::ptrdiff_t>(at + kFive));
            }
        } else {
            fives.push_back(std::move(word));
        }
    }
    words = std::move(fives);
}

// Words of five are common in plain text too, though hardly ever more than three of five; a gap that
// was missed between two groups makes ten. Neighbours are not joined here: short words often make
// five together.
bool are_fives(const std::vector<Word>& words) {
    constexpr std::size_t kFewest = 3;
    std::size_t fives = 0, all = 0;
    for (const Word& word : words) {
        const std::size_t length = length_of(word);
        const std::size_t groups = length % kFive == 0 ? length / kFive : 0;
        fives += groups;
        all += std::max<std::size_t>(groups, 1);
    }
    return all >= kFewest && 5 * fives > 3 * all;
}

std::optional<std::size_t> count_in(const std::vector<Word>& preamble) {
    std::optional<std::size_t> told;
    for (std::size_t i = 0; i + 1 < preamble.size(); ++i) {
        const std::string name = text_of(preamble[i]);
        if (name != "GR" && name != "GRS" && name != "CK") continue;
        const std::string number = text_of(preamble[i + 1]);
        std::size_t value = 0;
        const auto read = std::from_chars(number.data(), number.data() + number.size(), value);
        if (read.ec == std::errc{} && read.ptr == number.data() + number.size()) told = value;
    }
    return told;
}

CopiedGroup group_of(const Word& word, bool in_fives) {
    CopiedGroup group{text_of(word), word.front().read.from_frame, word.back().read.to_frame};
    std::vector<std::string> why;
    const bool open = group.text.find('_') != std::string::npos;
    if (open) why.emplace_back("not all readable");
    if (in_fives && group.text.size() != kFive) {
        why.push_back(fmt::format("{} of 5 characters", group.text.size()));
    }
    std::string unsure;
    for (const Copied& one : word) {
        group.corrected = group.corrected || one.corrected.has_value();
        if (one.doubtful() && one.read.text != "_") unsure += one.as_read();
    }
    if (!unsure.empty()) why.push_back(unsure + " unsure");
    for (const std::string& part : why) group.doubt += (group.doubt.empty() ? "" : ", ") + part;
    return group;
}

struct Bounds {
    std::size_t preamble = 0, body = 0, end = 0;
    bool ended = false;
};

bool has_text(std::span<const Copied> characters) {
    return std::any_of(characters.begin(), characters.end(),
                       [](const Copied& one) { return !one.own && !one.is_gap(); });
}

// The last stretch up to an end of message, or the open one, that has a break with text behind it.
Bounds bounds_of(std::span<const Copied> all) {
    Bounds found{0, 0, all.size(), false};
    std::size_t from = 0;  // of the stretch being looked at
    std::size_t body = 0;  // behind its first break; not behind `from`: none yet
    for (std::size_t i = 0; i <= all.size(); ++i) {
        const bool open = i == all.size();
        if (!open && all[i].own) continue;
        if (!open && body <= from && is_break(all[i])) body = i + 1;
        if (!open && !is_end(all[i])) continue;
        if (body > from && has_text(all.subspan(body, i - body))) found = {from, body, i, !open};
        from = i + 1;
    }
    return found;
}

}  // namespace

CopiedMessage find_message(std::span<const Copied> characters, std::optional<bool> told_fives) {
    const Bounds bounds = bounds_of(characters);
    const auto preamble = words_of(characters.subspan(
        bounds.preamble, bounds.body > bounds.preamble ? bounds.body - 1 - bounds.preamble : 0));
    auto body = words_of(characters.subspan(bounds.body, bounds.end - bounds.body));
    std::erase_if(body, [](const Word& word) {
        return text_of(word).empty() || is_break(word.front()) || text_of(word) == "K";
    });
    const bool in_fives = told_fives.value_or(are_fives(body));
    if (in_fives) make_fives(body);
    CopiedMessage message;
    message.in_fives = in_fives;
    message.ended = bounds.ended;
    for (const Word& word : preamble) {
        // The K that closed what was sent before is none of this message.
        if (message.preamble.empty() && (text_of(word) == "K" || text_of(word).empty())) continue;
        message.preamble += (message.preamble.empty() ? "" : " ") + text_of(word);
    }
    message.told = count_in(preamble);
    for (const Word& word : body) message.groups.push_back(group_of(word, in_fives));
    return message;
}

std::vector<std::size_t> CopiedMessage::doubtful() const {
    std::vector<std::size_t> numbers;
    for (std::size_t i = 0; i < groups.size(); ++i) {
        if (!groups[i].doubt.empty()) numbers.push_back(i + 1);
    }
    return numbers;
}

std::string CopiedMessage::count_in_words() const {
    const std::size_t have = groups.size();
    const std::string groups_text = fmt::format("{} {}", have, have == 1 ? "group" : "groups");
    if (!told) return groups_text + ", no count in the preamble";
    if (have == *told) return groups_text + ", as the preamble says";
    if (have < *told) {
        return fmt::format("{}, {} short of the {} of the preamble", groups_text, *told - have,
                           *told);
    }
    return fmt::format("{}, {} more than the {} of the preamble", groups_text, have - *told, *told);
}

std::string CopiedMessage::request() const {
    const bool short_of = ended && told && groups.size() < *told;
    return station::repeat_request(doubtful(),
                                   short_of ? std::optional(groups.size()) : std::nullopt);
}

std::string groups_in_rows(const CopiedMessage& message, std::size_t in_a_row) {
    std::size_t widest = kFive + 1;
    for (const CopiedGroup& group : message.groups) {
        widest = std::max(widest, group.text.size() + 1);
    }
    if (!message.in_fives) in_a_row = std::max<std::size_t>(1, in_a_row * (kFive + 1) / widest);
    std::string text;
    for (std::size_t i = 0; i < message.groups.size(); ++i) {
        const CopiedGroup& group = message.groups[i];
        const std::string mark = !group.doubt.empty() ? "?" : group.corrected ? "*" : "";
        text += fmt::format("{:>4} {:<{}}", i + 1, group.text + mark, widest);
        if ((i + 1) % in_a_row == 0 || i + 1 == message.groups.size()) {
            text.erase(text.find_last_not_of(' ') + 1);
            text += "\n";
        }
    }
    return text;
}

}  // namespace skedlark::gui
