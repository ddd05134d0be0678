#include "gui/bench/bench_steps.h"

#include <fmt/format.h>

#include "dsp/bench/cautions.h"
#include "gui/bench/bench_fields.h"

namespace skedlark::gui {

namespace {

using Steps = std::vector<BenchStep>;

constexpr double kLongestTakeS = 500.0;  // at the work rate, as much as a test takes

BenchStep look(std::string id, std::string title, std::string words, std::string caution = {}) {
    return {std::move(id), std::move(title), std::move(words), std::move(caution)};
}
BenchStep record(std::string id, std::string title, std::string words, double seconds) {
    return {std::move(id), std::move(title), std::move(words), {}, StepKind::record, seconds};
}
BenchStep run(std::string title, std::string words) {
    return {"run", std::move(title), std::move(words), {}, StepKind::run};
}
BenchStep result() {
    return {"result",
            "Result",
            "Figures, limits and hints stand below. Any step can be repeated; "
            "the other recordings stay.",
            {},
            StepKind::result};
}

const char* const kLeadWords =
    "Headphone output of the receiver to the sound input, through the lead that was measured as "
    "the "
    "chain; its level stays as it was then.";

Steps chain_steps() {
    BenchStep generator = record(
        "generator", "Generator straight in",
        "Lead a generator straight into the lead, as loud as the receiver will be. Where its pitch "
        "is known from elsewhere, write it into Reference. Next without a recording leaves "
        "distortion and clock open.",
        10.0);
    generator.may_skip = true;
    return {look("connect", "Close the lead",
                 "Take the lead off the receiver and close its end with a resistor of the "
                 "headphones' impedance. Set the sound input's level as it will stay.",
                 "Caution: never join a set whose chassis may be live to a computer without an "
                 "isolating audio transformer."),
            record("closed", "Input closed", "Leave everything alone while it listens.", 10.0),
            std::move(generator), result()};
}

Steps tone_steps() {
    return {look("connect", "Connect",
                 std::string(kLeadWords) +
                     " Generator or crystal to the aerial terminal, automatic gain control off, "
                     "gain by hand, beat oscillator so that 400 to 1000 Hz are heard.",
                 bench::kHeadphoneCaution),
            record("tone", "Steady tone", "One steady tone; touch nothing while it listens.", 10.0),
            result()};
}

// The generator off, then each level; `at` names the point.
void add_series(Steps& steps, const std::vector<bench::LevelStep>& levels, const std::string& at,
                const std::string& id) {
    const std::string before = at.empty() ? "" : at + ": ";
    for (const bench::LevelStep& level : levels) {
        if (!level.dbm) {
            steps.push_back(record(id + "off", before + "generator off",
                                   "Generator off or its attenuator shut; the gain stays.", 6.0));
            continue;
        }
        steps.push_back(record(
            fmt::format("{}{:g}", id, *level.dbm), fmt::format("{}{:g} dBm", before, *level.dbm),
            fmt::format("Generator at {:g} dBm; the gain stays.", *level.dbm), 6.0));
    }
}

Result<Steps> sensitivity_steps(const FieldTexts& texts) {
    const std::string way = way_of(texts);
    Steps steps{look("connect", "Connect",
                     std::string(kLeadWords) +
                         " Generator to the aerial terminal, automatic gain control off, the gain "
                         "by hand so that noise is heard; then leave it alone.",
                     bench::kHeadphoneCaution)};
    if (way == "on and off") {
        steps.push_back(record("on", "Generator on", "Generator on, as weak as will do.", 10.0));
        steps.push_back(record("off", "Generator off", "Generator off; touch nothing else.", 10.0));
        steps.push_back(result());
        return steps;
    }
    const auto levels = levels_of(texts.at("levels"), "Levels, dBm");
    if (!levels) return levels.error();
    const auto points = points_mhz_of(way == "levels" ? texts.at("points") : "");
    if (!points) return points.error();
    for (const double mhz : *points)
        add_series(steps, *levels, fmt::format("{:g} MHz", mhz), fmt::format("{:g} MHz ", mhz));
    if (points->empty()) add_series(steps, *levels, "", "");
    if (way == "levels and image") {
        const auto image = levels_of(texts.at("image_levels"), "Image, dBm");
        if (!image) return image.error();
        steps.push_back(
            look("image", "To the image",
                 "Move the generator by twice the intermediate frequency, to the image. "
                 "The receiver stays where it is.",
                 bench::kHeadphoneCaution));
        add_series(steps, *image, "image", "image ");
    }
    steps.push_back(result());
    return steps;
}

Steps hum_steps(const FieldTexts& texts) {
    const bool tone = way_of(texts) == "a steady tone";
    return {look("connect", "Connect",
                 std::string(kLeadWords) +
                     (tone ? " A steady tone of 600 to 900 Hz, some hertz off multiples of the "
                             "mains: hum that sits on it is measured too."
                           : " Aerial off and no signal, gain down: hum of the audio stages."),
                 bench::kHighVoltageCaution),
            record(tone ? "with tone" : "hum", tone ? "Hum on a tone" : "Hum alone",
                   "Touch nothing while it listens.", 20.0),
            result()};
}

Steps drift_steps() {
    return {look("connect", "Set cold, carrier ready",
                 std::string(kLeadWords) +
                     " The set cold, a steady carrier from a crystal, a generator or a standard "
                     "frequency at its aerial."),
            run("From cold",
                "Begin, then switch the set on and let it run, minutes or hours. Say when the "
                "supply is set low, normal or high, and when the set is switched off and on "
                "again."),
            result()};
}

Result<Steps> passband_steps(const FieldTexts& texts) {
    const std::string way = way_of(texts);
    const std::string closed = std::string(kLeadWords) + " Gain by hand.";
    if (way == "own noise") {
        return Steps{look("connect", "Connect",
                          closed + " Aerial off, volume up: the receiver's own noise shows the "
                                   "audio side of its passband."),
                     record("noise", "Own noise", "Touch nothing while it listens.", 60.0),
                     result()};
    }
    if (way == "a sweep") {
        return Steps{
            look("connect", "Connect",
                 closed + " Generator to the aerial terminal, ready to be swept evenly "
                          "through zero beat, at most 200 Hz a second.",
                 bench::kHeadphoneCaution),
            record("sweep", "Sweep",
                   "Begin, then sweep evenly from one side to the other until it ends.", 60.0),
            result()};
    }
    Steps steps{look("connect", "Connect",
                     closed + " Generator to the aerial terminal. It is moved a step at a time "
                              "away from zero beat; raise it by the decibels the step names.",
                     bench::kHeadphoneCaution)};
    for (const char* side : {"above", "below"}) {
        const auto levels = step_levels_of(texts.at(side), fmt::format("Steps {}", side));
        if (!levels) return levels.error();
        for (std::size_t i = 0; i < levels->size(); ++i) {
            steps.push_back(record(
                fmt::format("{} {} {:g}", side, i + 1, (*levels)[i]),
                fmt::format("{} zero beat, step {} of {}", side, i + 1, levels->size()),
                fmt::format("Move the generator on; its level {:+g} dB.", (*levels)[i]), 2.0));
        }
    }
    if (steps.size() < 4) {
        return Error{ErrorCode::invalid_value,
                     "Steps above, Steps below: too few; at least 3 are needed, as 10x0"};
    }
    steps.push_back(result());
    return steps;
}

Steps dial_steps() {
    return {
        look("find", "Find the check points",
             "Open the receiver file on the Plan page. Find each check point (crystal harmonic, "
             "standard frequency) at zero beat, once from below and once from above, and write "
             "down megahertz, division and whence it came."),
        result()};
}

Steps contacts_steps(const FieldTexts& texts) {
    const std::string what = texts.at("what").empty() ? "it" : texts.at("what");
    return {
        look("connect", "Connect",
             std::string(kLeadWords) +
                 " Aerial off and volume up so that the set's own noise is heard, or a steady "
                 "tone.",
             bench::kHighVoltageCaution),
        record("rest", "At rest", "Touch nothing while it listens.", 30.0),
        record("touched", "Moved",
               fmt::format("Move {} from outside, gently and all the time: one thing, one hand. "
                           "A valve that was on is hot.",
                           what),
               30.0),
        result()};
}

Steps ring_steps(const FieldTexts& texts) {
    const std::string what = texts.at("what").empty() ? "one valve" : texts.at("what");
    return {
        look("connect", "Connect", std::string(kLeadWords) + " Aerial off, volume up, no signal.",
             bench::kHighVoltageCaution),
        record("taps", "Taps",
               fmt::format("Tap {} five times, a second or more apart, with a pencil or an "
                           "insulated stick, from outside.",
                           what),
               15.0),
        result()};
}

Steps peak_steps() {
    return {
        look("connect", "Connect",
             std::string(kLeadWords) +
                 " A steady tone or noise, automatic gain control off, the generator as weak as "
                 "will do.",
             bench::kHighVoltageCaution),
        run("Align", "Begin, then turn one trimmer for the highest level. F6 lets the peak go.")};
}

Steps run_down_steps() {
    return {
        look("connect", "Set on batteries",
             std::string(kLeadWords) + " A steady tone, batteries full.", bench::kBatteryCaution),
        run("Until it fails",
            "Begin and leave it alone until the set fails; nothing needs to be watched."),
        result()};
}

Result<Steps> of_kind(const BenchKind& kind, const FieldTexts& texts) {
    if (kind.name == "chain") return chain_steps();
    if (kind.name == "tone") return tone_steps();
    if (kind.name == "sensitivity") return sensitivity_steps(texts);
    if (kind.name == "hum") return hum_steps(texts);
    if (kind.name == "drift") return drift_steps();
    if (kind.name == "passband") return passband_steps(texts);
    if (kind.name == "dial") return dial_steps();
    if (kind.name == "contacts") return contacts_steps(texts);
    if (kind.name == "ring") return ring_steps(texts);
    if (kind.name == "peak") return peak_steps();
    return run_down_steps();
}

}  // namespace

Result<std::vector<BenchStep>> steps_of(const BenchKind& kind, const FieldTexts& texts) {
    const auto seconds = number_in(texts, "seconds", "Seconds", 1.0, kLongestTakeS);
    if (!seconds) return seconds.error();
    auto steps = of_kind(kind, texts);
    if (!steps) return steps;
    for (BenchStep& step : *steps) {
        if (step.kind == StepKind::record && *seconds) step.seconds = **seconds;
    }
    return steps;
}

}  // namespace skedlark::gui
