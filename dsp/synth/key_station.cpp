#include "dsp/synth/key_station.h"

#include "dsp/synth/keyer.h"
#include "dsp/synth/text_makers.h"
#include "dsp/synth/transmitter.h"

namespace skedlark::synth {
namespace {

// A station that has sent nothing yet begins here.
constexpr double kFirstMarkS = 0.2;

// Random groups until one would end after until_s; that one is not sent.
void keep_sending(Keyer& keyer, double until_s, std::uint64_t seed, Keyed& keyed) {
    Random random(seed);
    while (true) {
        const std::size_t marks = keyed.marks.size();
        const std::size_t characters = keyed.characters.size();
        const std::string group = random_groups(1, GroupKind::letters, random);
        const auto end_s = keyer.send(group, kFirstMarkS, keyed);
        if (!end_s || *end_s > until_s) {
            keyed.marks.resize(marks);
            keyed.characters.resize(characters);
            return;
        }
    }
}

}  // namespace

Result<StationTruth> key_station(const StationConfig& config, double until_s, std::uint64_t seed) {
    StationTruth truth;
    truth.carrier = config.carrier;
    truth.speed_wpm = config.speed_wpm;
    truth.offset_hz = config.offset_hz;
    truth.level_db = config.level_db;
    Keyer keyer({config.speed_wpm, config.overall_wpm, config.fist}, derive_seed(seed, "hand"));
    Keyed keyed;
    for (const Transmission& one : config.transmissions) {
        const auto end_s = keyer.send(one.text, one.at_s, keyed);
        if (!end_s) return end_s.error();
    }
    if (config.keep_sending) keep_sending(keyer, until_s, derive_seed(seed, "groups"), keyed);
    truth.text = text_of(keyed.characters);
    truth.characters = std::move(keyed.characters);
    truth.marks = go_out(keyed.marks, config.transmitter, derive_seed(seed, "transmitter"));
    truth.key_marks = std::move(keyed.marks);
    return truth;
}

}  // namespace skedlark::synth
