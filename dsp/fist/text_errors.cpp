#include "dsp/fist/text_errors.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

std::string shown(const morse::Symbol& symbol) {
    return symbol.procedure ? "[" + std::string(symbol.text) + "]" : std::string(symbol.text);
}

// A character that stands there, or its elements where it is none.
std::string read(const std::string& elements) {
    const morse::Symbol* symbol = morse::read_elements(elements, false);
    return symbol == nullptr ? elements : shown(*symbol);
}

// Turns the way into errors.
class Report {
 public:
    Report(const Keying& keying, std::span<const MeantCharacter> text, const FoundWay& way,
           const Kinds& kinds, Alignment& out)
        : keying_(keying), text_(text), way_(way), kinds_(kinds), out_(out) {}

    void write() {
        out_.meant = text_.size();
        out_.reached = way_.reached;
        out_.right_at.assign(text_.size(), 0);
        const auto& steps = way_.steps;
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
            out += kinds_.marks[i] == ElementKind::dash ? '-' : '.';
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
        const auto& gaps = kinds_.gaps;
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
            const bool word =
                step.first_mark > 0 && kinds_.gaps[step.first_mark - 1] == ElementKind::word_gap;
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
    const FoundWay& way_;
    const Kinds& kinds_;
    Alignment& out_;
    std::size_t missing_to_ = static_cast<std::size_t>(-1);
    std::size_t extra_to_ = static_cast<std::size_t>(-1);
};

}  // namespace

std::string described(const TextError& error) {
    const auto quoted = [](const std::string& text) { return "\"" + text + "\""; };
    std::string out;
    switch (error.kind) {
        case FaultOfText::wrong:
            out = quoted(error.meant) + " sounded like " + quoted(error.sent);
            break;
        case FaultOfText::missing:
            out = quoted(error.meant) + " is missing";
            break;
        case FaultOfText::extra:
            out = quoted(error.sent) + " is too many";
            break;
        case FaultOfText::run_together:
            out = quoted(error.meant) + " run together, like " + quoted(error.sent);
            break;
        case FaultOfText::split:
            out = quoted(error.meant) + " split, like " + quoted(error.sent);
            break;
    }
    const auto count = [&](int number, const char* what) {
        if (number > 0) out += fmt::format(", {} {}{}", number, what, number == 1 ? "" : "s");
    };
    count(error.dots_dropped, "dot");
    if (error.dots_dropped > 0) out += " too few";
    count(error.dashes_dropped, "dash");
    if (error.dashes_dropped > 0) out += " too few";
    count(error.dots_lost, "dot");
    if (error.dots_lost > 0) out += " not sent, its place kept";
    count(error.put_in, "element");
    if (error.put_in > 0) out += " too many";
    count(error.other, "element");
    if (error.other > 0) out += " of the other kind";
    return error.corrected ? out + " (corrected)" : out;
}

std::string_view name_of(FaultOfText kind) {
    constexpr std::array<std::string_view, 5> kNames = {"wrong", "missing", "extra", "run_together",
                                                        "split"};
    return kNames[static_cast<std::size_t>(kind)];
}

void write_text_errors(const Keying& keying, std::span<const MeantCharacter> text,
                       const FoundWay& way, const Kinds& kinds, Alignment& out) {
    Report(keying, text, way, kinds, out).write();
}

}  // namespace skedlark::fist
