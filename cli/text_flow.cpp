#include "cli/text_flow.h"

#include <algorithm>

#include "dsp/core/units.h"

namespace skedlark::cli {

namespace {
constexpr const char* kCombiningOverline = "\xCC\x85";  // U+0305
constexpr const char* kUnderline = "\x1b[4m";
constexpr const char* kDim = "\x1b[2m";
constexpr const char* kSlanted = "\x1b[3m";
constexpr const char* kPlain = "\x1b[0m";
}  // namespace

TextFlow::Glyph TextFlow::glyph_of(const CharEvent& event) const {
    Glyph glyph;
    glyph.from_frame = event.from_frame;
    glyph.to_frame = event.to_frame;
    glyph.heard_only = !event.final;
    if (event.text == " ") {
        glyph.text.assign(1, ' ');
        glyph.columns = 0;
        return glyph;
    }
    glyph.doubtful = event.confidence < kDoubtfulBelow && event.text != "_";
    glyph.by_text = event.unaided.has_value();
    glyph.columns = static_cast<int>(event.text.size());
    if (!event.procedure) {
        glyph.text = event.text;
    } else if (style_.ascii) {
        glyph.text = "[" + event.text + "]";
        glyph.columns += 2;
    } else {
        for (const char letter : event.text) {
            glyph.text += letter;
            glyph.text += kCombiningOverline;
        }
    }
    // É is the one character of the code outside ASCII: two bytes, one column.
    glyph.columns -=
        static_cast<int>(std::count_if(event.text.begin(), event.text.end(), [](char c) {
            return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
        }));
    return glyph;
}

void TextFlow::add(const CharEvent& event) {
    if (!event.final) {
        std::erase_if(heard_, [&](const Glyph& g) { return g.to_frame > event.from_frame; });
        heard_.push_back(glyph_of(event));
        return;
    }
    std::erase_if(heard_, [&](const Glyph& g) { return g.from_frame < event.to_frame; });
    const bool paused =
        !open_.empty() && event.text != " " &&
        seconds_from_frames(event.from_frame - open_.back().to_frame) > kNewLineAfterS;
    const bool long_gap = event.text == " " &&
                          seconds_from_frames(event.to_frame - event.from_frame) > kNewLineAfterS;
    if (paused || long_gap) {
        Line heard;
        std::swap(heard, heard_);
        end_line();
        std::swap(heard, heard_);
    }
    if (event.text == " " && (open_.empty() || open_.back().columns == 0)) {
        return;
    }
    open_.push_back(glyph_of(event));
    settle_full_lines();
}

void TextFlow::end_line() {
    heard_.clear();
    settle_full_lines();
    while (!open_.empty() && open_.back().columns == 0) {
        open_.pop_back();
    }
    if (!open_.empty()) {
        settled_.push_back(printed(open_));
    }
    open_.clear();
}

void TextFlow::settle_full_lines() {
    std::vector<Line> lines = wrapped(open_);
    if (lines.size() < 2) {
        return;
    }
    // Only what follows decides where the last line ends; the others stand.
    for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
        settled_.push_back(printed(lines[i]));
    }
    open_ = std::move(lines.back());
}

std::vector<TextFlow::Line> TextFlow::wrapped(const Line& glyphs) const {
    const int room = std::max(1, style_.width - static_cast<int>(style_.label.size()));
    std::vector<Line> lines(1);
    int columns = 0;  // of the line being filled
    auto at = glyphs.begin();
    while (at != glyphs.end()) {
        const auto word =
            std::find_if(at, glyphs.end(), [](const Glyph& g) { return g.columns > 0; });
        const auto end =
            std::find_if(word, glyphs.end(), [](const Glyph& g) { return g.columns == 0; });
        const bool gap = word != at && !lines.back().empty();
        int word_columns = 0;
        std::for_each(word, end, [&](const Glyph& g) { word_columns += g.columns; });
        if (gap && columns + 1 + word_columns > room && word != end) {
            lines.emplace_back();
            columns = 0;
        } else if (gap) {
            lines.back().push_back(*at);
            columns += 1;
        }
        for (auto glyph = word; glyph != end; ++glyph) {
            if (columns > 0 && columns + glyph->columns > room) {
                lines.emplace_back();
                columns = 0;
            }
            lines.back().push_back(*glyph);
            columns += glyph->columns;
        }
        at = end;
    }
    return lines;
}

std::string TextFlow::printed(const Line& line) const {
    std::string text = style_.label;
    std::size_t end = line.size();
    while (end > 0 && line[end - 1].columns == 0) {
        --end;
    }
    for (std::size_t i = 0; i < end; ++i) {
        const Glyph& glyph = line[i];
        const bool styled =
            style_.terminal && (glyph.doubtful || glyph.heard_only || glyph.by_text);
        if (styled) {
            text += glyph.by_text ? kSlanted : "";
            text += glyph.heard_only ? kDim : "";
            text += glyph.doubtful ? kUnderline : "";
        }
        text += glyph.text;
        text += styled ? kPlain : "";
    }
    return text;
}

std::vector<std::string> TextFlow::take_settled() {
    std::vector<std::string> taken;
    std::swap(taken, settled_);
    return taken;
}

std::vector<std::string> TextFlow::open_lines() const {
    Line all = open_;
    all.insert(all.end(), heard_.begin(), heard_.end());
    std::vector<std::string> lines;
    for (const Line& line : wrapped(all)) {
        if (!line.empty()) {
            lines.push_back(printed(line));
        }
    }
    return lines;
}

std::string TextFlow::whole_words() const {
    const auto gap = std::find_if(open_.rbegin(), open_.rend(),
                                  [](const Glyph& glyph) { return glyph.columns == 0; });
    if (gap == open_.rend()) {
        return {};
    }
    return printed(Line(open_.begin(), gap.base()));
}

}  // namespace skedlark::cli
