// The chance of finding the station within the contact window: by the plan (map and next stretch),
// and by straight sweeps from one end in the same time.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdio>

#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"
#include "tests/accuracy/search/contact.h"
#include "tests/support/csv.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

constexpr double kSettingS = 5.0;  // to set the dial to the start of a sweep, for all alike

struct Options {
    int contacts = 1000;
    std::uint64_t first_seed = support::kFirstReportSeed;
    std::vector<double> windows_min{1.0, 2.0, 4.0, 8.0};
    std::string out{};
};

dial::ChanceByRate chance_of(const Contact& contact) {
    const auto model = dial::DetectionModel::glide_finder({.speed_wpm = Contact::kSpeedWpm});
    return *dial::ChanceByRate::create(*model, {.snr_2500hz_db = contact.expected_snr_db(),
                                                .level_sd_db = contact.level_sd_db(),
                                                .sending_chance = contact.sending_chance()});
}

bool found_by_plan(const Contact& contact, const dial::ChanceByRate& chance,
                   std::mt19937_64 chances) {
    auto map = *dial::PlaceMap::create(contact.dial(), contact.setting());
    const dial::Receiver& receiver = contact.dial().receiver();
    dial::SearchConfig config{
        .setting_s = kSettingS,
        .run_on_div = dial::run_on_div(receiver.audio, contact.setting().khz_per_div)};
    for (double spent_s = 0.0; contact.window_s() - spent_s >= 1.0;) {
        config.window_s = contact.window_s() - spent_s;
        const auto next = *dial::next_stretch(map, chance, config);
        if (!next) return false;
        if (contact.notices({next->from_div, next->to_div, next->run_on_div, next->div_per_min},
                            spent_s + kSettingS, chances)) {
            return true;
        }
        const dial::Pass pass{next->from_div, next->to_div, next->div_per_min, 0.05, {}};
        if (!map.heard(pass, chance) || !map.drift(contact.drift_sd_div(next->seconds))) {
            return false;
        }
        spent_s += next->seconds;
    }
    return false;
}

// From the lower limit up, again and again, cut where the time is over. `fill`: at the speed that
// crosses all of it once in the time, otherwise at the safe speed.
bool found_straight(const Contact& contact, const dial::SweepPlan& plan, bool fill,
                    std::mt19937_64 chances) {
    const double width = plan.high_div - plan.low_div + 2.0 * plan.run_on_div;
    const double filling = 60.0 * width / (contact.window_s() - kSettingS);
    // Where no speed is safe, an operator fills the time.
    const double speed = fill || !plan.div_per_min ? filling : *plan.div_per_min;
    for (double spent_s = kSettingS; spent_s < contact.window_s() - 1e-9;) {
        const double all_s = 60.0 * width / speed;
        const double this_s = std::min(all_s, contact.window_s() - spent_s);
        const double to = plan.low_div - 2.0 * plan.run_on_div + this_s * speed / 60.0;
        if (contact.notices({plan.low_div, to, plan.run_on_div, speed}, spent_s, chances)) {
            return true;
        }
        spent_s += all_s + kSettingS;
    }
    return false;
}

constexpr const char* kWays[] = {"plan", "two divisions, safe speed", "95 % limits, safe speed",
                                 "two divisions, filling the time",
                                 "95 % limits, filling the time"};
constexpr std::size_t kWayCount = std::size(kWays);

std::array<bool, kWayCount> run(std::uint64_t seed, double window_s) {
    const Contact contact(seed, window_s);
    const dial::ChanceByRate chance = chance_of(contact);
    const auto two = *dial::plan_sweep(contact.dial(), contact.setting(), chance);
    const auto limits =
        *dial::plan_sweep(contact.dial(), contact.setting(), chance, {.limits_chance = 0.95});
    const std::mt19937_64 chances(support::seed_for_part(seed, 3));
    return {found_by_plan(contact, chance, chances), found_straight(contact, two, false, chances),
            found_straight(contact, limits, false, chances),
            found_straight(contact, two, true, chances),
            found_straight(contact, limits, true, chances)};
}

// 95 % interval of the ratio of two shares found on the same contacts, by the logarithm's variance.
support::Interval ratio_interval(long plan, long other, long both, long all) {
    const double a = static_cast<double>(plan), b = static_cast<double>(other);
    const double n = static_cast<double>(all);
    const double covariance = static_cast<double>(both) / n - a * b / (n * n);
    const double variance =
        (1.0 / a - 1.0 / n) + (1.0 / b - 1.0 / n) - 2.0 * n * covariance / (a * b);
    const double half = support::kZ95 * std::sqrt(std::max(0.0, variance));
    return {a / b * std::exp(-half), a / b * std::exp(half)};
}

void add_rows(support::CsvTable& table, double window_min, const Options& options) {
    std::array<long, kWayCount> found{}, with_plan{};
    for (int n = 0; n < options.contacts; ++n) {
        const auto by = run(options.first_seed + static_cast<std::uint64_t>(n), 60.0 * window_min);
        for (std::size_t way = 0; way < kWayCount; ++way) {
            found[way] += by[way] ? 1 : 0;
            with_plan[way] += by[way] && by[0] ? 1 : 0;
        }
    }
    for (std::size_t way = 0; way < kWayCount; ++way) {
        const auto share = support::wilson_interval(found[way], options.contacts);
        std::vector<std::string> cells{
            support::cell(window_min, 1),
            kWays[way],
            support::cell(static_cast<long>(options.contacts)),
            support::cell(static_cast<double>(found[way]) / options.contacts, 4),
            support::cell(share.low, 4),
            support::cell(share.high, 4)};
        if (way == 0 || found[way] == 0 || found[0] == 0) {
            cells.insert(cells.end(), {"", "", ""});
        } else {
            const auto ratio =
                ratio_interval(found[0], found[way], with_plan[way], options.contacts);
            cells.insert(
                cells.end(),
                {support::cell(static_cast<double>(found[0]) / static_cast<double>(found[way]), 3),
                 support::cell(ratio.low, 3), support::cell(ratio.high, 3)});
        }
        table.add_row(cells);
    }
}

int study(const Options& options) {
    support::CsvTable table({"window_min", "way", "contacts", "found", "found_low95",
                             "found_high95", "plan_times", "plan_times_low95",
                             "plan_times_high95"});
    table.add_note(fmt::format("simulated contacts, seeds from {}", options.first_seed));
    for (const double window_min : options.windows_min) add_rows(table, window_min, options);
    if (options.out.empty()) {
        std::fputs(table.text().c_str(), stdout);
        return 0;
    }
    const Status written = table.write(options.out);
    if (!written) std::fprintf(stderr, "%s\n", written.error().message.c_str());
    return written ? 0 : 2;
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    skedlark::accuracy::Options options;
    CLI::App app{"Chance of finding the station in the window: plan against straight sweeps"};
    app.add_option("--contacts", options.contacts, "Contacts for each window")
        ->check(CLI::Range(1, 1000000));
    app.add_option("--first-seed", options.first_seed, "Seed of the first contact");
    app.add_option("--window", options.windows_min, "Minutes there are; repeatable")
        ->check(CLI::Range(0.2, 600.0));
    app.add_option("--out", options.out, "Table to write; default: print it");
    CLI11_PARSE(app, argc, argv);
    return skedlark::accuracy::study(options);
}
