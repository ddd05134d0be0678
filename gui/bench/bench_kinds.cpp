#include "gui/bench/bench_kinds.h"

#include <algorithm>
#include <cassert>

namespace skedlark::gui {

namespace {

BenchField seconds_field() {
    return {"seconds", "Seconds", "Seconds of each recording; empty for the step's own", ""};
}
BenchField pitch_field() {
    return {"pitch", "Near Hz", "Pitch the tone is near, hertz; empty for any", ""};
}

std::vector<BenchKind> make_kinds() {
    return {
        {"chain",
         "Measuring chain",
         "the sound input and its lead by themselves, before they judge a receiver",
         {{"name", "Name", "Name of the chain", "chain"},
          {"reference", "Reference Hz",
           "What the generator's pitch truly is, hertz; empty: not known", ""},
          {"volts", "Full scale, V", "Peak volts that just reach full scale; empty: not known", ""},
          seconds_field()}},
        {"tone",
         "Tone",
         "pitch, level, SINAD, noise and distortion of one steady tone",
         {pitch_field(), seconds_field()}},
        {"sensitivity",
         "Sensitivity",
         "how weak a signal may be",
         {{"way",
           "Way",
           "Way the sensitivity is measured",
           "on and off",
           {"on and off", "levels", "levels and image"}},
          {"levels",
           "Levels, dBm",
           "Generator levels in dBm, rising",
           "-125 -120 -115 -110",
           {},
           {"levels", "levels and image"}},
          {"points",
           "Points, MHz",
           "Points of the band in megahertz; empty for one",
           "",
           {},
           {"levels"}},
          {"image_levels",
           "Image, dBm",
           "Generator levels at the image frequency in dBm, rising",
           "-80 -75 -70 -65",
           {},
           {"levels and image"}},
          {"generator_db",
           "Sure to, dB",
           "How sure the generator's levels are, decibels",
           "1",
           {},
           {"levels", "levels and image"}},
          pitch_field(),
          seconds_field()}},
        {"hum",
         "Hum",
         "lines of the supply in the audio, and on a tone",
         {{"way",
           "With",
           "What is heard beside the hum",
           "no signal",
           {"no signal", "a steady tone"}},
          pitch_field(),
          seconds_field()}},
        {"drift",
         "Drift from cold",
         "pitch of a steady carrier over minutes to hours",
         {{"within", "Within, Hz", "Settled is what stays within so many hertz", "100"},
          {"for", "for, s", "in every stretch of so many seconds", "600"}}},
        {"passband",
         "Passband",
         "widths, shape, both sides of zero beat",
         {{"way",
           "From",
           "What the passband is measured from",
           "own noise",
           {"own noise", "steps", "a sweep"}},
          {"above",
           "Steps above",
           "Generator levels in decibels of the steps above zero beat, as 10x0 3x20",
           "10x0",
           {},
           {"steps"}},
          {"below", "Steps below", "The same below zero beat; empty for none", "", {}, {"steps"}},
          {"first",
           "Begins",
           "Side of zero beat on which the sweep begins",
           "above",
           {"above", "below"},
           {"a sweep"}},
          {"listening",
           "Compared at, Hz",
           "Pitch at which both sides are compared",
           "700",
           {},
           {"steps", "a sweep"}},
          seconds_field()}},
        {"dial",
         "Dial",
         "the chart against check points, backlash",
         {{"band", "Band", "Band of the receiver file in use", ""},
          {"within", "Within, div", "No error may be larger, divisions", "0.5"},
          {"check_points", "Check points",
           "Check points: megahertz, division, below or above; the next after a semicolon", ""}}},
        {"contacts",
         "Contacts",
         "crackle and dropouts while a plug, valve or switch is moved",
         {{"what", "Moved", "What is moved", "aerial plug"},
          {"least", "From dB on", "Shallower events are not told, decibels", "3"},
          seconds_field()}},
        {"ring",
         "Ringing",
         "what a valve gives when it is tapped",
         {{"what", "Tapped", "What is tapped", "V1"}, seconds_field()}},
        {"peak", "Peak meter", "a level to align by, with the highest so far", {}},
        {"rundown",
         "Battery run-down",
         "level and pitch on batteries until the set fails",
         {{"fallen", "Fallen, dB", "Said when the level stays so many decibels down", "6"}}},
    };
}

}  // namespace

std::span<const BenchKind> bench_kinds() {
    static const std::vector<BenchKind> kKinds = make_kinds();
    return kKinds;
}

const BenchKind& kind_named(const std::string& name) {
    const auto kinds = bench_kinds();
    const auto found = std::find_if(kinds.begin(), kinds.end(),
                                    [&](const BenchKind& kind) { return kind.name == name; });
    assert(found != kinds.end());
    return *found;
}

FieldTexts standard_texts(const BenchKind& kind) {
    FieldTexts texts;
    for (const BenchField& field : kind.fields) texts[field.key] = field.standard;
    return texts;
}

std::string way_of(const FieldTexts& texts) {
    const auto way = texts.find("way");
    return way == texts.end() ? "" : way->second;
}

bool is_shown(const BenchField& field, const FieldTexts& texts) {
    return field.ways.empty() ||
           std::find(field.ways.begin(), field.ways.end(), way_of(texts)) != field.ways.end();
}

}  // namespace skedlark::gui
