#include "dsp/fist/alignment.h"

#include <algorithm>
#include <cmath>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

constexpr int kPasses = 2;
// Other hands are tried where the one found without the text leaves more wrong than this.
constexpr double kPoorShare = 0.2;
constexpr std::array kOtherUnits = {0.5, 0.7, 1.4, 2.0, 3.0};
constexpr double kPrior = 3.0;
constexpr double kLeastSd = 0.03;
constexpr double kMostSd = 0.6;

std::string shown(const morse::Symbol& symbol) {
    return symbol.procedure ? "[" + std::string(symbol.text) + "]" : std::string(symbol.text);
}

// A character that stands there, or its elements where it is none.
std::string read(const std::string& elements) {
    const morse::Symbol* symbol = morse::read_elements(elements, false);
    return symbol == nullptr ? elements : shown(*symbol);
}

Kinds kinds_of(const LengthOdds& odds) {
    Kinds out;
    for (const MarkCost& mark : odds.marks) {
        out.marks.push_back(mark.sounds_dash() ? ElementKind::dash : ElementKind::dot);
    }
    for (std::size_t i = 0; i < odds.gaps.size(); ++i) {
        const GapCost& gap = odds.gaps[i];
        out.gaps.push_back(gap.likeliest());
        out.gap_odds.push_back(
            1.0 / (std::exp(-gap.element) + std::exp(-gap.character) + std::exp(-gap.word)));
        out.pauses.push_back(odds.pauses[i]);
    }
    return out;
}

// Kinds as the way through the text has them, and which lengths tell of the hand.
struct Told {
    Kinds kinds;
    std::vector<char> mark_counts, gap_counts;
};
Told told_by(const LengthOdds& odds, const Keying& keying, const FoundWay& way) {
    Told out;
    out.kinds = kinds_of(odds);
    out.mark_counts.assign(odds.marks.size(), 0);
    out.gap_counts.assign(odds.gaps.size(), 0);
    for (const Step& step : way.steps) {
        if (step.kind != Step::Kind::sent && step.kind != Step::Kind::wrong) continue;
        if (step.first_mark > 0) {
            out.kinds.gaps[step.first_mark - 1] = step.gap_sounds;
            out.gap_counts[step.first_mark - 1] = step.gap_sounds == step.gap_meant ? 1 : 0;
        }
        const ElementStep* before = nullptr;
        bool gone = false;
        for (const ElementStep& element : step.elements) {
            if (element.fate == ElementFate::dropped || element.fate == ElementFate::lost) {
                gone = true;
                continue;
            }
            const bool right = element.fate == ElementFate::right;
            if (right) {
                out.kinds.marks[element.mark] = element.dash ? ElementKind::dash : ElementKind::dot;
                out.mark_counts[element.mark] = 1;
            }
            if (before != nullptr && !element.split_before) {
                out.kinds.gaps[element.mark - 1] = ElementKind::element_gap;
                out.gap_counts[element.mark - 1] = gone ? 0 : 1;
            }
            before = &element;
            gone = false;
        }
    }
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        const bool lost = keying.marks[i].beside_lost;
        if (lost) out.mark_counts[i] = 0;
        if (i + 1 == keying.marks.size()) break;
        if (lost || keying.marks[i + 1].beside_lost || odds.pauses[i] != 0) out.gap_counts[i] = 0;
    }
    return out;
}

struct Sum {
    double n = 0.0, sum = 0.0, squares = 0.0;
};

// With the speed's wander taken out, as the search will use them.
Hand fitted(const Hand& start, const Keying& keying, const Told& told,
            const std::vector<double>& slowness) {
    std::array<Sum, kKinds> sums{};
    const auto add = [&](ElementKind kind, double seconds, double slow) {
        const double value = std::log(std::max(seconds, 1e-4)) - slow;
        Sum& sum = sums[index_of(kind)];
        sum.n += 1.0;
        sum.sum += value;
        sum.squares += value * value;
    };
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (told.mark_counts[i] != 0) {
            add(told.kinds.marks[i], keying.marks[i].length_s(), slowness[i]);
        }
        if (i + 1 < keying.marks.size() && told.gap_counts[i] != 0) {
            add(told.kinds.gaps[i], keying.gap_s(i), 0.5 * (slowness[i] + slowness[i + 1]));
        }
    }
    Hand out = start;
    for (std::size_t k = 0; k < static_cast<std::size_t>(kKinds); ++k) {
        const Sum& sum = sums[k];
        LengthModel& model = out.lengths[k];
        if (sum.n < 1.0) continue;
        const double mean = sum.sum / sum.n;
        const double around = std::max(0.0, sum.squares / sum.n - mean * mean);
        const double prior = model.sd_log * model.sd_log;
        model.mean_log = (sum.sum + kPrior * model.mean_log) / (sum.n + kPrior);
        model.sd_log = std::clamp(std::sqrt((sum.n * around + kPrior * prior) / (sum.n + kPrior)),
                                  kLeastSd, kMostSd);
    }
    return out;
}

struct Found {
    Hand hand;
    LengthOdds odds;
    FoundWay way;
    Told told;
    int faults = 0;  // steps that are not as they should be
};

int faults_of(const FoundWay& way, std::size_t characters) {
    int out = 0;
    for (const Step& step : way.steps) {
        bool right = step.kind == Step::Kind::sent && step.gap_meant == step.gap_sounds;
        for (const ElementStep& element : step.elements) {
            right = right && element.fate == ElementFate::right && !element.split_before;
        }
        out += right ? 0 : 1;
    }
    return out + static_cast<int>(characters - way.reached);
}

Found find_way(const Keying& keying, const Hand& start, std::span<const MeantCharacter> text) {
    Found out;
    out.hand = start;
    Kinds kinds = probable_kinds(keying, start);
    for (int pass = 0; pass < kPasses; ++pass) {
        out.odds = length_odds(keying, out.hand, kinds);
        out.way = search_text(out.odds, text);
        out.told = told_by(out.odds, keying, out.way);
        if (pass + 1 == kPasses) break;
        kinds = out.told.kinds;
        out.hand = fitted(out.hand, keying, out.told, out.odds.slowness);
    }
    out.faults = faults_of(out.way, text.size());
    return out;
}

Hand scaled(Hand hand, double by) {
    hand.unit_s *= by;
    for (LengthModel& model : hand.lengths) {
        model.mean_log += std::log(by);
        model.sd_log = std::max(model.sd_log, 0.15);
    }
    return hand;
}

// Turns the way into errors.
class Report {
 public:
    Report(const Keying& keying, std::span<const MeantCharacter> text, const Found& found,
           Alignment& out)
        : keying_(keying), text_(text), found_(found), out_(out) {}

    void write() {
        out_.meant = text_.size();
        out_.reached = found_.way.reached;
        out_.right_at.assign(text_.size(), 0);
        const auto& steps = found_.way.steps;
        for (std::size_t n = 0; n < steps.size(); ++n) {
            const Step& step = steps[n];
            switch (step.kind) {
                case Step::Kind::sent:
                    sent(step);
                    break;
                case Step::Kind::wrong:
                    run_together(step);
                    wrong(step);
                    break;
                case Step::Kind::missing:
                    missing(step.meant, step.meant + 1, step.first_mark);
                    break;
                case Step::Kind::extra:
                    extra(step);
                    break;
                case Step::Kind::error_signal:
                    ++out_.corrections;
                    take_back(step.meant);
                    break;
                case Step::Kind::jump:
                    jump(step);
                    break;
            }
        }
        if (out_.reached < text_.size()) {
            missing(out_.reached, text_.size(), keying_.marks.size());
        }
        for (const TextError& error : out_.errors) {
            if (error.kind == FaultOfText::extra || error.corrected) continue;
            out_.right_at[error.meant_at] = 0;
        }
        out_.right = static_cast<std::size_t>(
            std::count(out_.right_at.begin(), out_.right_at.end(), char{1}));
    }

 private:
    [[nodiscard]] std::string elements(std::size_t first, std::size_t marks) const {
        std::string out;
        for (std::size_t i = first; i < first + marks; ++i) {
            out += found_.told.kinds.marks[i] == ElementKind::dash ? '-' : '.';
        }
        return out;
    }
    [[nodiscard]] double time_of(std::size_t mark) const {
        return mark < keying_.marks.size() ? keying_.marks[mark].on_s : keying_.marks.back().off_s;
    }

    void sent(const Step& step) {
        run_together(step);
        const MeantCharacter& character = text_[step.meant];
        TextError error;
        bool split = false;
        std::string sounded;
        std::string part;
        for (const ElementStep& element : step.elements) {
            (element.dash ? out_.dashes_meant : out_.dots_meant) +=
                element.fate == ElementFate::put_in ? 0 : 1;
            if (element.fate == ElementFate::dropped || element.fate == ElementFate::lost) {
                const bool lost = element.fate == ElementFate::lost;
                ++(element.dash ? out_.dashes_gone : out_.dots_gone);
                ++(element.dash ? (lost ? error.dashes_lost : error.dashes_dropped)
                                : (lost ? error.dots_lost : error.dots_dropped));
                // The hole that it leaves parts what stands before from what comes after.
                if (lost && !part.empty()) {
                    sounded += (sounded.empty() ? "" : " ") + read(part);
                    part.clear();
                }
                continue;
            }
            if (element.split_before) {
                split = true;
                sounded += (sounded.empty() ? "" : " ") + read(part);
                part.clear();
            }
            error.put_in += element.fate == ElementFate::put_in ? 1 : 0;
            error.other += element.fate == ElementFate::other ? 1 : 0;
            const bool dash = element.fate == ElementFate::other ? !element.dash : element.dash;
            part += dash ? '-' : '.';
            error.elements += dash ? '-' : '.';
        }
        const int gone = error.dots_dropped + error.dashes_dropped + error.dots_lost +
                         error.dashes_lost + error.put_in + error.other;
        out_.right_at[step.meant] = 1;
        if (!split && gone == 0) return;
        error.kind = gone > 0 ? FaultOfText::wrong : FaultOfText::split;
        error.at_s = time_of(step.first_mark);
        error.meant_at = step.meant;
        error.meant = shown(character.symbol);
        error.sent = sounded + (sounded.empty() ? "" : " ") + read(part);
        out_.errors.push_back(error);
    }

    void wrong(const Step& step) {
        TextError error;
        error.at_s = time_of(step.first_mark);
        error.meant_at = step.meant;
        error.meant = shown(text_[step.meant].symbol);
        error.elements = elements(step.first_mark, step.marks);
        error.sent = read(error.elements);
        // A whole run that sounds as meant in doubt of its gaps only.
        out_.errors.push_back(error);
        out_.right_at[step.meant] = 0;
    }

    // The gap before a character: closed up, or a word parted or joined.
    void run_together(const Step& step) {
        if (step.gap_meant == step.gap_sounds || step.meant == 0 || step.first_mark == 0) return;
        const std::string before = shown(text_[step.meant - 1].symbol);
        const std::string here = shown(text_[step.meant].symbol);
        const bool word = text_[step.meant].word_begins;
        TextError error;
        error.at_s = time_of(step.first_mark);
        error.meant_at = step.meant;
        error.meant = before + (word ? " " : "") + here;
        if (step.gap_sounds == ElementKind::word_gap) {
            error.kind = FaultOfText::split;
            error.sent = before + " " + here;
        } else if (step.gap_sounds == ElementKind::character_gap) {
            error.kind = FaultOfText::run_together;
            error.sent = before + here;
        } else {
            error.kind = FaultOfText::run_together;
            const std::size_t first = first_of_run(step.first_mark);
            error.elements = elements(first, step.first_mark + step.marks - first);
            error.sent = read(error.elements);
        }
        out_.errors.push_back(error);
    }
    [[nodiscard]] std::size_t first_of_run(std::size_t mark) const {
        const auto& gaps = found_.told.kinds.gaps;
        while (mark > 0 && gaps[mark - 1] == ElementKind::element_gap) --mark;
        return mark;
    }

    void missing(std::size_t from, std::size_t to, std::size_t mark) {
        // Neighbours that are left out make one error.
        if (!out_.errors.empty() && to == from + 1) {
            TextError& last = out_.errors.back();
            if (last.kind == FaultOfText::missing && missing_to_ == from) {
                last.meant += (text_[from].word_begins ? " " : "") + shown(text_[from].symbol);
                missing_to_ = to;
                return;
            }
        }
        TextError error;
        error.kind = FaultOfText::missing;
        error.at_s = time_of(mark);
        error.meant_at = from;
        for (std::size_t i = from; i < to; ++i) {
            if (i > from && text_[i].word_begins) error.meant += ' ';
            error.meant += shown(text_[i].symbol);
        }
        missing_to_ = to;
        out_.errors.push_back(error);
    }

    void extra(const Step& step) {
        const std::string pattern = elements(step.first_mark, step.marks);
        if (!out_.errors.empty() && out_.errors.back().kind == FaultOfText::extra &&
            extra_to_ == step.first_mark) {
            const bool word = step.first_mark > 0 &&
                              found_.told.kinds.gaps[step.first_mark - 1] == ElementKind::word_gap;
            out_.errors.back().sent += (word ? " " : "") + read(pattern);
            out_.errors.back().elements += " " + pattern;
        } else {
            TextError error;
            error.kind = FaultOfText::extra;
            error.at_s = time_of(step.first_mark);
            error.meant_at = step.meant;
            error.sent = read(pattern);
            error.elements = pattern;
            out_.errors.push_back(error);
        }
        extra_to_ = step.first_mark + step.marks;
    }

    // Back to a place of the text: what went wrong from there on is sent again.
    void take_back(std::size_t to) {
        for (TextError& error : out_.errors) {
            if (error.meant_at >= to) error.corrected = true;
        }
        missing_to_ = text_.size() + 1;
    }

    void jump(const Step& step) {
        if (step.meant > step.from) {
            missing(step.from, step.meant, step.first_mark);
            return;
        }
        ++out_.repeats;
        take_back(step.meant);
    }

    const Keying& keying_;
    std::span<const MeantCharacter> text_;
    const Found& found_;
    Alignment& out_;
    std::size_t missing_to_ = static_cast<std::size_t>(-1);
    std::size_t extra_to_ = static_cast<std::size_t>(-1);
};

}  // namespace

std::string_view name_of(FaultOfText kind) {
    constexpr std::array<std::string_view, 5> kNames = {"wrong", "missing", "extra", "run_together",
                                                        "split"};
    return kNames[static_cast<std::size_t>(kind)];
}

bool Alignment::all_right() const {
    return !stopped_early() && std::all_of(errors.begin(), errors.end(),
                                           [](const TextError& error) { return error.corrected; });
}

Result<Alignment> align(const Keying& keying, const Hand& hand,
                        std::span<const std::optional<morse::Symbol>> text) {
    const std::vector<MeantCharacter> meant = meant_characters(text);
    if (meant.empty()) {
        return Error{ErrorCode::invalid_value,
                     "text: holds no characters; at least one must be meant"};
    }
    if (keying.marks.empty()) {
        return Error{ErrorCode::not_found, "keying: no marks, nothing to align"};
    }
    Found found = find_way(keying, hand, meant);
    if (found.faults > kPoorShare * static_cast<double>(meant.size())) {
        for (const double unit : kOtherUnits) {
            Found other = find_way(keying, scaled(hand, unit), meant);
            if (other.faults < found.faults) found = std::move(other);
        }
    }
    Alignment out;
    out.hand = found.hand;
    out.sending = read_sending(keying, found.told.kinds);
    out.sending.mark_counts = found.told.mark_counts;
    out.sending.gap_counts = found.told.gap_counts;
    Report(keying, meant, found, out).write();
    return out;
}

}  // namespace skedlark::fist
