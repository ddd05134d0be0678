#include "gui/bench/bench_jobs.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <functional>

#include "dsp/bench/event_reports.h"
#include "dsp/bench/input_check.h"
#include "dsp/bench/whole_test.h"
#include "dsp/core/units.h"
#include "gui/bench/bench_fields.h"

namespace skedlark::gui {

namespace {

using bench::Measured;

// A take that must be there: the steps were gone in order.
const BenchTake* take_of(const BenchOrder& order, const std::string& id) {
    const auto found = order.takes.find(id);
    return found == order.takes.end() ? nullptr : &found->second;
}
Error not_recorded(const std::string& what) {
    return {ErrorCode::invalid_value, what + " has not been recorded yet."};
}
std::span<const float> audio_of(const BenchTake* take) {
    return take != nullptr && take->audio ? std::span<const float>(*take->audio)
                                          : std::span<const float>();
}

Result<bench::ToneTrackConfig> tone_config_of(const FieldTexts& texts) {
    bench::ToneTrackConfig config;
    const auto pitch = number_in(texts, "pitch", "Near Hz", bench::kLowestToneHz, 3900.0);
    if (!pitch) return pitch.error();
    config.pitch_hz = *pitch;
    return config;
}

const bench::Chain* chain_of(const BenchOrder& order) {
    return order.chain ? &*order.chain : nullptr;
}

Result<Measured> of_chain(const BenchOrder& order, BenchDone& done) {
    bench::ChainWish wish;
    const auto name = order.texts.at("name");
    if (!name.empty()) wish.name = name;
    const auto volts = number_in(order.texts, "volts", "Full scale, V", 1e-6, 1000.0);
    if (!volts) return volts.error();
    // What a meter of the bench gives, 5 % (the command line takes the same).
    if (*volts) wish.full_scale_volts = bench::Figure{**volts, 0.05 * **volts};
    auto closed = bench::measure_chain(audio_of(take_of(order, "closed")), kWorkRateHz, wish);
    if (!closed) return closed.error();
    bench::ChainMeasured all = *closed;
    if (const BenchTake* generator = take_of(order, "generator")) {
        const auto reference =
            number_in(order.texts, "reference", "Reference Hz", bench::kLowestToneHz, 3900.0);
        if (!reference) return reference.error();
        wish.reference_hz = wish.tone.pitch_hz = *reference;
        const auto tone = bench::measure_chain(audio_of(generator), kWorkRateHz, wish);
        if (!tone)
            return Error{tone.error().code, "Generator straight in: " + tone.error().message};
        all = bench::joined(*closed, *tone);
    }
    done.chain = all.chain;
    const auto& shown = take_of(order, "generator") != nullptr ? "generator" : "closed";
    return Measured{all.report,
                    bench::spectrum_picture(audio_of(take_of(order, shown)), kWorkRateHz)};
}

// Takes of the steps of kind record whose id begins so, joined in their order.
struct JoinedSteps {
    bench::Joined joined{};
    std::vector<std::string> ids{};
};
Result<JoinedSteps> join_steps(const BenchOrder& order,
                               const std::function<bool(const std::string&)>& of) {
    JoinedSteps out;
    std::vector<std::span<const float>> takes;
    for (const BenchStep& step : order.steps) {
        if (step.kind != StepKind::record || !of(step.id)) continue;
        const BenchTake* take = take_of(order, step.id);
        if (take == nullptr) return not_recorded(step.title);
        takes.push_back(audio_of(take));
        out.ids.push_back(step.id);
    }
    out.joined = bench::join_takes(takes, kWorkRateHz);
    return out;
}

// The levels as typed, placed where their takes lie.
std::vector<bench::LevelStep> placed(const std::vector<bench::LevelStep>& levels,
                                     const std::vector<double>& points,
                                     const bench::Joined& joined) {
    std::vector<bench::LevelStep> out;
    const std::size_t rounds = std::max<std::size_t>(1, points.size());
    for (std::size_t round = 0; round < rounds; ++round) {
        for (bench::LevelStep level : levels) {
            if (out.size() >= joined.at.size()) return out;
            level.from_s = joined.at[out.size()].from_s;
            level.to_s = joined.at[out.size()].to_s;
            if (!points.empty()) level.mhz = points[round];
            out.push_back(level);
        }
    }
    return out;
}

Result<Measured> of_sensitivity(const BenchOrder& order) {
    bench::SensitivityWish wish;
    const auto tone = tone_config_of(order.texts);
    if (!tone) return tone.error();
    wish.tone = *tone;
    const std::string way = way_of(order.texts);
    const auto is_image = [](const std::string& id) { return id.starts_with("image "); };
    const auto wanted = join_steps(order, [&](const std::string& id) { return !is_image(id); });
    if (!wanted) return wanted.error();
    const bench::Recorded recorded{wanted->joined.audio, kWorkRateHz};
    if (way == "on and off") return bench::sensitivity_test(recorded, wish, chain_of(order));
    const auto levels = levels_of(order.texts.at("levels"), "Levels, dBm");
    if (!levels) return levels.error();
    const auto points = points_mhz_of(way == "levels" ? order.texts.at("points") : "");
    if (!points) return points.error();
    const auto sure = number_in(order.texts, "generator_db", "Sure to, dB", 0.0, 20.0);
    if (!sure) return sure.error();
    wish.generator_95_db = sure->value_or(0.0);
    wish.levels = placed(*levels, *points, wanted->joined);
    const auto image = join_steps(order, is_image);
    if (!image) return image.error();
    if (!image->ids.empty()) {
        const auto image_levels = levels_of(order.texts.at("image_levels"), "Image, dBm");
        if (!image_levels) return image_levels.error();
        wish.image = bench::LevelSeries{{image->joined.audio, kWorkRateHz},
                                        placed(*image_levels, {}, image->joined)};
    }
    return bench::sensitivity_test(recorded, wish, chain_of(order));
}

Result<Measured> of_passband(const BenchOrder& order) {
    bench::PassbandWish wish;
    const auto listening = number_in(order.texts, "listening", "Compared at, Hz", 100.0, 3000.0);
    if (!listening) return listening.error();
    wish.config.listening_hz = listening->value_or(wish.config.listening_hz);
    const std::string way = way_of(order.texts);
    const auto steps = join_steps(order, [](const std::string&) { return true; });
    if (!steps) return steps.error();
    const double length_s = static_cast<double>(steps->joined.audio.size()) / kWorkRateHz;
    if (way == "a sweep") {
        wish.sweep = bench::Stretch{0.0, length_s};
        wish.first =
            order.texts.at("first") == "below" ? bench::BeatSide::below : bench::BeatSide::above;
    } else if (way == "steps") {
        for (std::size_t i = 0; i < steps->ids.size(); ++i) {
            bench::GeneratorStep step;
            step.at = steps->joined.at[i];
            step.side = steps->ids[i].starts_with("below") ? bench::BeatSide::below
                                                           : bench::BeatSide::above;
            const std::string& id = steps->ids[i];
            step.generator_db = std::strtod(id.c_str() + id.rfind(' '), nullptr);
            wish.steps.push_back(step);
        }
    }
    return bench::passband_test({steps->joined.audio, kWorkRateHz}, wish);
}

Result<Measured> of_dial(const BenchOrder& order, BenchDone& done) {
    if (!order.receiver) {
        return Error{ErrorCode::not_found,
                     "No receiver file is open: Alt+1, then Ctrl+O on Edit receiver."};
    }
    const auto points = check_points_of(order.texts.at("check_points"));
    if (!points) return points.error();
    bench::DialCheckConfig config;
    const auto within = number_in(order.texts, "within", "Within, div", 0.001, 100.0);
    if (!within) return within.error();
    config.within_div = within->value_or(config.within_div);
    const std::string typed = order.texts.at("band");
    const std::string band = !typed.empty()                  ? typed
                             : order.receiver->bands.empty() ? ""
                                                             : order.receiver->bands.front().name;
    const auto checked = bench::check_dial(*order.receiver, band, *points, config);
    if (!checked) return checked.error();
    if (auto moved = bench::corrected(*order.receiver, band, checked->correction))
        done.corrected = *std::move(moved);
    done.kept = checked->within;
    return Measured{bench::dial_report(*checked, config), bench::dial_picture(*checked)};
}

Result<Measured> of_contacts(const BenchOrder& order) {
    bench::ContactsConfig config;
    config.sample_rate_hz = kWorkRateHz;
    const auto least = number_in(order.texts, "least", "From dB on", 1.0, 40.0);
    if (!least) return least.error();
    config.least_depth_db = least->value_or(config.least_depth_db);
    auto measured = bench::contacts_of_takes(audio_of(take_of(order, "rest")),
                                             audio_of(take_of(order, "touched")), config);
    if (measured && !order.texts.at("what").empty())
        measured->report.remarks.insert(measured->report.remarks.begin(),
                                        "Moved: " + order.texts.at("what") + ".");
    return measured;
}

Result<Measured> of_runs(const BenchOrder& order) {
    const BenchTake* take = take_of(order, "run");
    if (order.test == "drift") {
        const auto config = drift_config_of(order.texts);
        if (!config) return config.error();
        if (take == nullptr || !take->drift) return not_recorded("The run from cold");
        take->drift->settle_by(config->within_hz, config->for_s);
        const auto drift = take->drift->finish();
        if (!drift) return drift.error();
        return Measured{bench::drift_report(*drift, *config), bench::drift_picture(drift->curve)};
    }
    const auto config = run_down_config_of(order.texts);
    if (!config) return config.error();
    if (take == nullptr || !take->run_down) return not_recorded("The run on batteries");
    take->run_down->fallen_by(config->fallen_db);
    const auto run = take->run_down->finish();
    if (!run) return run.error();
    return Measured{bench::run_down_report(*run, *config), bench::run_down_picture(run->level)};
}

Result<Measured> of_test(const BenchOrder& order, BenchDone& done) {
    const std::string& test = order.test;
    if (test == "chain") return of_chain(order, done);
    if (test == "sensitivity") return of_sensitivity(order);
    if (test == "passband") return of_passband(order);
    if (test == "dial") return of_dial(order, done);
    if (test == "contacts") return of_contacts(order);
    if (test == "drift" || test == "rundown") return of_runs(order);
    const auto takes = join_steps(order, [](const std::string&) { return true; });
    if (!takes) return takes.error();
    const bench::Recorded recorded{takes->joined.audio, kWorkRateHz};
    if (test == "ring") return bench::ring_test(recorded, {});
    const auto config = tone_config_of(order.texts);
    if (!config) return config.error();
    return test == "hum" ? bench::hum_test(recorded, *config, chain_of(order))
                         : bench::tone_test(recorded, *config, chain_of(order));
}

// Where it came from, how long it is, what was lost on the way.
void fill_facts(const BenchOrder& order, BenchDone& done) {
    double lost_s = 0.0;
    for (const auto& [id, take] : order.takes) {
        done.sheet.seconds += take.seconds;
        lost_s += take.lost_s;
        done.live = done.live || take.live;
        if (done.sheet.input.empty()) done.sheet.input = take.input;
    }
    if (order.takes.empty()) done.sheet.input = "noted down";
    done.sheet.sample_rate_hz = order.takes.empty() ? 0.0 : kWorkRateHz;
    auto& remarks = done.sheet.report.remarks;
    if (lost_s > 0.0) remarks.push_back(bench::lost_words(lost_s));
    const bool tone_or_hum = order.test == "tone" || order.test == "hum";
    if (order.chain && tone_or_hum && order.chain->sample_rate_hz != kWorkRateHz) {
        remarks.push_back(
            fmt::format("The chain was measured at {:g} Hz, the desk listens at {:g} Hz.",
                        order.chain->sample_rate_hz, kWorkRateHz));
    }
}

}  // namespace

Result<BenchDone> measure(const BenchOrder& order) {
    BenchDone done;
    done.kept = true;
    const auto measured = of_test(order, done);
    if (!measured) return measured.error();
    done.sheet.test = order.test;
    done.sheet.limits = order.limits;
    done.sheet.report = measured->report;
    done.picture = measured->picture;
    fill_facts(order, done);
    done.kept = done.kept && bench::keeps_limits(done.sheet);
    return done;
}

Result<bench::DriftConfig> drift_config_of(const FieldTexts& texts) {
    bench::DriftConfig config;
    const auto within = number_in(texts, "within", "Within, Hz", 0.01, 3000.0);
    if (!within) return within.error();
    const auto stretch = number_in(texts, "for", "for, s", 10.0, 1e6);
    if (!stretch) return stretch.error();
    config.within_hz = within->value_or(config.within_hz);
    config.for_s = stretch->value_or(config.for_s);
    config.sample_rate_hz = kWorkRateHz;
    return config;
}

Result<bench::RunDownConfig> run_down_config_of(const FieldTexts& texts) {
    bench::RunDownConfig config;
    const auto fallen = number_in(texts, "fallen", "Fallen, dB", 0.5, 60.0);
    if (!fallen) return fallen.error();
    config.fallen_db = fallen->value_or(config.fallen_db);
    config.sample_rate_hz = kWorkRateHz;
    return config;
}

}  // namespace skedlark::gui
