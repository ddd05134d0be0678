#include "dsp/fist/text_search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// What faults between characters cost, in nepers (those within: character_search.cpp): about the logarithm of how rarely a hand commits them. Tried 3 to 12
// each on the five hands with and without faults put in (seeds below 1000); kRunTogether trades
// gaps closed up that go unnoticed against false ones of hands with uneven gaps.
constexpr double kRunTogether = 3.0;
constexpr double kWordParted = 8.0;  // a word gap inside a word
constexpr double kWordsJoined = 5.0;
constexpr double kWrong = 8.0;
constexpr double kMissing = 8.0;
constexpr double kMissingMore = 3.0;
constexpr double kExtra = 8.0;
constexpr double kExtraMore = 3.5;
constexpr double kErrorSignal = 3.0;
constexpr double kErrorSignalDots = 8.0;
constexpr double kErrorSignalWorst = 14.0;
constexpr double kJump = 13.0;
constexpr double kBackAWord = 1.5;
constexpr int kMostWordsBack = 4;
constexpr double kStopsEarly = 5.0;
constexpr std::size_t kMostFreeMarks = 9;  // of a wrong or extra character
// Ways that are worse than the best by more are given up. Dearer than any fault or jump; 30 and 120
// find the same on the five hands with faults put in.
constexpr float kBeam = 60.0F;

enum class Layer : std::uint8_t { sent, extra, missing };
enum class Op : std::uint8_t { none, sent, wrong, extra, missing, jump, correct };

struct Back {
    Op op = Op::none;
    std::uint8_t marks = 0;
    Layer layer = Layer::sent;
};

// All ways to have consumed so many marks, by characters of the text consumed.
struct Column {
    std::size_t low = 0;               // first place of the window
    std::vector<std::uint32_t> alive;  // places within the beam
    std::vector<float> sent, extra, missing;
    std::vector<Back> sent_back, extra_back, missing_back;
    std::size_t jump_from = 0;  // of Op::jump
    Layer jump_layer = Layer::sent;
    struct Correction {
        std::size_t from = 0;
        std::uint8_t marks = 0;
        Layer layer = Layer::sent;
    };
    std::map<std::size_t, Correction> corrections;  // by place gone back to: of Op::correct

    [[nodiscard]] bool holds(std::size_t i) const { return i >= low && i < low + sent.size(); }
    [[nodiscard]] float of(Layer layer, std::size_t i) const {
        const auto& row = layer == Layer::sent ? sent : layer == Layer::extra ? extra : missing;
        return row[i - low];
    }
    [[nodiscard]] std::pair<float, Layer> best(std::size_t i) const {
        std::pair<float, Layer> out{sent[i - low], Layer::sent};
        if (extra[i - low] < out.first) out = {extra[i - low], Layer::extra};
        if (missing[i - low] < out.first) out = {missing[i - low], Layer::missing};
        return out;
    }
};

class TextSearch {
 public:
    TextSearch(const LengthOdds& odds, std::span<const MeantCharacter> text)
        : odds_(odds), text_(text), marks_(odds.marks.size()) {
        std::map<std::string_view, std::size_t> known;
        for (const MeantCharacter& one : text) {
            const auto [at, is_new] = known.try_emplace(one.symbol.elements, patterns_.size());
            if (is_new) patterns_.push_back(one.symbol.elements);
            pattern_of_.push_back(at->second);
        }
        for (const std::string_view pattern : patterns_) {
            std::vector<float> costs(marks_ * (kMostMarks + 1));
            CharacterSearch search(odds, pattern);
            for (std::size_t j = 0; j < marks_; ++j) {
                search.run(j, std::span(costs).subspan(j * (kMostMarks + 1), kMostMarks + 1));
            }
            costs_.push_back(std::move(costs));
        }
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (i == 0 || text[i].word_begins) word_starts_.push_back(i);
        }
    }

    FoundWay run() {
        columns_.resize(marks_ + 1);
        std::size_t middle = 0;
        for (std::size_t j = 0; j <= marks_; ++j) {
            make(j, middle);
            middle = best_place(columns_[j]);
            // Costs of columns out of reach are no longer wanted, only the ways back.
            if (j > kMostMarks) {
                Column& old = columns_[j - kMostMarks - 1];
                old.sent = {};
                old.extra = {};
                old.missing = {};
                old.alive = {};
            }
        }
        return trace();
    }

 private:
    // Elements that sound like one between j and j + m all the way through.
    [[nodiscard]] double free_cost(std::size_t j, std::size_t m) const {
        double cost = 0.0;
        for (std::size_t k = j; k + 1 < j + m; ++k) cost += odds_.gaps[k].element;
        return cost;
    }
    [[nodiscard]] double gap_before(std::size_t j, std::size_t character, Layer layer) const {
        if (j == 0) return 0.0;
        const GapCost& gap = odds_.gaps[j - 1];
        if (layer != Layer::sent) {
            return std::min({gap.character, gap.word, kRunTogether + gap.element});
        }
        const bool word = text_[character].word_begins;
        return std::min({word ? gap.word : gap.character,
                         word ? kWordsJoined + gap.character : kWordParted + gap.word,
                         kRunTogether + (word ? 1.0 : 0.0) + gap.element});
    }
    // The cheapest way into character i at mark j, from any layer.
    [[nodiscard]] std::pair<double, Layer> into(const Column& from, std::size_t i,
                                                std::size_t j) const {
        std::pair<double, Layer> out{kNever, Layer::sent};
        for (const Layer layer : {Layer::sent, Layer::extra, Layer::missing}) {
            const double cost = static_cast<double>(from.of(layer, i)) + gap_before(j, i, layer);
            if (cost < out.first) out = {cost, layer};
        }
        return out;
    }

    void make(std::size_t j, std::size_t middle) {
        Column& column = columns_[j];
        column.low = middle > kWindow ? middle - kWindow : 0;
        const std::size_t high = std::min(text_.size(), middle + kWindow);
        const std::size_t size = high - column.low + 1;
        const auto never = static_cast<float>(kNever);
        column.sent.assign(size, never);
        column.extra.assign(size, never);
        column.missing.assign(size, never);
        column.sent_back.resize(size);
        column.extra_back.resize(size);
        column.missing_back.resize(size);
        if (j == 0) column.sent[0] = 0.0F;
        for (std::size_t m = 1; m <= std::min<std::size_t>(j, kMostMarks); ++m) pull(j, m);
        for (std::size_t m = 6; m <= std::min<std::size_t>(j, kMostMarks); ++m) correct(j, m);
        leave_out(column);
        jump(column);
        leave_out(column);
        float least = never;
        for (std::size_t i = column.low; i < column.low + size; ++i) {
            least = std::min(least, column.best(i).first);
        }
        for (std::size_t i = column.low; i < column.low + size; ++i) {
            if (column.best(i).first < least + kBeam) {
                column.alive.push_back(static_cast<std::uint32_t>(i));
            }
        }
    }

    void pull(std::size_t j, std::size_t m) {
        Column& column = columns_[j];
        const std::size_t start = j - m;
        const Column& from = columns_[start];
        const bool is_free = m <= kMostFreeMarks;
        const double free = free_cost(start, m);
        const double extra_gap =
            start == 0 ? 0.0
                       : std::min(odds_.gaps[start - 1].character, odds_.gaps[start - 1].word);
        const auto marks = static_cast<std::uint8_t>(m);
        for (const std::size_t i : from.alive) {
            if (column.holds(i + 1) && i < text_.size()) {
                const auto [cost, layer] = into(from, i, start);
                const double sent =
                    static_cast<double>(costs_[pattern_of_[i]][start * (kMostMarks + 1) + m]);
                offer(column.sent, column.sent_back, i + 1 - column.low, cost + sent,
                      {Op::sent, marks, layer});
                if (is_free) {
                    offer(column.sent, column.sent_back, i + 1 - column.low, cost + kWrong + free,
                          {Op::wrong, marks, layer});
                }
            }
            if (is_free && column.holds(i)) {
                for (const Layer layer : {Layer::sent, Layer::extra, Layer::missing}) {
                    const double begun = layer == Layer::extra ? kExtraMore : kExtra;
                    offer(column.extra, column.extra_back, i - column.low,
                          static_cast<double>(from.of(layer, i)) + begun + free + extra_gap,
                          {Op::extra, marks, layer});
                }
            }
        }
    }

    // Eight dots, more or less, and back to a word that had been begun.
    void correct(std::size_t j, std::size_t m) {
        Column& column = columns_[j];
        const std::size_t start = j - m;
        double cost = kErrorSignal + std::abs(static_cast<double>(m) - kErrorSignalDots) +
                      free_cost(start, m);
        for (std::size_t k = start; k < j; ++k) cost += odds_.marks[k].dot;
        if (cost > kErrorSignalWorst) return;
        const Column& from = columns_[start];
        for (std::size_t i = std::max(column.low, from.low); i < from.low + from.sent.size(); ++i) {
            const auto [so_far, layer] = from.best(i);
            const double all = static_cast<double>(so_far) + cost;
            if (all >= kNever) continue;
            const Column::Correction correction{i, static_cast<std::uint8_t>(m), layer};
            offer_correction(column, i, all + kBackAWord, correction);
            auto word = std::lower_bound(word_starts_.begin(), word_starts_.end(), i);
            for (int back = 0; back < kMostWordsBack && word != word_starts_.begin(); ++back) {
                --word;
                offer_correction(column, *word, all + kBackAWord * back, correction);
            }
        }
    }
    static void offer_correction(Column& column, std::size_t to, double cost,
                                 const Column::Correction& correction) {
        if (!column.holds(to) || cost >= static_cast<double>(column.sent[to - column.low])) return;
        column.sent[to - column.low] = static_cast<float>(cost);
        column.sent_back[to - column.low] = {Op::correct, 0, Layer::sent};
        column.corrections[to] = correction;
    }

    static void leave_out(Column& column) {
        for (std::size_t n = 1; n < column.sent.size(); ++n) {
            for (const Layer layer : {Layer::sent, Layer::extra, Layer::missing}) {
                const double more = layer == Layer::missing ? kMissingMore : kMissing;
                offer(column.missing, column.missing_back, n,
                      static_cast<double>(column.of(layer, column.low + n - 1)) + more,
                      {Op::missing, 0, layer});
            }
        }
    }

    void jump(Column& column) const {
        column.jump_from = best_place(column);
        const auto [cost, layer] = column.best(column.jump_from);
        column.jump_layer = layer;
        for (const std::size_t start : word_starts_) {
            if (!column.holds(start) || start == column.jump_from) continue;
            offer(column.sent, column.sent_back, start - column.low,
                  static_cast<double>(cost) + kJump, {Op::jump, 0, layer});
        }
    }

    static std::size_t best_place(const Column& column) {
        std::size_t out = column.low;
        for (std::size_t i = column.low; i < column.low + column.sent.size(); ++i) {
            if (column.best(i).first < column.best(out).first) out = i;
        }
        return out;
    }
    static void offer(std::vector<float>& row, std::vector<Back>& back, std::size_t n, double cost,
                      const Back& from) {
        if (cost >= static_cast<double>(row[n])) return;
        row[n] = static_cast<float>(cost);
        back[n] = from;
    }

    FoundWay trace() {
        FoundWay out;
        const Column& last = columns_.back();
        double least = kNever;
        for (std::size_t i = last.low; i < last.low + last.sent.size(); ++i) {
            const double cost =
                static_cast<double>(last.best(i).first) + (i < text_.size() ? kStopsEarly : 0.0);
            if (cost < least) {
                least = cost;
                out.reached = i;
            }
        }
        out.cost = least;
        std::size_t i = out.reached;
        std::size_t j = marks_;
        Layer layer = last.best(i).second;
        while (j > 0 || i > 0) {
            const Column& column = columns_[j];
            const std::size_t n = i - column.low;
            const Back back = layer == Layer::sent    ? column.sent_back[n]
                              : layer == Layer::extra ? column.extra_back[n]
                                                      : column.missing_back[n];
            if (back.op == Op::none) break;
            Step step;
            step.first_mark = j - back.marks;
            step.marks = back.marks;
            step.meant = i;
            layer = back.layer;
            switch (back.op) {
                case Op::sent:
                case Op::wrong:
                    step.kind = back.op == Op::sent ? Step::Kind::sent : Step::Kind::wrong;
                    --i;
                    step.meant = i;
                    fill(step, back.layer);
                    break;
                case Op::extra:
                    step.kind = Step::Kind::extra;
                    break;
                case Op::missing:
                    step.kind = Step::Kind::missing;
                    --i;
                    step.meant = i;
                    break;
                case Op::jump:
                    step.kind = Step::Kind::jump;
                    step.from = column.jump_from;
                    i = column.jump_from;
                    layer = column.jump_layer;
                    break;
                case Op::correct:
                default: {
                    const Column::Correction& correction = column.corrections.at(i);
                    step.kind = Step::Kind::error_signal;
                    step.marks = correction.marks;
                    step.first_mark = j - correction.marks;
                    step.from = correction.from;
                    i = correction.from;
                    layer = correction.layer;
                    break;
                }
            }
            j = step.first_mark;
            out.steps.push_back(std::move(step));
        }
        std::reverse(out.steps.begin(), out.steps.end());
        return out;
    }

    void fill(Step& step, Layer layer) {
        const MeantCharacter& character = text_[step.meant];
        step.gap_meant = character.word_begins ? ElementKind::word_gap : ElementKind::character_gap;
        step.gap_sounds = step.gap_meant;
        if (step.first_mark > 0) {
            const GapCost& gap = odds_.gaps[step.first_mark - 1];
            const bool word = character.word_begins;
            const double run =
                kRunTogether + (word && layer == Layer::sent ? 1.0 : 0.0) + gap.element;
            const bool loose = layer != Layer::sent;
            const double as_meant = word ? gap.word : gap.character;
            const double other = (loose  ? 0.0
                                  : word ? kWordsJoined
                                         : kWordParted) +
                                 (word ? gap.character : gap.word);
            if (run < as_meant && run < other) {
                step.gap_sounds = ElementKind::element_gap;
            } else if (other < as_meant) {
                step.gap_sounds = word ? ElementKind::character_gap : ElementKind::word_gap;
            }
            if (loose && step.gap_sounds != ElementKind::element_gap)
                step.gap_meant = step.gap_sounds;
        }
        if (step.kind != Step::Kind::sent) return;
        CharacterSearch search(odds_, character.symbol.elements);
        std::vector<float> costs(kMostMarks + 1);
        search.run(step.first_mark, costs);
        step.elements = search.way(step.marks);
    }

    const LengthOdds& odds_;
    std::span<const MeantCharacter> text_;
    std::size_t marks_;
    std::vector<std::string_view> patterns_;
    std::vector<std::size_t> pattern_of_;
    std::vector<std::vector<float>> costs_;
    std::vector<std::size_t> word_starts_;
    std::vector<Column> columns_;
};

}  // namespace

std::vector<MeantCharacter> meant_characters(std::span<const std::optional<morse::Symbol>> text) {
    std::vector<MeantCharacter> out;
    bool word_begins = true;
    for (const std::optional<morse::Symbol>& symbol : text) {
        if (symbol) out.push_back({*symbol, word_begins});
        word_begins = !symbol;
    }
    return out;
}

FoundWay search_text(const LengthOdds& odds, std::span<const MeantCharacter> text) {
    return TextSearch(odds, text).run();
}

}  // namespace skedlark::fist
