// Setting the kit up from a plan and a chart: four questions, marked.
#include <fmt/format.h>

#include <iostream>
#include <nlohmann/json.hpp>
#include <random>

#include "cli/drill.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"
#include "dsp/station/set_up_drill.h"

namespace skedlark::cli {

namespace {

std::string asked(Output& side, const std::string& question) {
    side.write(question);
    side.flush();
    std::string line;
    std::getline(std::cin, line);
    const auto from = line.find_first_not_of(" \t\r");
    if (from == std::string::npos) return "";
    return line.substr(from, line.find_last_not_of(" \t\r") + 1 - from);
}

std::optional<double> number_in(const std::string& text) {
    std::size_t used = 0;
    try {
        const double value = std::stod(text, &used);
        if (used == text.size()) return value;
    } catch (const std::exception&) {
    }
    return std::nullopt;
}

std::string names(const auto& all, auto name_of) {
    std::string out;
    for (const auto& one : all) out += (out.empty() ? "" : ", ") + name_of(one);
    return out.empty() ? "none" : out;
}

std::string as_json(const station::SetUpTask& task, const std::vector<station::SetUpMark>& marks) {
    nlohmann::ordered_json line{{"event", "set_up"},
                                {"contact", task.contact},
                                {"receive_khz", task.receive_khz},
                                {"answer_khz", nullptr},
                                {"marks", nlohmann::ordered_json::array()}};
    if (task.answer.band) line["answer_khz"] = task.answer.khz;
    for (const station::SetUpMark& mark : marks)
        line["marks"].push_back({{"what", mark.what}, {"right", mark.right}, {"said", mark.said}});
    return line.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace

ExitStatus set_up(const DrillOptions& options) {
    const auto plan = station::read_plan(options.set_up_plan);
    if (!plan) return fail_drill(plan.error());
    const auto receiver = dial::read_receiver(options.chart);
    if (!receiver) return fail_drill(receiver.error());
    const auto task =
        station::make_set_up(*plan, *receiver, options.seed.value_or(std::random_device{}()));
    if (!task) return fail_drill(task.error());
    Output side(2);
    side.write(station::in_words(*task) + "\n");
    station::SetUpAnswer answer;
    answer.band =
        asked(side, fmt::format("band of the receiver ({}): ",
                                names(receiver->bands, [](const auto& b) { return b.name; })));
    const std::string division =
        asked(side, fmt::format("division ({:g} to {:g}): ", receiver->from_div, receiver->to_div));
    answer.division = number_in(division);
    if (!answer.division && !division.empty()) {
        return fail_drill({ErrorCode::invalid_value,
                           fmt::format("division: '{}' is no number; allowed: {:g} to {:g}",
                                       division, receiver->from_div, receiver->to_div)});
    }
    answer.crystal =
        asked(side, fmt::format("crystal ({}): ", names(plan->crystals, [](const auto& c) {
                                    return fmt::format("{} {:g} kHz", c.name, c.khz);
                                })));
    answer.position =
        asked(side, fmt::format("switch of the transmitter ({}): ",
                                names(plan->bands, [](const auto& b) { return b.position; })));
    side.write("\n");
    side.flush();
    const auto marks = station::mark_set_up(*task, answer, *receiver);
    Output out(1);
    bool all = true;
    for (const station::SetUpMark& mark : marks) {
        all = all && mark.right;
        if (!options.json)
            out.write(fmt::format("{:9} {:5} {}\n", mark.what, mark.right ? "right" : "wrong",
                                  mark.said));
    }
    if (options.json) out.write(as_json(*task, marks));
    return deliver(out, all ? kDone : kAnswerNo);
}

}  // namespace skedlark::cli
