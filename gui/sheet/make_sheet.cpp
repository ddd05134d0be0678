#include "gui/sheet/make_sheet.h"

#include "gui/sheet/log_entries.h"
#include "gui/sheet/log_sheets.h"

namespace skedlark::gui {
namespace {

Sheet by_kind(const Results& results) {
    switch (results.kind) {
        case ResultKind::fist:
            return fist_sheet(results);
        case ResultKind::copy:
            return copy_sheet(results);
        case ResultKind::sweep:
            return sweep_sheet(results);
        case ResultKind::drill:
            return drill_sheet(results);
        case ResultKind::log:
            return practice_sheet(log_entries(results));
        case ResultKind::bench:
            break;
    }
    throw BadResult("no sheet is made of results of " + std::string(name_of(results.kind)));
}

}  // namespace

Result<Sheet> make_sheet(const Results& results, const SheetWishes& wishes) {
    try {
        Sheet sheet = by_kind(results);
        if (!wishes.title.empty()) sheet.title = wishes.title;
        for (const std::string& note : wishes.notes) sheet.facts.emplace_back("Note", note);
        if (!wishes.made.empty()) sheet.facts.emplace_back("Made", wishes.made);
        return sheet;
    } catch (const BadResult& bad) {
        return Error{ErrorCode::damaged, bad.what()};
    }
}

}  // namespace skedlark::gui
