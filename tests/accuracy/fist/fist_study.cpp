// How well sending is judged: faults found with the text known, transmitter told from hand, edges
// and lengths measured, the score against each fault, time taken. One table a part, as CSV.
#include <fmt/format.h>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <iostream>

#include "tests/accuracy/fist/parts.h"

int main(int argc, char** argv) {
    CLI::App program("Judging of sending, measured on made-up sendings with known faults");
    std::string part = "alignment";
    skedlark::study::FistStudy study;
    program.add_option("--part", part, "alignment, faults, score, measure, time");
    program.add_option("--seeds", study.seeds, "Sendings a row");
    program.add_option("--first-seed", study.first_seed, "Of the first sending");
    program.add_option("--snr", study.snr_db, "SNR in 2500 Hz, dB");
    program.add_option("--groups", study.groups, "Groups of five a sending");
    program.add_option("--hand", study.hand, "Only this hand");
    program.add_option("--cause", study.cause, "Only causes that hold this");
    program.add_flag("--text-known", study.text_known, "Faults: with the text meant");
    program.add_flag("--list", study.list, "Name what went wrong");
    CLI11_PARSE(program, argc, argv);
    const auto table = skedlark::study::run_part(part, study);
    if (!table) {
        std::cerr << table.error().message << "\n";
        return 2;
    }
    std::cout << table->text();
    return 0;
}
