#include "dsp/fist/copy_score.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include "dsp/core/units.h"
#include "dsp/morse/code_table.h"

namespace skedlark::fist {

namespace {

constexpr const char* kGap = " ";
constexpr const char* kOpen = "_";
// How steeply the log odds of a right character fall with the logarithm of the speed; a guess, only
// the size of the steps depends on it.
constexpr double kSteepness = 12.0;
constexpr double kPriorCharacters = 10.0;
constexpr double kLongestStep = 1.2;

enum class Way : std::uint8_t { none, both, only_sent, only_typed };

using Names = std::span<const std::string>;

double log_odds(double share) { return std::log(share / (1.0 - share)); }

// Wagner-Fischer with a character worth more than all gaps together.
class Table {
 public:
    Table(Names sent, Names typed)
        : sent_(sent),
          typed_(typed),
          columns_(typed.size() + 1),
          character_(static_cast<std::int64_t>(sent.size() + typed.size()) + 1),
          ways_((sent.size() + 1) * columns_, Way::none) {
        fill();
    }

    [[nodiscard]] std::vector<std::pair<std::string, std::string>> steps() const {
        std::vector<std::pair<std::string, std::string>> out;
        std::size_t i = sent_.size();
        std::size_t j = typed_.size();
        while (i > 0 || j > 0) {
            const Way way = ways_[i * columns_ + j];
            const bool from_sent = way != Way::only_typed;
            const bool from_typed = way != Way::only_sent;
            if (from_sent) --i;
            if (from_typed) --j;
            out.emplace_back(from_sent ? sent_[i] : "", from_typed ? typed_[j] : "");
        }
        std::reverse(out.begin(), out.end());
        return out;
    }

 private:
    [[nodiscard]] std::int64_t alone(const std::string& name) const {
        return name == kGap ? 1 : character_;
    }
    // A gap is never taken for a character.
    [[nodiscard]] std::int64_t pair(const std::string& a, const std::string& b) const {
        if (a == b) return 0;
        return a == kGap || b == kGap ? 2 * character_ : character_;
    }

    void fill() {
        std::vector<std::int64_t> above(columns_, 0);
        std::vector<std::int64_t> row(columns_, 0);
        for (std::size_t j = 1; j < columns_; ++j) {
            above[j] = above[j - 1] + alone(typed_[j - 1]);
            ways_[j] = Way::only_typed;
        }
        for (std::size_t i = 1; i <= sent_.size(); ++i) {
            row[0] = above[0] + alone(sent_[i - 1]);
            ways_[i * columns_] = Way::only_sent;
            for (std::size_t j = 1; j < columns_; ++j) {
                const std::int64_t both = above[j - 1] + pair(sent_[i - 1], typed_[j - 1]);
                const std::int64_t only_sent = above[j] + alone(sent_[i - 1]);
                const std::int64_t only_typed = row[j - 1] + alone(typed_[j - 1]);
                row[j] = std::min({both, only_sent, only_typed});
                ways_[i * columns_ + j] = row[j] == both        ? Way::both
                                          : row[j] == only_sent ? Way::only_sent
                                                                : Way::only_typed;
            }
            std::swap(above, row);
        }
    }

    Names sent_;
    Names typed_;
    std::size_t columns_;
    std::int64_t character_;
    std::vector<Way> ways_;
};

CopyMark mark_of(const std::string& sent, const std::string& typed) {
    if (sent.empty()) return typed == kGap ? CopyMark::gap_extra : CopyMark::extra;
    if (typed.empty()) return sent == kGap ? CopyMark::gap_missing : CopyMark::missing;
    if (sent == typed) return sent == kGap ? CopyMark::gap_right : CopyMark::right;
    return typed == kOpen ? CopyMark::open : CopyMark::wrong;
}

void count(CopyScore& score, const CopyStep& step) {
    switch (step.mark) {
        case CopyMark::right:
            ++score.right;
            break;
        case CopyMark::wrong:
            ++score.wrong;
            break;
        case CopyMark::open:
            ++score.open;
            break;
        case CopyMark::missing:
            ++score.missing;
            break;
        // A place left open where nothing was sent claims nothing.
        case CopyMark::extra:
            score.extra += step.typed == kOpen ? 0 : 1;
            return;
        case CopyMark::gap_right:
            ++score.gaps_sent, ++score.gaps_right;
            return;
        case CopyMark::gap_missing:
            ++score.gaps_sent;
            return;
        case CopyMark::gap_extra:
            ++score.gaps_extra;
            return;
    }
    ++score.sent;
    CharacterTally& tally = score.by_character[step.sent];
    tally.sent += 1.0;
    tally.wrong += step.mark == CopyMark::right ? 0.0 : 1.0;
}

std::vector<ConfusionPair> pairs_of(const std::vector<CopyStep>& steps) {
    std::map<std::pair<std::string, std::string>, int> counts;
    for (const CopyStep& step : steps) {
        if (step.mark == CopyMark::wrong) ++counts[{step.sent, step.typed}];
    }
    std::vector<ConfusionPair> pairs;
    for (const auto& [names, times] : counts) pairs.push_back({names.first, names.second, times});
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const auto& a, const auto& b) { return a.count > b.count; });
    return pairs;
}

Status check(const char* field, Names text) {
    if (text.empty()) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: is empty; allowed are 1 to {} symbols", field, kLongestCopy)};
    }
    if (text.size() > kLongestCopy) {
        return Error{ErrorCode::invalid_value, fmt::format("{}: {} symbols; allowed are 1 to {}",
                                                           field, text.size(), kLongestCopy)};
    }
    return Done{};
}

}  // namespace

double CopyScore::right_share() const {
    return sent + extra > 0 ? static_cast<double>(right) / (sent + extra) : 0.0;
}

Result<CopyScore> copy_score(Names sent, Names typed) {
    if (const Status status = check("text sent", sent); !status) return status.error();
    if (const Status status = check("text typed", typed); !status) return status.error();
    CopyScore score;
    for (auto& [from, to] : Table(sent, typed).steps()) {
        CopyStep step{mark_of(from, to), from, to};
        count(score, step);
        score.steps.push_back(std::move(step));
    }
    score.pairs = pairs_of(score.steps);
    return score;
}

int edit_distance(Names a, Names b) {
    std::vector<int> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = static_cast<int>(j);
    for (std::size_t i = 1; i <= a.size(); ++i) {
        int corner = row[0];
        row[0] = static_cast<int>(i);
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const int above = row[j];
            row[j] = std::min({corner + (a[i - 1] == b[j - 1] ? 0 : 1), above + 1, row[j - 1] + 1});
            corner = above;
        }
    }
    return row[b.size()];
}

double next_speed_wpm(double speed_wpm, int right, int of) {
    const double share =
        (right + kWantedRight * kPriorCharacters) / (std::max(of, right) + kPriorCharacters);
    const double most = 1.0 - 1e-6;
    const double change =
        std::exp((log_odds(std::clamp(share, 1e-6, most)) - log_odds(kWantedRight)) / kSteepness);
    return std::clamp(speed_wpm * std::clamp(change, 1.0 / kLongestStep, kLongestStep),
                      kMinSpeedWpm, kMaxSpeedWpm);
}

double groups_a_minute(Names text, double speed_wpm) {
    // ITU-R M.1677-1: 3 units between characters, 7 between words; PARIS and its gap are 50.
    constexpr int kCharacterGap = 3;
    constexpr int kWordGap = 7;
    constexpr double kUnitsAWord = 50.0;
    int units = 0;
    int groups = 0;
    bool in_group = false;
    for (const std::string& name : text) {
        if (name == kGap) {
            in_group = false;
            continue;
        }
        const morse::Symbol* symbol = morse::find_by_text(name);
        if (symbol == nullptr) symbol = morse::find_by_text(name, true);
        if (symbol == nullptr) continue;
        units += morse::units_of(symbol->elements) + kCharacterGap;
        if (!in_group) {
            ++groups;
            units += kWordGap - kCharacterGap;
        }
        in_group = true;
    }
    return units > 0 ? groups * kUnitsAWord * speed_wpm / units : 0.0;
}

}  // namespace skedlark::fist
