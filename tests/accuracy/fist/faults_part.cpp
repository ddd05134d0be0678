// Which fault is named for which cause: each hand clean, and with one fault put in.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <functional>
#include <iostream>

#include "dsp/fist/faults.h"
#include "dsp/synth/text_makers.h"
#include "dsp/synth/transmitter.h"
#include "tests/accuracy/fist/parts.h"
#include "tests/support/seed.h"

namespace skedlark::study {
namespace {

using Marks = std::vector<synth::Mark>;

// What is put in. The hand is changed before, marks or note after keying.
struct Cause {
    const char* name;
    const char* expected;  // the fault that is right; "" none
    std::function<void(synth::Fist&)> hand = [](synth::Fist&) {};
    std::function<Marks(const Marks&, double dot_s, std::uint64_t seed)> marks =
        [](const Marks& keyed, double, std::uint64_t) { return keyed; };
    synth::NoteConfig note{};
};

double lost_share(const Marks& keyed, const Marks& sent) {
    const auto dots = [](const Marks& marks) {
        return static_cast<double>(
            std::count_if(marks.begin(), marks.end(), [](const auto& m) { return !m.dash; }));
    };
    return 1.0 - dots(sent) / dots(keyed);
}

// A lag that swallows this share of the dots, found for these very marks.
Marks lagging(const Marks& keyed, double dot_s, double share, std::uint64_t seed) {
    double low = 0.0, high = 3.0 * dot_s;
    Marks out = keyed;
    for (int step = 0; step < 25; ++step) {
        synth::TransmitterConfig config;
        config.lag_s = 0.5 * (low + high);
        out = synth::go_out(keyed, config, seed);
        (lost_share(keyed, out) < share ? low : high) = config.lag_s;
    }
    return out;
}

Marks faster_and_faster(const Marks& keyed, double by) {
    Marks out;
    double now_s = keyed.front().on_s;
    double before_s = now_s;
    const double start_s = now_s;
    const double whole_s = keyed.back().off_s - start_s;
    for (const auto& mark : keyed) {
        const double speed = 1.0 + by * (mark.on_s - start_s) / whole_s;
        now_s += (mark.on_s - before_s) / speed;
        out.push_back({now_s, now_s + (mark.off_s - mark.on_s) / speed, mark.dash});
        now_s = out.back().off_s;
        before_s = mark.off_s;
    }
    return out;
}

// The beat of the spring stays, the contact opens sooner or later.
Marks uneven(const Marks& keyed, double cv, std::uint64_t seed) {
    synth::Random random(seed);
    Marks out = keyed;
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (out[i].dash) continue;
        const double length = out[i].off_s - out[i].on_s;
        out[i].off_s = out[i].on_s + length * std::clamp(1.0 + cv * random.normal(), 0.4, 1.6);
    }
    return out;
}

std::vector<Cause> causes() {
    std::vector<Cause> out;
    out.push_back({"clean", ""});
    Cause lag{"lag, a dot in five lost", "dots_clipped"};
    lag.marks = [](const Marks& m, double dot_s, std::uint64_t seed) {
        return lagging(m, dot_s, 0.2, seed);
    };
    out.push_back(lag);
    Cause light{"lag of a third of a dot", "dots_clipped"};
    light.marks = [](const Marks& m, double dot_s, std::uint64_t seed) {
        synth::TransmitterConfig config;
        config.lag_s = dot_s / 3.0;
        return synth::go_out(m, config, seed);
    };
    out.push_back(light);
    Cause cold{"cold lag of half a dot", "first_late"};
    cold.marks = [](const Marks& m, double dot_s, std::uint64_t seed) {
        synth::TransmitterConfig config;
        config.cold_lag_s = 0.5 * dot_s;
        config.cold_after_s = 4.6 * dot_s;
        return synth::go_out(m, config, seed);
    };
    out.push_back(cold);
    Cause bounce{"bounce of 5 ms, one mark in three", "contact_bounce"};
    bounce.marks = [](const Marks& m, double, std::uint64_t seed) {
        synth::TransmitterConfig config;
        config.bounce_chance = 0.33;
        config.bounce_open_s = 0.005;
        config.bounce_after_s = 0.007;
        return synth::go_out(m, config, seed);
    };
    out.push_back(bounce);
    Cause dash{"dashes of 2.1 dots", "dash_short"};
    dash.hand = [](synth::Fist& f) { f.dash.mean_dots = 2.1; };
    out.push_back(dash);
    Cause dots{"dots of 0.6, gaps of 1.4", ""};
    dots.hand = [](synth::Fist& f) {
        f.dot.mean_dots = 0.6;
        f.element_gap.mean_dots = 1.4;
    };
    out.push_back(dots);
    Cause closed{"character gaps of 2.0", "gaps_closed"};
    closed.hand = [](synth::Fist& f) { f.character_gap.mean_dots = 2.0; };
    out.push_back(closed);
    Cause stretched{"character gaps of 5.5", "gaps_stretched"};
    stretched.hand = [](synth::Fist& f) {
        f.character_gap.mean_dots = 5.5;
        f.word_gap.mean_dots = 13.0;
    };
    out.push_back(stretched);
    Cause runs{"speed up by 40 %", "speed_runs_away"};
    runs.marks = [](const Marks& m, double, std::uint64_t) { return faster_and_faster(m, 0.4); };
    out.push_back(runs);
    Cause contact{"dots uneven by 0.25 on an even beat", "uneven_dots"};
    contact.marks = [](const Marks& m, double, std::uint64_t seed) {
        return uneven(m, 0.25, seed);
    };
    out.push_back(contact);
    Cause chirp{"chirp of 30 Hz", "chirp"};
    chirp.note.chirp_hz = 30.0;
    out.push_back(chirp);
    Cause hum{"hum 0.2 deep", "hum"};
    hum.note.hum_depth = 0.2;
    out.push_back(hum);
    return out;
}

struct Count {
    int sendings = 0, failed = 0;
    std::array<int, fist::kFaultKinds> named{};
};

void judge(const FistStudy& study, const synth::NamedFist& named, const Cause& cause,
           std::uint64_t seed, Count& count) {
    synth::Random random(support::seed_for_part(seed, 2));
    const std::string text = synth::random_groups(study.groups, synth::GroupKind::letters, random);
    synth::Fist hand = named.fist;
    cause.hand(hand);
    const double speed_wpm = random.uniform(12.0, 22.0);
    const Marks keyed = key(as_meant(text).runs, hand, speed_wpm, random);
    const Marks sent = cause.marks(keyed, 1.2 / speed_wpm, seed);
    const auto audio = sound_of(sent, {study.snr_db, 700.0, 0.005, cause.note}, seed);
    const auto track = fist::follow_tone(audio, 700.0);
    if (!track) std::abort();
    const auto tone = fist::bring_down(audio, *track);
    const fist::Keying keying = fist::measure_edges(tone, fist::find_marks(tone));
    const auto found = fist::find_hand(keying);
    ++count.sendings;
    if (!found) {
        ++count.failed;
        return;
    }
    fist::Sending sending = fist::read_sending(keying, fist::probable_kinds(keying, *found));
    std::optional<fist::Alignment> alignment;
    if (study.text_known) {
        auto aligned = fist::align(keying, *found, *morse::symbols_from_text(text));
        if (!aligned) std::abort();
        alignment = std::move(*aligned);
        sending = alignment->sending;
    }
    const fist::Statistics statistics = fist::statistics_of(keying, sending);
    const auto faults =
        fist::find_faults({keying, sending, statistics, &tone, alignment ? &*alignment : nullptr});
    if (study.list) {
        const auto lag =
            fist::start_lag(keying, sending, statistics, alignment ? &*alignment : nullptr);
        std::cerr
            << named.name << ", " << cause.name << ", " << seed
            << fmt::format(
                   ": dot cv {:.2f}; lag {:.1f} ms +- {:.1f} ({:.1f}), lost {:.2f} of {:.2f}; unit "
                   "{:.1f} true {:.1f}\n",
                   statistics.of(morse::ElementKind::dot).cv(), 1e3 * lag.mean_s, 1e3 * lag.sd_s,
                   lag.over_error, lag.dots_lost, lost_share(keyed, sent), 1e3 * statistics.unit_s,
                   1200.0 / speed_wpm);
        for (const auto& fault : faults) {
            std::cerr << "   " << name_of(fault.kind) << ": " << fault.said << "\n";
        }
    }
    for (const auto& fault : faults) ++count.named[static_cast<std::size_t>(fault.kind)];
}

}  // namespace

support::CsvTable faults_table(const FistStudy& study) {
    std::vector<std::string> columns{"hand", "cause", "sendings", "no_hand", "right_name"};
    for (int k = 0; k < fist::kFaultKinds; ++k) {
        columns.emplace_back(name_of(static_cast<fist::FaultKind>(k)));
    }
    support::CsvTable out(columns);
    for (const auto& named : synth::named_fists()) {
        if (!study.hand.empty() && named.name != study.hand) continue;
        for (const Cause& cause : causes()) {
            if (!study.cause.empty() &&
                std::string(cause.name).find(study.cause) == std::string::npos) {
                continue;
            }
            Count count;
            for (int n = 0; n < study.seeds; ++n) {
                judge(study, named, cause, study.first_seed + static_cast<std::uint64_t>(n), count);
            }
            std::vector<std::string> row{std::string(named.name), cause.name,
                                         std::to_string(count.sendings),
                                         std::to_string(count.failed), cause.expected};
            for (const int times : count.named) {
                row.push_back(fmt::format("{:.3f}", 1.0 * times / std::max(1, count.sendings)));
            }
            out.add_row(row);
        }
    }
    return out;
}

}  // namespace skedlark::study
