// How true the figures of the bench are, over many seeds.
#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "tests/accuracy/bench/score.h"
#include "tests/accuracy/bench/tone_rows.h"

int main(int argc, char** argv) {
    skedlark::accuracy::StudyRun study;
    std::string only;
    CLI::App app{"Figures of the bench against the truth of made-up signals, as CSV."};
    app.add_option("--seeds", study.seeds, "a row")->check(CLI::Range(1, 100000));
    app.add_option("--first-seed", study.first_seed, "report from 1000 up, tune below");
    app.add_option("--only", only, "one test")
        ->check(CLI::IsMember({"tone", "sensitivity", "hum"}));
    app.add_option("--rows", study.rows, "only rows whose condition holds this");
    CLI11_PARSE(app, argc, argv);
    fmt::print("{}\n", skedlark::accuracy::kScoreHeading);
    if (only.empty() || only == "tone") skedlark::accuracy::tone_rows(study);
    if (only.empty() || only == "sensitivity") skedlark::accuracy::sensitivity_rows(study);
    if (only.empty() || only == "hum") skedlark::accuracy::hum_rows(study);
}
