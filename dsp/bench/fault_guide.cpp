#include "dsp/bench/fault_guide.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string_view>

#include "dsp/bench/cautions.h"

namespace skedlark::bench {
namespace {

const char* const kChain = "measuring chain";
const char* const kPlugs = "plugs, sockets and switches";
const char* const kValves = "valves and their sockets";
const char* const kSupply = "power supply and its capacitors";
const char* const kHeaters = "heater circuit";
const char* const kPickUp = "magnetic pick-up, earth loops";
const char* const kOscillator = "oscillator and its supply";
const char* const kAlignment = "alignment of the tuned circuits";
const char* const kAudio = "audio stages";
const char* const kDialWork = "dial drive and chart";
const char* const kBattery = "battery and its leads";

std::vector<FaultSymptom> make_guide() {
    return {
        {"Nothing is heard, or very little",
         {"chain", "contacts", "sensitivity", "tone"},
         {{kChain, "`chain`: no noise, or clipped, with the lead closed",
           "Lead, adapter, level of the sound input."},
          {kPlugs, "`contacts`: dropouts while a plug is moved, none at rest",
           "Move headphone, aerial and supply plugs one by one; clean and tighten."},
          {kValves, "`sensitivity`: noise is heard but the level for 10 dB is far too high",
           "Look which heaters glow; exchange valves one at a time, from the aerial on, measuring "
           "after each."},
          {kAudio, "`tone`: distortion high, or no noise at all with the volume up",
           "Output valve, coupling capacitors, output transformer."},
          {kAlignment, "`sensitivity` at several points: dead spots, or one end of a band bad",
           "Only after all before it is right: trimmers with `peak`."}}},
        {"It was good and became weak",
         {"sensitivity", "passband", "tone", "rundown"},
         {{kValves,
           "`sensitivity` before and after: the level for 10 dB has risen, passband as it was",
           "Valves fail first: exchange one at a time, measure after each."},
          {kBattery, "`rundown`: the level falls with time",
           "Measure the battery under load; clean its clips."},
          {kPlugs, "`contacts`: dropouts at the aerial plug", "Aerial lead and plug first."},
          {kAlignment, "`passband`: middle or width has changed",
           "Someone turned a trimmer, or a capacitor aged: `peak`, then `passband` again."}}},
        {"Hum",
         {"hum", "contacts"},
         {{kSupply, "`hum`: strongest at twice the supply frequency and its multiples",
           "Smoothing capacitors, choke; vibrator and its buffer capacitor where lines near 100 Hz "
           "are no mains."},
          {kHeaters, "`hum`: strongest at the supply frequency itself",
           "Valve with leakage from heater to cathode, balance of the heater winding, one half of "
           "the rectifier gone."},
          {kPickUp, "`hum`: odd multiples strong beside the first",
           "Turn the mains transformer away; shorten the lead; one earth point."},
          {kOscillator, "`hum` with a tone: FM on the tone", "Supply of the oscillator."},
          {kPlugs, "`hum`: changes when a plug is moved",
           "Screen of the lead, earth connection."}}},
        {"Crackle and dropouts",
         {"contacts", "ring"},
         {{kPlugs, "`contacts`: more while a plug or switch is moved than at rest",
           "Clean and tighten what was moved; band switch with contact cleaner."},
          {kValves, "`contacts` while a valve is moved in its socket; `ring`: it rings when tapped",
           "Clean the pins, tighten the socket; another valve."},
          {kSupply, "`contacts`: crackle at rest too",
           "Leaking capacitors, a resistor that breaks down; a battery at its end crackles too."}}},
        {"The pitch drifts or jumps",
         {"drift", "contacts"},
         {{kOscillator, "`drift`: a change at once with the supply, or FM in `hum`",
           "Plate supply of the oscillator, its stabiliser."},
          {kValves, "`drift`: jumps, also without touching",
           "Oscillator valve, its socket and heater contact."},
          {kPlugs, "`contacts`: the tone jumps when the band switch is moved",
           "Contacts of the band switch."},
          {kAlignment, "`drift`: it never settles but keeps on with the warmth",
           "Coil former damp, capacitor cracked: let it dry, exchange the capacitor."}}},
        {"It rings or howls when touched",
         {"ring", "contacts"},
         {{kValves, "`ring`: long decay, far over the noise",
           "Exchange the place of the valve that rings with one in a later stage, or take "
           "another."},
          {kAudio, "`ring` of every valve alike",
           "Loudspeaker or headphones too near: acoustic "
           "feedback; rubber of the valve mounts gone hard."}}},
        {"Stations stand at the wrong place, or twice",
         {"dial", "passband", "sensitivity"},
         {{kDialWork, "`dial`: the same error everywhere, or backlash",
           "Set screw of the knob, cord, gear; else save the corrected chart and use it."},
          {kOscillator, "`dial`: the error grows along the band",
           "Padder and trimmer of the "
           "oscillator."},
          {kAlignment, "`sensitivity`, image: image response low",
           "Tuned circuits before the mixer: `peak` at the wanted frequency."}}},
        {"Distorted, rough tone",
         {"tone", "hum", "chain"},
         {{kChain, "`chain`: distortion of the lead itself, or clipped",
           "Level of the sound input down."},
          {kAudio, "`tone`: harmonics high at full volume, lower with the volume down",
           "Output valve, its bias, leaking coupling capacitor."},
          {kSupply, "`hum` with a tone: AM on the tone",
           "Supply of the radio and intermediate "
           "stages."}}},
    };
}

// What the sheets say, gathered by place.
class Evidence {
 public:
    // Order of experience, the first the likeliest: valves fail first, plug contacts loosen, supplies hum.
    Evidence() {
        double weight = 0.11;
        for (const char* place : {kValves, kPlugs, kSupply, kBattery, kAudio, kOscillator, kHeaters,
                                  kAlignment, kPickUp, kDialWork, kChain}) {
            places_.push_back({place, weight, {}});
            weight -= 0.01;
        }
    }
    void add(const char* place, double weight, std::string because) {
        for (LikelyPlace& p : places_) {
            if (p.place != place) continue;
            p.weight += weight;
            p.because.push_back(std::move(because));
        }
    }
    std::vector<LikelyPlace> ordered() {
        std::stable_sort(
            places_.begin(), places_.end(),
            [](const LikelyPlace& a, const LikelyPlace& b) { return a.weight > b.weight; });
        return places_;
    }

 private:
    std::vector<LikelyPlace> places_;
};

const Measurement* find(const Sheet& sheet, std::string_view name) {
    for (const Measurement& m : sheet.report.measurements) {
        if (m.name == name) return &m;
    }
    return nullptr;
}

bool is_missed(const Sheet& sheet, const Measurement& m) {
    const auto limit = sheet.limits.of(sheet.test, m.name);
    return limit && judge(m, *limit).pass == false;
}
bool is_missed(const Sheet& sheet, std::string_view name) {
    const Measurement* m = find(sheet, name);
    return m != nullptr && is_missed(sheet, *m);
}
bool is_above(const Sheet& sheet, std::string_view name, double value) {
    const Measurement* m = find(sheet, name);
    return m != nullptr && m->known == Known::value && m->figure.low() > value;
}

std::string said(const Sheet& sheet, std::string_view name) {
    const Measurement* m = find(sheet, name);
    return m == nullptr ? "" : fmt::format("{}: {} {}", sheet.test, m->what, figure_text(*m));
}

void of_chain(const Sheet& sheet, Evidence& evidence) {
    for (const Measurement& m : sheet.report.measurements) {
        if (is_missed(sheet, m))
            evidence.add(kChain, 4.0, fmt::format("chain: {} {}", m.what, figure_text(m)));
    }
}

// Shares of the lines' power at the supply frequency, its even and its odd multiples.
struct LineShares {
    double first = 0.0, even = 0.0, odd = 0.0, all = 0.0;
};
LineShares shares_of(const Sheet& sheet, double supply_hz) {
    LineShares shares;
    for (const Measurement& m : sheet.report.measurements) {
        if (m.name != "line_dbfs") continue;
        const double hz = std::strtod(m.at.c_str(), nullptr);
        const long order = std::lround(hz / supply_hz);
        const double power = std::pow(10.0, 0.1 * m.figure.value);
        shares.all += power;
        (order == 1 ? shares.first : order % 2 == 0 ? shares.even : shares.odd) += power;
    }
    return shares;
}

void of_hum(const Sheet& sheet, Evidence& evidence) {
    const bool over = is_missed(sheet, "hum_to_tone_db") || is_missed(sheet, "hum_dbfs");
    const double weight = over ? 3.0 : 0.5;  // within its limit hum points somewhere, too
    const Measurement* supply = find(sheet, "supply_hz");
    if (supply != nullptr && supply->figure.value > 0.0) {
        const double hz = supply->figure.value;
        const LineShares shares = shares_of(sheet, hz);
        if (shares.all > 0.0 && hz > 75.0) {
            evidence.add(kSupply, weight,
                         fmt::format("hum: lines of {:.1f} Hz, as of a vibrator", hz));
        } else if (shares.all > 0.0) {
            if (shares.first > 0.5 * shares.all)
                evidence.add(kHeaters, weight, "hum: strongest at the supply frequency");
            if (shares.even > 0.5 * shares.all)
                evidence.add(kSupply, weight, "hum: strongest at twice the supply frequency");
            if (shares.odd > 0.2 * shares.all)
                evidence.add(kPickUp, weight, "hum: odd multiples of the supply frequency");
        }
    }
    if (is_missed(sheet, "am_percent")) evidence.add(kSupply, 2.0, said(sheet, "am_percent"));
    if (is_missed(sheet, "fm_hz")) evidence.add(kOscillator, 2.0, said(sheet, "fm_hz"));
}

void of_contacts(const Sheet& sheet, Evidence& evidence) {
    const auto rate = [&](const char* name) {
        const Measurement* m = find(sheet, name);
        return m != nullptr && m->known == Known::value ? m->figure.value : 0.0;
    };
    const double moved = rate("dropouts_touched_per_min") + rate("crackles_touched_per_min");
    const double rest = rate("dropouts_at_rest_per_min") + rate("crackles_at_rest_per_min");
    if (moved > 1.0 && moved > 2.0 * rest) {
        evidence.add(kPlugs, 4.0,
                     fmt::format("contacts: {:.1f} events a minute while moved, {:.1f} at rest",
                                 moved, rest));
        evidence.add(kValves, 1.0, "contacts: it can be the socket of what was moved");
    }
    if (rest > 1.0) {
        evidence.add(kSupply, 1.5, fmt::format("contacts: {:.1f} events a minute at rest", rest));
        evidence.add(kValves, 1.5, fmt::format("contacts: {:.1f} events a minute at rest", rest));
    }
}

void of_drift(const Sheet& sheet, Evidence& evidence) {
    if (is_missed(sheet, "jumps")) {
        evidence.add(kValves, 2.0, said(sheet, "jumps"));
        evidence.add(kPlugs, 1.5, said(sheet, "jumps"));
    }
    if (is_above(sheet, "supply_prompt_hz", 5.0))
        evidence.add(kOscillator, 2.0, said(sheet, "supply_prompt_hz"));
    const Measurement* total = find(sheet, "total_drift_hz");
    const bool settles = find(sheet, "settled_min") != nullptr;
    if (total != nullptr && !settles && std::abs(total->figure.value) > 100.0)
        evidence.add(kOscillator, 1.0, said(sheet, "total_drift_hz") + ", and does not settle");
}

void of_sensitivity(const Sheet& sheet, Evidence& evidence) {
    if (is_missed(sheet, "s_plus_n_over_n_db") || is_missed(sheet, "level_for_10db_dbm") ||
        is_missed(sheet, "level_for_10db_microvolt")) {
        const char* name =
            is_missed(sheet, "s_plus_n_over_n_db") ? "s_plus_n_over_n_db" : "level_for_10db_dbm";
        evidence.add(kValves, 3.0, said(sheet, name));
        evidence.add(kPlugs, 1.5, said(sheet, name) + ": look at the aerial plug");
        evidence.add(kAlignment, 1.0, said(sheet, name));
    }
    if (is_missed(sheet, "dead_spots")) {
        evidence.add(kAlignment, 2.0, said(sheet, "dead_spots"));
        evidence.add(kPlugs, 2.0, said(sheet, "dead_spots") + ": contacts of the band switch");
    }
    if (is_missed(sheet, "image_db")) evidence.add(kAlignment, 2.0, said(sheet, "image_db"));
}

void of_tone(const Sheet& sheet, Evidence& evidence) {
    if (is_missed(sheet, "thd_percent")) evidence.add(kAudio, 3.0, said(sheet, "thd_percent"));
    if (is_missed(sheet, "sinad_db")) {
        evidence.add(kValves, 1.5, said(sheet, "sinad_db"));
        evidence.add(kAudio, 1.0, said(sheet, "sinad_db"));
    }
    if (is_missed(sheet, "wander_db")) evidence.add(kOscillator, 1.5, said(sheet, "wander_db"));
}

void of_others(const Sheet& sheet, Evidence& evidence) {
    if (sheet.test == "ring" && is_above(sheet, "ring_over_noise_db", 20.0))
        evidence.add(kValves, 2.5, said(sheet, "ring_over_noise_db"));
    if (sheet.test == "passband") {
        for (const char* name :
             {"width_6db_hz", "width_60db_hz", "shape_factor", "centre_hz", "side_ratio_db"}) {
            if (is_missed(sheet, name)) evidence.add(kAlignment, 2.0, said(sheet, name));
        }
        if (is_missed(sheet, "pulling_hz"))
            evidence.add(kOscillator, 1.5, said(sheet, "pulling_hz"));
    }
    if (sheet.test == "dial") {
        for (const char* name : {"largest_error_div", "backlash_div", "offset_div"}) {
            if (is_missed(sheet, name)) evidence.add(kDialWork, 2.5, said(sheet, name));
        }
        if (is_missed(sheet, "largest_left_div"))
            evidence.add(kOscillator, 1.5, said(sheet, "largest_left_div"));
    }
    if (sheet.test == "rundown") {
        const Measurement* failed = find(sheet, "failed_min");
        if (failed != nullptr && failed->known == Known::value)
            evidence.add(kBattery, 2.0, said(sheet, "failed_min"));
    }
}

}  // namespace

std::span<const FaultSymptom> fault_guide() {
    static const std::vector<FaultSymptom> kGuide = make_guide();
    return kGuide;
}

std::span<const std::string> fault_cautions() {
    static const std::vector<std::string> kCautions = {kHighVoltageCaution, kHeadphoneCaution,
                                                       kBatteryCaution};
    return kCautions;
}

std::string fault_guide_markdown() {
    std::string text =
        "# Where to look when a set is not right\n\n"
        "Valves fail first, plug contacts loosen, supplies hum. Measure before anything is opened "
        "or "
        "turned, and\n"
        "measure again after each single change: what two changes at once did nobody knows. What "
        "is "
        "said here is bench\n"
        "practice and a hint, no verdict. `skedlark bench TEST` and the Bench page of the desk do "
        "the "
        "measurements;\n"
        "the page orders the likely places by what was measured.\n\n";
    for (const std::string& caution : fault_cautions()) text += "- " + caution + "\n";
    for (const FaultSymptom& symptom : fault_guide()) {
        text += "\n## " + symptom.symptom + "\nMeasure:";
        for (std::size_t i = 0; i < symptom.measure.size(); ++i)
            text += fmt::format("{} `{}`", i > 0 ? "," : "", symptom.measure[i]);
        text +=
            ". Then look, in this order:\n\n| place | what shows it | what to do |\n| --- | --- | "
            "--- |\n";
        for (const FaultCause& cause : symptom.causes)
            text += fmt::format("| {} | {} | {} |\n", cause.place, cause.shows, cause.look);
    }
    return text;
}

std::vector<LikelyPlace> likely_places(std::span<const Sheet> sheets) {
    Evidence evidence;
    for (const Sheet& sheet : sheets) {
        if (sheet.test == "chain") of_chain(sheet, evidence);
        if (sheet.test == "hum") of_hum(sheet, evidence);
        if (sheet.test == "contacts") of_contacts(sheet, evidence);
        if (sheet.test == "drift") of_drift(sheet, evidence);
        if (sheet.test == "sensitivity") of_sensitivity(sheet, evidence);
        if (sheet.test == "tone") of_tone(sheet, evidence);
        of_others(sheet, evidence);
    }
    return evidence.ordered();
}

}  // namespace skedlark::bench
