#include "gui/sheet/bench_result.h"

#include <algorithm>

namespace skedlark::gui {
namespace {

bench::Limit limit_of(const JsonView& view) {
    bench::Limit limit;
    limit.own = view.text("limit_from") == "project";
    const std::string kind = view.text("limit_kind");
    if (kind == "between") {
        const auto ends = view.list("limit");
        if (ends.size() != 2) view.refuse("\"limit\" must be two numbers");
        limit.min = ends[0].as_number();
        limit.max = ends[1].as_number();
    } else if (kind == "min") {
        limit.min = view.needed("limit");
    } else if (kind == "max") {
        limit.max = view.needed("limit");
    } else {
        view.refuse("limit_kind \"" + kind + "\" is not known; allowed: min, max, between");
    }
    return limit;
}

BenchRow row_of(const JsonView& view) {
    BenchRow row;
    bench::Measurement& m = row.measured;
    m.name = view.needed_text("name");
    m.at = view.text("at");
    m.what = view.text("what");
    m.figure.value = view.number("value");
    const std::string known = view.text("known");
    if (known == "at_most") m.known = bench::Known::at_most;
    if (known == "at_least") m.known = bench::Known::at_least;
    if (m.known == bench::Known::value) m.figure.uncertainty_95 = view.number("uncertainty_95");
    if (!view.has("limit")) return row;
    row.limit = limit_of(view);
    row.judgement = {.pass = view.truth("pass"), .sure = view.truth("sure").value_or(true)};
    return row;
}

bench::Occurrence occurrence_of(const JsonView& view) {
    bench::Occurrence one;
    one.kind = view.needed_text("kind");
    one.at_s = view.needed("at_s");
    one.length_s = view.number("length_s");
    if (view.has("depth_db")) one.depth_db = view.needed("depth_db");
    one.said = view.text("said");
    return one;
}

bench::Curve curve_of(const JsonView& view) {
    bench::Curve curve{view.needed_text("name"),
                       view.text("what"),
                       view.needed_text("x"),
                       view.needed_text("y"),
                       {}};
    for (const JsonView& point : view.list("points"))
        curve.rows.push_back({point.number_at(0), point.number_at(1), point.number_at(2)});
    return curve;
}

void take(BenchTest& test, const ResultLine& line) {
    const JsonView view = line.view();
    if (const std::string chain = view.text("chain"); !chain.empty()) test.chain = chain;
    if (line.event == "measurement") test.rows.push_back(row_of(view));
    if (line.event == "occurrence") test.occurrences.push_back(occurrence_of(view));
    if (line.event == "curve") test.curves.push_back(curve_of(view));
    if (line.event == "bench") {
        test.complete = true;
        test.seconds = view.number("seconds");
    }
}

}  // namespace

std::string BenchRow::verdict() const {
    if (!limit) return "–";
    if (!judgement.pass) return "not settled";
    return std::string(*judgement.pass ? "pass" : "FAIL") + (judgement.sure ? "" : ", close");
}

std::vector<bench::Measurement> BenchTest::measurements() const {
    std::vector<bench::Measurement> all;
    for (const BenchRow& one : rows) all.push_back(one.measured);
    return all;
}

const BenchRow* BenchTest::row(std::string_view name) const {
    const auto found = std::find_if(rows.begin(), rows.end(),
                                    [&](const BenchRow& one) { return one.measured.name == name; });
    return found == rows.end() ? nullptr : &*found;
}

std::vector<BenchTest> bench_tests(const Results& results) {
    std::vector<BenchTest> tests;
    for (const ResultInput& input : results.inputs) {
        const std::size_t before = tests.size();
        for (const ResultLine& line : input.lines) {
            if (line.event == "input") continue;
            if (line.event == "note") {
                if (tests.size() > before) tests.back().notes.push_back(line.view().text("text"));
                continue;
            }
            const std::string name = line.view().text("test");
            if (name.empty()) continue;
            if (tests.size() == before || tests.back().test != name) {
                tests.push_back({.test = name, .input = input.name});
            }
            take(tests.back(), line);
        }
    }
    return tests;
}

std::string test_in_words(const std::string& test) {
    static const std::pair<const char*, const char*> kWords[] = {{"chain", "Measuring chain"},
                                                                 {"tone", "Steady tone"},
                                                                 {"sensitivity", "Sensitivity"},
                                                                 {"hum", "Hum"},
                                                                 {"drift", "Drift"},
                                                                 {"passband", "Passband"},
                                                                 {"dial", "Dial"},
                                                                 {"contacts", "Contacts"},
                                                                 {"ring", "Ringing when tapped"},
                                                                 {"rundown", "Battery run-down"}};
    for (const auto& [name, words] : kWords) {
        if (test == name) return words;
    }
    return test;
}

}  // namespace skedlark::gui
