#include "gui/sheet/make_sheet.h"

#include "gui/sheet/log_entries.h"
#include "gui/sheet/log_sheets.h"

namespace skedlark::gui {
namespace {

// Practice or the bench, as the entries are; other kinds are passed over where there are some of these.
Sheet of_log(const Results& results) {
    const auto entries = log_entries(results);
    bool practice = false;
    bool bench = false;
    for (const log::Entry& entry : entries) {
        practice = practice || entry.kind == log::kPractice;
        bench = bench || entry.kind == log::kBench;
    }
    if (practice && bench) {
        throw BadResult(
            "entries of the kinds practice and bench make two sheets: choose one with skedlark log "
            "--json --kind practice, or bench");
    }
    if (!practice && !bench) {
        throw BadResult("no entry is of the kind practice or bench: no sheet is made of others");
    }
    return practice ? practice_sheet(entries) : history_sheet(entries);
}

Sheet by_kind(const Results& results, const BenchWishes& wishes) {
    switch (results.kind) {
        case ResultKind::fist:
            return fist_sheet(results);
        case ResultKind::copy:
            return copy_sheet(results);
        case ResultKind::sweep:
            return sweep_sheet(results);
        case ResultKind::drill:
            return drill_sheet(results);
        case ResultKind::bench:
            return bench_sheet(results, wishes);
        case ResultKind::log:
            break;
    }
    return of_log(results);
}

Status check(const Results& results, const BenchWishes& wishes) {
    const auto refuse = [&](const char* option) {
        return Error{ErrorCode::invalid_value, std::string(option) +
                                                   ": is for results of bench, these are of " +
                                                   std::string(name_of(results.kind))};
    };
    if (results.kind == ResultKind::bench) {
        if (!wishes.before || wishes.before->kind == ResultKind::bench) return Done{};
        return Error{ErrorCode::invalid_value, "--before: holds results of " +
                                                   std::string(name_of(wishes.before->kind)) +
                                                   ", the others are of bench"};
    }
    if (wishes.before) return refuse("--before");
    if (!wishes.receiver.empty()) return refuse("--receiver");
    if (!wishes.supply.empty()) return refuse("--supply");
    return Done{};
}

}  // namespace

Result<Sheet> make_sheet(const Results& results, const SheetWishes& wishes) {
    if (const Status right = check(results, wishes.bench); !right) return right.error();
    try {
        Sheet sheet = by_kind(results, wishes.bench);
        if (!wishes.title.empty()) sheet.title = wishes.title;
        for (const std::string& note : wishes.notes) sheet.facts.emplace_back("Note", note);
        if (!wishes.made.empty()) sheet.facts.emplace_back("Made", wishes.made);
        return sheet;
    } catch (const BadResult& bad) {
        return Error{ErrorCode::damaged, bad.what()};
    }
}

}  // namespace skedlark::gui
