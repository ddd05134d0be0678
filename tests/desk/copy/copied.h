// Copied characters for tests: a text at one speed, every character with its time.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "gui/copy/copy_text.h"

namespace skedlark::gui {

// A character every 0.5 s, 0.3 s long. "[AR]" is a procedure signal; a lower-case letter is its capital,
// read with 0.5; "_" is open.
inline std::vector<CharEvent> characters_of(std::string_view text, int tone = 1) {
    std::vector<CharEvent> all;
    double at_s = 1.0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        CharEvent event;
        event.tone = tone;
        event.from_frame = frames_from_seconds(at_s);
        event.to_frame = frames_from_seconds(at_s + 0.3);
        event.confidence = 0.99;
        event.text = std::string(1, text[i]);
        if (text[i] == '[') {
            const std::size_t end = text.find(']', i);
            event.text = text.substr(i + 1, end - i - 1);
            event.procedure = true;
            i = end;
        } else if (text[i] >= 'a' && text[i] <= 'z') {
            event.text = std::string(1, static_cast<char>(text[i] - 'a' + 'A'));
            event.confidence = 0.5;
        }
        all.push_back(event);
        at_s += 0.5;
    }
    return all;
}

inline std::vector<Copied> copied(std::string_view text) {
    std::vector<Copied> all;
    for (CharEvent& event : characters_of(text)) all.push_back({std::move(event), {}, false});
    return all;
}

}  // namespace skedlark::gui
