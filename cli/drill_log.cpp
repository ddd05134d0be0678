#include "cli/drill_log.h"

#include <filesystem>

#include "cli/watch_log.h"
#include "dsp/log/log_book.h"

namespace skedlark::cli {

Result<log::PracticeRecord> earlier_exercises(const std::string& log_file, const std::string& who) {
    const auto path = log_file.empty() ? default_log_path() : Result<std::string>(log_file);
    if (!path) return path.error();
    std::error_code ignored;
    if (!std::filesystem::exists(*path, ignored)) return log::PracticeRecord{};
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) return book.error();
    log::Query query;
    query.kind = log::kPractice;
    query.who = who;
    const auto entries = book->find(query);
    if (!entries) return entries.error();
    return log::practice_record(*entries);
}

Status keep_exercise(const std::string& log_file, const log::Entry& entry) {
    const auto path = log_path_for_writing(log_file);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    if (const auto id = book->add(entry); !id) return id.error();
    return Done{};
}

}  // namespace skedlark::cli
