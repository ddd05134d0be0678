#include "dsp/station/repeats.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <set>

namespace skedlark::station {

namespace {

using Words = std::vector<std::string>;

Error wrong(const std::string& why) { return {ErrorCode::invalid_value, "request: " + why}; }

// What is said around a request, and tells nothing about which groups.
bool is_filler(const std::string& word) {
    static constexpr std::string_view kFillers[] = {"RPT", "IMI", "PSE", "K", "AND", "[BT]", "="};
    return std::find(std::begin(kFillers), std::end(kFillers), word) != std::end(kFillers);
}

// Upper case; "7-9" becomes "7 TO 9", a "?" at the end of a word stands alone.
Words words_of(std::string_view request) {
    Words words;
    std::string word;
    const auto close = [&] {
        if (!word.empty() && !is_filler(word)) words.push_back(word);
        word.clear();
    };
    for (const char c : request) {
        if (c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == ',' || c == '?') {
            close();
        } else if (c == '-') {
            close();
            words.emplace_back("TO");
        } else {
            word += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
        }
    }
    close();
    return words;
}

bool matches(const std::string& group, const std::string& asked) {
    return group.size() == asked.size() &&
           std::equal(group.begin(), group.end(), asked.begin(),
                      [](char a, char b) { return a == b || b == '_'; });
}

std::optional<std::size_t> as_number(const std::string& word) {
    std::size_t number = 0;
    const auto read = std::from_chars(word.data(), word.data() + word.size(), number);
    const bool whole = read.ec == std::errc{} && read.ptr == word.data() + word.size();
    return whole ? std::optional(number) : std::nullopt;
}

class Request {
 public:
    Request(std::span<const std::string> groups, std::string_view text)
        : groups_(groups), text_(text), words_(words_of(text)) {}

    Result<std::vector<std::size_t>> read() {
        if (words_.empty()) return not_a_request();
        while (at_ < words_.size()) {
            if (const Status status = read_one(); !status) return status.error();
        }
        return std::vector<std::size_t>(asked_.begin(), asked_.end());
    }

 private:
    Error not_a_request() const {
        return wrong(
            fmt::format("'{}' asks for no group; allowed: numbers such as 4 7-9, ALL, or AA, "
                        "AB, BN, WA, WB with a group",
                        text_.substr(0, 60)));
    }

    // The next word that names something; after GR it is a number rather than a text.
    std::optional<std::string> take() {
        while (at_ < words_.size() && (words_[at_] == "GR" || words_[at_] == "GRS")) {
            by_number_ = true;
            ++at_;
        }
        return at_ < words_.size() ? std::optional(words_[at_++]) : std::nullopt;
    }

    Status read_one() {
        const auto taken = take();
        if (!taken) return not_a_request();
        const std::string word = *taken;
        if (word == "ALL") return add(1, groups_.size());
        if (word == "AA" || word == "AB" || word == "WA" || word == "WB" || word == "BN") {
            return read_relative(word);
        }
        const auto first = find(word);
        if (!first) return first.error();
        if (at_ < words_.size() && words_[at_] == "TO") {
            ++at_;
            const auto next = take();
            if (!next) return not_a_request();
            const auto last = find(*next);
            if (!last) return last.error();
            if (*last < *first) {
                return wrong(fmt::format("group {} TO {} runs backwards", *first, *last));
            }
            return add(*first, *last);
        }
        return add(*first, *first);
    }

    Status read_relative(const std::string& kind) {
        const auto from = take();
        if (!from) return not_a_request();
        const auto place = find(*from);
        if (!place) return place.error();
        if (kind == "AA") return add(*place + 1, groups_.size());
        if (kind == "AB") return add(1, *place - 1);
        if (kind == "WA") return add(*place + 1, *place + 1);
        if (kind == "WB") return add(*place - 1, *place - 1);
        if (at_ < words_.size() && words_[at_] == "TO") ++at_;
        const auto to = take();
        if (!to) return not_a_request();
        const auto end = find(*to);
        if (!end) return end.error();
        return add(*place + 1, *end - 1);
    }

    // Without GR the text of a group goes before its number: groups may be of figures.
    Result<std::size_t> find(const std::string& word) const {
        const auto number = as_number(word);
        const bool in_range = number && *number >= 1 && *number <= groups_.size();
        if (in_range && by_number_) return *number;
        std::vector<std::size_t> places;
        for (std::size_t i = 0; i < groups_.size(); ++i) {
            if (matches(groups_[i], word)) places.push_back(i + 1);
        }
        if (places.size() == 1) return places.front();
        if (in_range) return *number;
        if (places.size() > 1) {
            return wrong(fmt::format("'{}' is there {} times, as groups {}; ask by number", word,
                                     places.size(), fmt::join(places, ", ")));
        }
        return wrong(fmt::format("'{}' is no group of this message; there are groups 1 to {}",
                                 word.substr(0, 60), groups_.size()));
    }

    Status add(std::size_t first, std::size_t last) {
        if (first < 1 || last > groups_.size() || last < first) {
            return wrong(fmt::format("'{}' leaves no group; there are groups 1 to {}",
                                     text_.substr(0, 60), groups_.size()));
        }
        for (std::size_t i = first; i <= last; ++i) asked_.insert(i);
        return Done{};
    }

    std::span<const std::string> groups_;
    std::string_view text_;
    Words words_;
    std::size_t at_ = 0;
    bool by_number_ = false;
    std::set<std::size_t> asked_;
};

}  // namespace

Result<std::vector<std::size_t>> groups_asked_for(std::span<const std::string> groups,
                                                  std::string_view request) {
    return Request(groups, request).read();
}

Result<RepeatAnswer> answer_request(const MessageSheet& sheet, std::string_view request) {
    auto numbers = groups_asked_for(sheet.groups, request);
    if (!numbers) return numbers.error();
    RepeatAnswer answer;
    answer.numbers = std::move(*numbers);
    answer.sent = fmt::format("{} DE {}", sheet.draft.to, sheet.draft.from);
    for (std::size_t i = 0; i < answer.numbers.size();) {
        std::size_t end = i + 1;
        while (end < answer.numbers.size() && answer.numbers[end] == answer.numbers[end - 1] + 1) {
            ++end;
        }
        answer.sent +=
            end - i == 1 ? fmt::format(" GR {}", answer.numbers[i])
                         : fmt::format(" GR {} TO {}", answer.numbers[i], answer.numbers[end - 1]);
        for (; i < end; ++i) answer.sent += " " + sheet.groups[answer.numbers[i] - 1];
    }
    answer.sent += " [AR] K";
    const auto air_s = air_time_s(answer.sent, sheet.hand);
    if (!air_s) return air_s.error();
    answer.air_s = *air_s;
    return answer;
}

}  // namespace skedlark::station
