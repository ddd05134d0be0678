#include "dsp/fist/copy_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "dsp/morse/code_table.h"

namespace skedlark::fist {

namespace {

constexpr std::size_t kLabel = 7;  // "typed  "

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::string padded(const std::string& text, std::size_t width) {
    const std::size_t has = width_of(text);
    return has < width ? text + std::string(width - has, ' ') : text;
}

std::string_view sign_of(CopyMark mark) {
    switch (mark) {
        case CopyMark::right:
        case CopyMark::gap_right:
            return " ";
        case CopyMark::wrong:
            return "x";
        case CopyMark::open:
            return "_";
        case CopyMark::missing:
            return "-";
        case CopyMark::extra:
            return "+";
        case CopyMark::gap_missing:
        case CopyMark::gap_extra:
            return "|";
    }
    return " ";
}

std::string without_end(std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

// Three lines a row: as sent, as typed, what is wrong.
class Rows {
 public:
    explicit Rows(std::size_t columns) : columns_(columns) {}

    void add(const CopyStep& step) {
        const std::string above = written(step.sent);
        const std::string below = written(step.typed);
        const std::size_t width = std::max({width_of(above), width_of(below), std::size_t{1}});
        if (used_ + width > columns_ - kLabel) end();
        sent_ += padded(above, width);
        typed_ += padded(below, width);
        marks_ += padded(std::string(sign_of(step.mark)), width);
        used_ += width;
        // A word is not torn where the row is nearly full.
        if (step.sent == " " && used_ > columns_ - kLabel - 12) end();
    }
    std::string take() {
        end();
        return std::move(out_);
    }

 private:
    void end() {
        if (used_ == 0) return;
        out_ += without_end("sent   " + sent_) + "\n" + without_end("typed  " + typed_) + "\n" +
                without_end("       " + marks_) + "\n";
        sent_.clear();
        typed_.clear();
        marks_.clear();
        used_ = 0;
    }

    std::string out_;
    std::string sent_, typed_, marks_;
    std::size_t columns_;
    std::size_t used_ = 0;
};

}  // namespace

// Signs that are also procedure signals are shown as these.
std::string written(const std::string& name) {
    if (name == "=") return "[BT]";
    if (name == "+") return "[AR]";
    if (name == "(") return "[KN]";
    if (morse::find_by_text(name) == nullptr && morse::find_by_text(name, true) != nullptr) {
        return "[" + name + "]";
    }
    return name;
}

std::string signs_in_words() {
    return "x wrong, _ left open, - missing, + put in, | gap between words\n";
}

std::string marked_rows(const CopyScore& score, std::size_t columns) {
    Rows rows(std::max(columns, kLabel + 20));
    for (const CopyStep& step : score.steps) rows.add(step);
    return rows.take();
}

std::string counts_in_words(const CopyScore& score) {
    return fmt::format(
        "{} of {} characters right ({:.0f} %): {} wrong, {} left open, {} missing,\n"
        "{} put in; {} of {} gaps between words right, {} put in.\n",
        score.right, score.sent, 100.0 * score.right_share(), score.wrong, score.open,
        score.missing, score.extra, score.gaps_right, score.gaps_sent, score.gaps_extra);
}

std::string pairs_in_words(const CopyScore& score, std::size_t most) {
    std::string out;
    for (std::size_t i = 0; i < std::min(most, score.pairs.size()); ++i) {
        const ConfusionPair& pair = score.pairs[i];
        out += fmt::format("{} was typed for {}: {}\n", written(pair.typed), written(pair.sent),
                           pair.count == 1 ? "once" : fmt::format("{} times", pair.count));
    }
    if (score.pairs.size() > most) {
        out += fmt::format("and {} other pairs\n", score.pairs.size() - most);
    }
    return out;
}

}  // namespace skedlark::fist
