#include "gui/bench/bench_history.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "dsp/log/log_book.h"
#include "dsp/log/log_path.h"

namespace skedlark::gui {

Result<std::int64_t> BenchHistory::keep(const BenchDone& done, const std::string& who,
                                        const std::string& receiver, UtcTime ended) const {
    const auto path = log::log_path_for_writing(file_);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    log::Entry facts;
    facts.started = ended;
    if (done.live)
        facts.started -= std::chrono::milliseconds(std::llround(1000.0 * done.sheet.seconds));
    facts.who = who;
    facts.receiver = receiver;
    std::error_code ignored;
    const bool is_file = !done.live && std::filesystem::exists(done.sheet.input, ignored);
    facts.input = is_file ? log::whole_path(done.sheet.input) : done.sheet.input;
    return book->add(log::bench_entry(std::move(facts), done.sheet, done.kept));
}

Result<std::vector<log::Entry>> BenchHistory::earlier(const std::string& test,
                                                      const std::string& receiver) const {
    const auto path = file_.empty() ? log::default_log_path() : Result<std::string>(file_);
    if (!path) return path.error();
    std::error_code ignored;
    if (!std::filesystem::exists(*path, ignored)) return std::vector<log::Entry>();
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) return book.error();
    auto entries = book->find({.kind = log::kBench});
    if (!entries) return entries;
    std::erase_if(*entries, [&](const log::Entry& entry) {
        return entry.receiver != receiver || log::bench_test_of(entry) != test;
    });
    std::reverse(entries->begin(), entries->end());
    return entries;
}

std::string entry_words(const log::Entry& entry) {
    const std::string time = utc_text(entry.started);
    const char* outcome = entry.outcome == "fail"   ? "FAIL"
                          : entry.outcome == "pass" ? "pass"
                                                    : "no limit";
    return fmt::format("{}: {} {} UTC, {}", entry.id, time.substr(0, 10), time.substr(11, 5),
                       outcome);
}

}  // namespace skedlark::gui
