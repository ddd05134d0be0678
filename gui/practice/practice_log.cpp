#include "gui/practice/practice_log.h"

#include <filesystem>

#include "dsp/log/log_book.h"
#include "dsp/log/log_path.h"

namespace skedlark::gui {

namespace {
// Copying, sending and setting up in turn: enough of each.
constexpr std::size_t kEntriesRead = 200;
}  // namespace

log::PracticeRecord PracticeLog::record() {
    problem_.clear();
    if (who_.empty()) return {};
    const auto path = file_.empty() ? log::default_log_path() : Result<std::string>(file_);
    std::error_code ignored;
    if (!path || !std::filesystem::exists(*path, ignored)) return {};
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) {
        problem_ = book.error().message;
        return {};
    }
    log::Query query;
    query.kind = log::kPractice;
    query.who = who_;
    query.last = kEntriesRead;
    const auto entries = book->find(query);
    if (!entries) {
        problem_ = entries.error().message;
        return {};
    }
    return log::practice_record(*entries);
}

Status PracticeLog::keep(log::Entry entry) {
    if (who_.empty()) return Done{};
    entry.who = who_;
    const auto path = log::log_path_for_writing(file_);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    if (const auto id = book->add(entry); !id) return id.error();
    return Done{};
}

}  // namespace skedlark::gui
