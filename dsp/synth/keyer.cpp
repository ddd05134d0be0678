#include "dsp/synth/keyer.h"

#include <algorithm>
#include <cmath>

#include "dsp/morse/code_table.h"

namespace skedlark::synth {

Keyer::Keyer(const KeyerConfig& config, std::uint64_t seed)
    : config_(config), random_(seed), dot_s_(60.0 / (50.0 * config.speed_wpm)) {
    if (config.overall_wpm > 0.0) {
        // A standard word has 31 dots inside characters and 19 in its four letter gaps and one word
        // gap; all the time that is left for the 19 stretches each of them alike.
        const double gaps_s = 60.0 / config.overall_wpm - 31.0 * dot_s_;
        gap_stretch_ = gaps_s / (19.0 * dot_s_);
    }
    log_speed_ = config_.fist.drift * random_.normal();
}

void Keyer::wander(double elapsed_s) {
    if (config_.fist.drift == 0.0) return;
    const double keep = std::exp(-elapsed_s / config_.fist.drift_time_s);
    log_speed_ =
        keep * log_speed_ + config_.fist.drift * std::sqrt(1.0 - keep * keep) * random_.normal();
}

double Keyer::length_s(const Length& length, double stretch) {
    const double value =
        random_.log_normal(length.mean_dots * stretch, length.cv) * dot_s_ * std::exp(log_speed_);
    wander(value);
    return value;
}

void Keyer::send_character(std::string_view elements, Keyed& keyed) {
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (i > 0) now_s_ += length_s(config_.fist.element_gap, 1.0);
        const bool dash = elements[i] == '-';
        const double on_s = now_s_;
        now_s_ += length_s(dash ? config_.fist.dash : config_.fist.dot, 1.0);
        keyed.marks.push_back({on_s, now_s_, dash});
    }
}

Result<double> Keyer::send(std::string_view text, double at_s, Keyed& keyed) {
    const auto symbols = morse::symbols_from_text(text);
    if (!symbols) return symbols.error();
    if (symbols->empty()) return std::max(now_s_, at_s);
    if (begun_) {
        const double before_s = now_s_;
        now_s_ = std::max(at_s, now_s_ + length_s(config_.fist.word_gap, gap_stretch_));
        keyed.characters.push_back({" ", false, before_s, now_s_});
    } else {
        now_s_ = at_s;
    }
    begun_ = true;
    bool after_character = false;
    for (const auto& symbol : *symbols) {
        const double before_s = now_s_;
        if (!symbol) {
            now_s_ += length_s(config_.fist.word_gap, gap_stretch_);
            keyed.characters.push_back({" ", false, before_s, now_s_});
            after_character = false;
            continue;
        }
        if (after_character) now_s_ += length_s(config_.fist.character_gap, gap_stretch_);
        const double from_s = now_s_;
        send_character(symbol->elements, keyed);
        keyed.characters.push_back({std::string(symbol->text), symbol->procedure, from_s, now_s_});
        after_character = true;
    }
    return now_s_;
}

}  // namespace skedlark::synth
