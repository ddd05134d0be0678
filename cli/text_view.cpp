#include "cli/text_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "dsp/core/units.h"

namespace skedlark::cli {

TextFlow& TextView::flow(int tone) {
    const auto found = flows_.find(tone);
    if (found != flows_.end()) {
        return found->second;
    }
    FlowStyle style;
    style.width = options_.terminal.width;
    style.ascii = options_.ascii;
    style.terminal = options_.terminal.can_redraw;
    style.label = options_.label_tones ? fmt::format("{}: ", tone) : "";
    return flows_.emplace(tone, TextFlow(std::move(style))).first->second;
}

TextFlow& TextView::take_up(int tone) {
    TextFlow& taken = flow(tone);
    if (tone != current_tone_ && !options_.label_tones) {
        // Unlabelled text of two tones must not run together on one line.
        for (auto& [number, other] : flows_) {
            if (number != tone) {
                other.end_line();
            }
        }
        draw();
    }
    current_tone_ = tone;
    return taken;
}

// Tones that are only found stay unmentioned: `skedlark find` lists them.
void TextView::introduce(int tone) {
    const auto known = latest_.find(tone);
    if (known != latest_.end() && !flows_.contains(tone)) {
        say(remark(Event(known->second)));
    }
}

void TextView::show(const std::vector<Event>& events) {
    bool changed = false;
    for (const Event& event : events) {
        if (const auto* character = std::get_if<CharEvent>(&event)) {
            if (character->final || options_.terminal.can_redraw) {
                introduce(character->tone);
                take_up(character->tone).add(*character);
                note_change(*character);
                changed = true;
            }
        } else if (const auto* tone = std::get_if<ToneEvent>(&event)) {
            latest_.insert_or_assign(tone->tone, *tone);
        } else if (const auto* summary = std::get_if<SummaryEvent>(&event)) {
            finish();
            for (const std::string& line : summary_lines(*summary)) {
                say(line);
            }
            if (!changed_by_text_.empty()) {
                say_changes();
            }
            changed = true;
        } else if (std::string line = remark(event); !line.empty()) {
            say(line);
            changed = true;
        }
    }
    if (changed) {
        draw();
    }
}

void TextView::say_changes() {
    constexpr std::size_t kNamed = 8;
    const std::size_t more = changed_by_text_.size() - std::min(changed_by_text_.size(), kNamed);
    changed_by_text_.resize(changed_by_text_.size() - more);
    std::string line = "--   by --text:";
    for (std::size_t i = 0; i < changed_by_text_.size(); ++i) {
        const bool last = i + 1 == changed_by_text_.size();
        const std::string one = " " + changed_by_text_[i] + (last && more == 0 ? "" : ",");
        if (static_cast<int>(line.size() + one.size()) > options_.terminal.width) {
            say(line);
            line = "--  ";
        }
        line += one;
    }
    say(line + (more > 0 ? fmt::format(" {} more", more) : ""));
    changed_by_text_.clear();
}

void TextView::note_change(const CharEvent& character) {
    if (!character.final || !character.unaided) {
        return;
    }
    const auto quoted = [](const std::string& text) {
        return text.empty() ? std::string("nothing") : "\"" + text + "\"";
    };
    const std::string when = clock_text(seconds_from_frames(character.from_frame));
    if (character.unaided->find(' ') == 0 || *character.unaided == character.text) {
        // The same character, but for the gap before it.
        const bool gap = *character.unaided == character.text;
        if (gap || character.unaided->substr(1) == character.text) {
            changed_by_text_.push_back(
                fmt::format("{} {}gap before {}", when, gap ? "" : "no ", character.text));
            return;
        }
    }
    changed_by_text_.push_back(
        fmt::format("{} {} for {}", when, quoted(character.text), quoted(*character.unaided)));
}

void TextView::set_status(std::string status) {
    if (options_.terminal.can_redraw && status != status_) {
        status_ = std::move(status);
        draw();
    }
}

void TextView::set_width(int width) {
    options_.terminal.width = width;
    for (auto& [tone, flow] : flows_) {
        flow.set_width(width);
    }
}

void TextView::finish() {
    status_.clear();
    for (auto& [tone, flow] : flows_) {
        flow.end_line();
    }
    draw();
}

void TextView::say(const std::string& line) {
    if (options_.terminal.can_redraw) {
        said_.push_back(line);
    } else {
        side_.write(line + "\n");
        side_.flush();
    }
}

void TextView::draw() {
    if (options_.terminal.can_redraw) {
        draw_terminal();
    } else {
        draw_plain();
    }
    text_.flush();
}

void TextView::erase_drawn() {
    if (drawn_.empty()) {
        return;
    }
    text_.write("\r");
    if (drawn_.size() > 1) {
        text_.write(fmt::format("\x1b[{}A", drawn_.size() - 1));
    }
    text_.write("\x1b[J");
    drawn_.clear();
}

void TextView::draw_terminal() {
    std::vector<std::string> settled;
    std::vector<std::string> open;
    for (auto& [tone, flow] : flows_) {
        for (std::string& line : flow.take_settled()) {
            settled.push_back(std::move(line));
        }
        for (std::string& line : flow.open_lines()) {
            open.push_back(std::move(line));
        }
    }
    if (!status_.empty()) {
        open.push_back(status_);
    }
    if (settled.empty() && said_.empty() && open == drawn_) {
        return;
    }
    erase_drawn();
    for (const std::string& line : settled) {
        text_.write(line + "\n");
    }
    for (const std::string& line : said_) {
        text_.write(line + "\n");
    }
    said_.clear();
    for (std::size_t i = 0; i < open.size(); ++i) {
        text_.write((i > 0 ? "\n" : "") + open[i]);
    }
    drawn_ = std::move(open);
}

void TextView::draw_plain() {
    for (auto& [tone, flow] : flows_) {
        for (const std::string& line : flow.take_settled()) {
            // What stands already of this line was written word by word.
            text_.write(line.substr(plain_line_.size()) + "\n");
            plain_line_.clear();
        }
    }
    const auto current = flows_.find(current_tone_);
    if (!options_.label_tones && current != flows_.end()) {
        const std::string words = current->second.whole_words();
        text_.write(std::string_view(words).substr(std::min(plain_line_.size(), words.size())));
        plain_line_ = words;
    }
}

}  // namespace skedlark::cli
