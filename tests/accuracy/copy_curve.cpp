// Error rate of copying against SNR, through the real chain, pitch and speed not told.
//
// copy_curve --out FILE [--reliability FILE]: one line a row and SNR. Random five-letter groups, of
// which the text search knows nothing; or plain sentences (--send), and with --text it knows. With --told-pitch the tone's first pitch is told
// (follower and copier alone). Confidence is pooled over the cells where between 2 and 20 % are
// wrong.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <ctime>
#include <mutex>

#include "tests/accuracy/chain.h"
#include "tests/accuracy/copy_rows.h"
#include "tests/accuracy/study.h"
#include "tests/support/reliability.h"

namespace skedlark::accuracy {
namespace {

struct CurveOptions {
    StudyOptions study;
    std::string reliability{};  // CSV file
    bool told_pitch = false;
    bool live = false;
    std::string sent = "groups";
    std::string known = "none";
    bool channels = false;  // the channel rows as well
    double step_db = 2.0;
};

struct Cell {
    std::vector<support::TextScore> scores;
    std::vector<support::Judged> judged;  // characters printed, blanks and open marks left out
    double audio_s = 0.0;
    double cpu_s = 0.0;  // of copying alone, all threads
};

// Processor time of this thread: other work on the machine does not count.
double thread_cpu_s() {
    timespec now{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

[[noreturn]] void give_up(const Error& error) {
    fmt::print(stderr, "{}\n", error.message);
    std::exit(2);
}

Cell measure(const CurveOptions& options, const CopyRow& row, double snr_2500hz_db) {
    Cell cell;
    std::mutex guard;
    cell.scores = over_seeds(options.study, [&](std::uint64_t seed) {
        const synth::SceneConfig config =
            scene_of(row, snr_2500hz_db, options.study.characters, seed,
                     options.sent == "plain" ? SentText::plain : SentText::groups);
        const auto scene = synth::make_scene(config);
        if (!scene) give_up(scene.error());
        ChainConfig chain;
        chain.text = copy::text_kind(options.known);
        if (options.live) chain.lag_s = watch::kLiveLagS;
        if (options.told_pitch) chain.told_pitch_hz = config.beat.pitch_hz;
        const double began_s = thread_cpu_s();
        const auto printed = copy_audio(scene->samples, chain);
        const double took_s = thread_cpu_s() - began_s;
        if (!printed) give_up(printed.error());
        std::vector<std::string> copy = tokens_of(*printed);
        auto score = support::score_tokens(support::tokens_of(scene->truth.wanted.text), copy);
        const std::lock_guard lock(guard);
        std::size_t blanks_left_out = 0;
        while (blanks_left_out < copy.size() && copy[blanks_left_out] == " ") ++blanks_left_out;
        for (std::size_t i = 0; i < score.copy_right.size(); ++i) {
            const Printed& one = (*printed)[i + blanks_left_out];
            if (one.token == " " || one.token == "_") continue;
            cell.judged.push_back({one.confidence, score.copy_right[i]});
        }
        cell.audio_s += static_cast<double>(scene->samples.size()) / kWorkRateHz;
        cell.cpu_s += took_s;
        return score;
    });
    return cell;
}

std::vector<double> snrs_of(const CurveOptions& options, const CopyRow& row, bool curve) {
    if (!options.study.snr_2500hz_db.empty()) return options.study.snr_2500hz_db;
    std::vector<double> snrs = row.reach_db;
    for (double snr = -16.0; curve && snr <= 10.0; snr += options.step_db) snrs.push_back(snr);
    std::sort(snrs.begin(), snrs.end());
    snrs.erase(std::unique(snrs.begin(), snrs.end()), snrs.end());
    return snrs;
}

// Calibration of everything pooled: a summary line a row of signals, then its bins.
support::CsvTable reliability_table(
    const std::vector<std::pair<std::string, std::vector<support::Judged>>>& pools) {
    support::CsvTable table({"row", "bin", "characters", "mean_confidence", "share_right",
                             "calibration_error", "brier_skill", "errors_below_0_8"});
    table.add_note("pooled where the error rate is 2 to 20 %; bin 0 is the whole pool");
    for (const auto& [name, judged] : pools) {
        if (judged.empty()) continue;
        const support::Reliability all = support::reliability(judged);
        double mean = 0.0;
        for (const support::Judged& one : judged) {
            mean += one.confidence / static_cast<double>(judged.size());
        }
        table.add_row({name, "0", support::cell(all.count), support::cell(mean, 4),
                       support::cell(all.share_right, 4), support::cell(all.calibration_error, 4),
                       support::cell(all.brier_skill(), 4),
                       support::cell(all.errors_below_0_8, 4)});
        long number = 0;
        for (const support::ReliabilityBin& bin : all.bins) {
            table.add_row({name, support::cell(++number), support::cell(bin.count),
                           support::cell(bin.mean_confidence, 4), support::cell(bin.share_right, 4),
                           "nan", "nan", "nan"});
        }
    }
    return table;
}

int run(const CurveOptions& options) {
    std::vector<std::string> columns = {"row", "speed_wpm", "snr_2500hz_db"};
    for (std::string& column : score_columns()) columns.push_back(std::move(column));
    columns.insert(columns.end(), {"open_marks", "x_real_time"});
    support::CsvTable table(std::move(columns));
    table.add_note(seeds_note(options.study) +
                   (options.told_pitch ? ", first pitch told" : ", nothing told"));

    std::vector<std::pair<std::string, std::vector<support::Judged>>> pools;
    std::vector<support::Judged> everything;
    const auto measure_row = [&](const CopyRow& row, bool curve) {
        if (row.name.find(options.study.rows) == std::string::npos) return;
        std::vector<support::Judged> pool;
        for (const double snr : snrs_of(options, row, curve)) {
            const Cell cell = measure(options, row, snr);
            const double cer = rate_of(all_of(cell.scores)).count.rate();
            if (cer >= 0.02 && cer <= 0.20) {
                pool.insert(pool.end(), cell.judged.begin(), cell.judged.end());
            }
            long open_marks = 0;
            for (const support::TextScore& score : cell.scores) open_marks += score.open_marks;
            std::vector<std::string> cells = {row.name, support::cell(row.speed_wpm, 0),
                                              support::cell(snr, 1)};
            for (std::string& text : score_cells(cell.scores)) cells.push_back(std::move(text));
            cells.push_back(support::cell(open_marks));
            cells.push_back(support::cell(cell.audio_s / cell.cpu_s, 0));
            fmt::print(stderr, "{}\n", fmt::join(cells, "  "));
            table.add_row(std::move(cells));
        }
        everything.insert(everything.end(), pool.begin(), pool.end());
        pools.emplace_back(row.name, std::move(pool));
    };
    for (const CopyRow& row : curve_rows()) measure_row(row, true);
    if (options.channels) {
        for (const CopyRow& row : channel_rows()) measure_row(row, false);
    }
    if (!options.reliability.empty()) {
        pools.emplace_back("all", std::move(everything));
        StudyOptions place = options.study;
        place.out = options.reliability;
        if (const int status = deliver(reliability_table(pools), place); status != 0) return status;
    }
    return deliver(table, options.study);
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    CurveOptions options;
    options.study.characters = 250;
    CLI::App app("Error rate of copying against SNR, nothing told");
    app.add_option("--reliability", options.reliability, "CSV file for the confidence's truth");
    app.add_flag("--live", options.live, "final as early as from a sound card");
    app.add_option("--send", options.sent, "what is sent: groups or plain")
        ->check(CLI::IsMember({"groups", "plain"}))
        ->capture_default_str();
    app.add_option("--text", options.known, "what the search knows of it: none, groups or plain")
        ->check(CLI::IsMember(std::vector<std::string>(skedlark::copy::kTextKinds.begin(),
                                                       skedlark::copy::kTextKinds.end())))
        ->capture_default_str();
    app.add_flag("--told-pitch", options.told_pitch,
                 "tell the first pitch: leaves out the finding");
    app.add_flag("--channels", options.channels, "fading, drift, chirp, static and so on as well");
    app.add_option("--step", options.step_db, "of the curve, dB")
        ->check(CLI::Range(0.5, 26.0))
        ->capture_default_str();
    add_study_options(app, options.study);
    if (const int status = parse(app, argc, argv); status >= 0) return status;
    return run(options);
}
