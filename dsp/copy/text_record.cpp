#include "dsp/copy/text_record.h"

#include <algorithm>
#include <cmath>

#include "dsp/copy/code_tree.h"
#include "dsp/copy/unaided.h"
#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

constexpr double kRecentCharacters = 8.0;
// Below this mean confidence a station counts as unreadable; -16 dB at 20 wpm is about there.
constexpr double kReadable = 0.5;

double sure_of(double share, int readings) {
    return (std::min(share, 1.0) * readings + 0.5) / (readings + 1.0);
}

}  // namespace

// A boundary stands half a frame before the middle of the frame it is counted with.
FrameIndex TextRecord::at(double boundary) const {
    return first_at_ +
           static_cast<FrameIndex>(std::llround((boundary - 0.5) * tone::kWorkFramesPerBaseband));
}

void TextRecord::make(const AgreedCharacter& character, bool final, int readings,
                      const Place& place, std::vector<CharEvent>& out) const {
    if (place.after_text && character.word_gap_before > kWordGapShare) {
        CharEvent gap;
        gap.tone = tone_;
        gap.from_frame = at(place.from);
        gap.to_frame = at(character.from);
        gap.text = " ";
        gap.final = final;
        gap.confidence = sure_of(character.word_gap_before, readings);
        out.push_back(gap);
    }
    CharEvent event;
    event.tone = tone_;
    event.from_frame = at(character.from);
    event.to_frame = at(character.to);
    event.final = final;
    event.text = "_";
    event.confidence = sure_of(character.share, readings);
    const CodeTree& tree = CodeTree::standard();
    if (character.node >= 0) {
        event.text = tree.reading[character.node].text;
        event.procedure = tree.reading[character.node].procedure;
    }
    for (const auto& [node, share] : character.others) {
        event.others.emplace_back(tree.reading[node].text, std::min(share, 1.0));
    }
    out.push_back(event);
}

void TextRecord::settle(const AgreedCharacter& character, int readings, std::vector<Event>& out,
                        const std::optional<std::string>& unaided) {
    recent_ += (sure_of(character.share, readings) - recent_) / kRecentCharacters;
    if (recent_ < kReadable) {
        return;
    }
    std::vector<CharEvent> events;
    make(character, true, readings, {count_ > 0, last_to_}, events);
    events.back().unaided = unaided;
    for (const CharEvent& event : events) {
        text_ += event.procedure ? "[" + event.text + "]" : event.text;
        sum_ += event.confidence;
        ++count_;
        out.emplace_back(event);
    }
    last_to_ = character.to;
}

void TextRecord::show(const std::vector<AgreedCharacter>& characters, int readings,
                      std::vector<Event>& out) const {
    if (recent_ < kReadable) {
        return;
    }
    std::vector<CharEvent> events;
    Place place{count_ > 0, last_to_};
    for (const AgreedCharacter& character : characters) {
        make(character, false, readings, place, events);
        place = {true, character.to};
    }
    out.insert(out.end(), events.begin(), events.end());
}

}  // namespace skedlark::copy
