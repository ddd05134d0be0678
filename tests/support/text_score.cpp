#include "tests/support/text_score.h"

#include <algorithm>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "dsp/morse/code_table.h"

namespace skedlark::support {
namespace {

// An error outweighs any number of the tie-breaking units below in a text of up to 10^6 characters.
constexpr long kErrorCost = 1L << 22;
// A blank taken for a letter costs a little more than a letter taken for another one, so that of
// two alignments with the same number of errors the one that keeps blanks with blanks is taken.
constexpr long kBlankAsLetterCost = 1;

bool is_blank(const std::string& token) { return token == " "; }

void strip_edge_blanks(std::vector<std::string>& tokens) {
    while (!tokens.empty() && is_blank(tokens.back())) tokens.pop_back();
    const auto first = std::find_if_not(tokens.begin(), tokens.end(), is_blank);
    tokens.erase(tokens.begin(), first);
}

std::vector<std::string> without_blanks(std::vector<std::string> tokens) {
    std::erase_if(tokens, is_blank);
    return tokens;
}

long substitution_cost(const std::string& truth, const std::string& copy) {
    if (truth == copy && truth != "_") return 0;
    return kErrorCost + (is_blank(truth) != is_blank(copy) ? kBlankAsLetterCost : 0);
}

// Cheapest cost of turning the first i true tokens into the first j copied ones, row by row.
class CostTable {
 public:
    CostTable(std::size_t truth, std::size_t copy)
        : columns_(copy + 1), cost_((truth + 1) * (copy + 1), 0) {}
    long& at(std::size_t i, std::size_t j) { return cost_[i * columns_ + j]; }

 private:
    std::size_t columns_;
    std::vector<long> cost_;
};

CostTable fill(const std::vector<std::string>& truth, const std::vector<std::string>& copy) {
    CostTable cost(truth.size(), copy.size());
    for (std::size_t i = 0; i <= truth.size(); ++i) {
        for (std::size_t j = 0; j <= copy.size(); ++j) {
            if (i == 0 && j == 0) continue;
            long best = -1;
            const auto offer = [&best](long value) {
                if (best < 0 || value < best) best = value;
            };
            if (i > 0) offer(cost.at(i - 1, j) + kErrorCost);
            if (j > 0) offer(cost.at(i, j - 1) + kErrorCost);
            if (i > 0 && j > 0) {
                offer(cost.at(i - 1, j - 1) + substitution_cost(truth[i - 1], copy[j - 1]));
            }
            cost.at(i, j) = best;
        }
    }
    return cost;
}

}  // namespace

std::vector<std::string> tokens_of(std::string_view text) {
    auto tokens = morse::scoring_symbols(text);
    if (!tokens) {
        std::fprintf(stderr, "text to score: %s\n", tokens.error().message.c_str());
        std::abort();
    }
    return *std::move(tokens);
}

std::vector<EditStep> align(const std::vector<std::string>& truth,
                            const std::vector<std::string>& copy) {
    CostTable cost = fill(truth, copy);
    std::vector<EditStep> steps;
    std::size_t i = truth.size();
    std::size_t j = copy.size();
    while (i > 0 || j > 0) {
        const long here = cost.at(i, j);
        if (i > 0 && j > 0) {
            const long step = substitution_cost(truth[i - 1], copy[j - 1]);
            if (here == cost.at(i - 1, j - 1) + step) {
                --i;
                --j;
                steps.push_back({step == 0 ? Edit::match : Edit::substitute, static_cast<int>(i),
                                 static_cast<int>(j)});
                continue;
            }
        }
        if (i > 0 && here == cost.at(i - 1, j) + kErrorCost) {
            --i;
            steps.push_back({Edit::remove, static_cast<int>(i), -1});
        } else {
            --j;
            steps.push_back({Edit::insert, -1, static_cast<int>(j)});
        }
    }
    std::reverse(steps.begin(), steps.end());
    return steps;
}

double ErrorCount::rate() const {
    if (truth == 0) return errors == 0 ? 0.0 : 1.0;
    return static_cast<double>(errors) / static_cast<double>(truth);
}

ErrorCount& ErrorCount::operator+=(const ErrorCount& other) {
    truth += other.truth;
    errors += other.errors;
    return *this;
}

TextScore& TextScore::operator+=(const TextScore& other) {
    all += other.all;
    letters += other.letters;
    spaces += other.spaces;
    open_marks += other.open_marks;
    copy_right.insert(copy_right.end(), other.copy_right.begin(), other.copy_right.end());
    return *this;
}

TextScore score_text(std::string_view truth, std::string_view copy) {
    return score_tokens(tokens_of(truth), tokens_of(copy));
}

TextScore score_tokens(std::vector<std::string> truth, std::vector<std::string> copy) {
    strip_edge_blanks(truth);
    strip_edge_blanks(copy);

    TextScore score;
    score.all.truth = static_cast<long>(truth.size());
    score.spaces.truth = static_cast<long>(std::count_if(truth.begin(), truth.end(), is_blank));
    score.open_marks = static_cast<long>(std::count(copy.begin(), copy.end(), "_"));
    score.copy_right.assign(copy.size(), false);
    for (const EditStep& step : align(truth, copy)) {
        if (step.edit == Edit::match) {
            score.copy_right[static_cast<std::size_t>(step.copy)] = true;
            continue;
        }
        ++score.all.errors;
        const bool blank_sent =
            step.truth >= 0 && is_blank(truth[static_cast<std::size_t>(step.truth)]);
        const bool blank_copied =
            step.copy >= 0 && is_blank(copy[static_cast<std::size_t>(step.copy)]);
        if (blank_sent || blank_copied) ++score.spaces.errors;
    }

    const std::vector<std::string> letters = without_blanks(truth);
    score.letters.truth = static_cast<long>(letters.size());
    for (const EditStep& step : align(letters, without_blanks(copy))) {
        if (step.edit != Edit::match) ++score.letters.errors;
    }
    return score;
}

}  // namespace skedlark::support
