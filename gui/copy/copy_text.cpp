#include "gui/copy/copy_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

int per_cent(double share) { return static_cast<int>(std::lround(100.0 * share)); }

std::string shown(const std::string& text) {
    if (text.empty()) return "nothing";
    return text == " " ? "gap between words" : text;
}

template <typename As>
std::string joined(std::span<const Copied> characters, As&& as) {
    std::string text;
    FrameIndex last_to = 0;
    bool begun = false;
    for (const Copied& one : characters) {
        if (one.own) continue;
        const double since_s = seconds_from_frames(one.read.from_frame - last_to);
        const double long_s = seconds_from_frames(one.read.to_frame - one.read.from_frame);
        const bool paused = begun && (one.is_gap() ? long_s : since_s) > kNewLineAfterS;
        if (paused && !text.empty() && text.back() != '\n') {
            while (!text.empty() && text.back() == ' ') text.pop_back();
            text += '\n';
        }
        last_to = one.read.to_frame;
        begun = true;
        const std::string added = as(one);
        const bool at_start = text.empty() || text.back() == ' ' || text.back() == '\n';
        if (added == " " && at_start) continue;
        text += added;
    }
    while (!text.empty() && text.back() == ' ') text.pop_back();
    return text;
}

}  // namespace

std::string Copied::as_read() const { return read.procedure ? "[" + read.text + "]" : read.text; }

bool Copied::doubtful() const {
    return !corrected && !is_gap() && (read.text == "_" || read.confidence < kDoubtfulBelow);
}

bool CopyText::is_own(const CharEvent& event) const {
    const FrameIndex middle = event.from_frame + (event.to_frame - event.from_frame) / 2;
    if (sending_from_ && middle >= *sending_from_) return true;
    return std::any_of(own_.begin(), own_.end(), [&](const Stretch& stretch) {
        return middle >= stretch.from && middle < stretch.to;
    });
}

void CopyText::mark_own() {
    for (auto& [tone, line] : lines_) {
        for (Copied& one : line.final) one.own = is_own(one.read);
        for (Copied& one : line.heard) one.own = is_own(one.read);
    }
    ++revision_;
}

void CopyText::add(const CharEvent& event) {
    Line& line = lines_[event.tone];
    ++revision_;
    if (!event.final) {
        std::erase_if(line.heard,
                      [&](const Copied& c) { return c.read.to_frame > event.from_frame; });
        line.heard.push_back({event, {}, is_own(event)});
        return;
    }
    std::erase_if(line.heard, [&](const Copied& c) { return c.read.from_frame < event.to_frame; });
    line.final.push_back({event, {}, is_own(event)});
}

std::string CopyText::take_older(int tone) {
    const auto line = lines_.find(tone);
    if (line == lines_.end() || line->second.final.size() <= kKept + kKept / 4) return "";
    std::vector<Copied>& final = line->second.final;
    auto cut = final.begin() + kKept / 4;
    // At a gap between words, where one is near.
    const auto gap = std::find_if(cut, cut + kKept / 8, [](const Copied& c) { return c.is_gap(); });
    if (gap != cut + kKept / 8) cut = gap + 1;
    std::string text = text_as_taken({final.begin(), cut});
    final.erase(final.begin(), cut);
    ++revision_;
    return text;
}

void CopyText::send_from(FrameIndex from) {
    sending_from_ = from;
    mark_own();
}

std::optional<Stretch> CopyText::send_until(FrameIndex to) {
    if (!sending_from_) return std::nullopt;
    const Stretch stretch{*sending_from_, std::max(to, *sending_from_)};
    sending_from_.reset();
    add_sending(stretch);
    return stretch;
}

void CopyText::add_sending(const Stretch& stretch) {
    own_.push_back(stretch);
    mark_own();
}

std::vector<Stretch> CopyText::own_sending(FrameIndex now) const {
    std::vector<Stretch> all = own_;
    if (sending_from_) all.push_back({*sending_from_, now});
    return all;
}

std::vector<int> CopyText::tones() const {
    std::vector<int> all;
    for (const auto& [tone, line] : lines_) all.push_back(tone);
    return all;
}

std::vector<Copied> CopyText::of_tone(int tone) const {
    const auto line = lines_.find(tone);
    if (line == lines_.end()) return {};
    std::vector<Copied> all = line->second.final;
    all.insert(all.end(), line->second.heard.begin(), line->second.heard.end());
    return all;
}

std::span<const Copied> CopyText::final_of(int tone) const {
    const auto line = lines_.find(tone);
    return line == lines_.end() ? std::span<const Copied>{} : std::span(line->second.final);
}

bool CopyText::correct(int tone, FrameIndex from, std::optional<std::string> text) {
    const auto line = lines_.find(tone);
    if (line == lines_.end()) return false;
    for (Copied& one : line->second.final) {
        if (one.read.from_frame != from) continue;
        if (text && *text == one.as_read()) text.reset();
        one.corrected = std::move(text);
        ++revision_;
        return true;
    }
    return false;
}

bool CopyText::correct_stretch(int tone, const Stretch& stretch, const std::string& text) {
    const auto line = lines_.find(tone);
    if (line == lines_.end()) return false;
    bool first = true;
    for (Copied& one : line->second.final) {
        if (one.read.from_frame < stretch.from || one.read.to_frame > stretch.to) continue;
        one.corrected = first ? text : "";
        first = false;
    }
    ++revision_;
    return !first;
}

std::string text_as_read(std::span<const Copied> characters) {
    return joined(characters, [](const Copied& one) { return one.as_read(); });
}

std::string text_as_taken(std::span<const Copied> characters) {
    return joined(characters, [](const Copied& one) { return one.as_taken(); });
}

std::string readings_of(const Copied& character) {
    std::string text = character.read.text == "_" ? "not readable" : shown(character.as_read());
    text += fmt::format(" {} %", per_cent(character.read.confidence));
    for (const auto& [other, chance] : character.read.others) {
        text += fmt::format(", {} {} %", shown(other), per_cent(chance));
    }
    if (character.read.unaided) {
        text += "; heard alone: " + shown(*character.read.unaided);
    }
    if (character.corrected) text += "; corrected to " + shown(*character.corrected);
    if (character.own) text += "; own sending";
    if (!character.read.final) text += "; may still change";
    return text;
}

}  // namespace skedlark::gui
