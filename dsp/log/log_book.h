// The log book: entries written, changed and found again.
//
// Stage:   log. In: Entry. Out: a file; entries found in it.
// Units:   as Entry.
// Shape:   one SQLite file; several programs may write to it in turn.
// Time:    an entry is written in one transaction: it is there whole or not at all.
// Errors:  not_found, unreadable; damaged; unsupported (newer, or not a log); write_failed
//          (read-only, in use); disk_full. A file that is refused is left as it is.
// Threads: one thread per instance.
// Source:  none
// Checked: tests/dsp/log/log_book_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/log/database.h"
#include "dsp/log/entry.h"

namespace skedlark::log {

struct Query {
    std::optional<std::int64_t> id{};
    std::string kind{};     // empty: any
    std::string who{};      // empty: anybody
    std::string contact{};  // empty: any
    std::optional<UtcTime> since{};
    std::optional<UtcTime> before{};
    std::size_t last = 0;  // only so many, the latest; 0: all
};

class LogBook {
 public:
    // write: the file is made where it is missing, an older one is brought up to date. read: an
    // older one is brought up to date in memory only.
    [[nodiscard]] static Result<LogBook> open(const std::string& path, Access access);

    // Returns the entry's number.
    [[nodiscard]] Result<std::int64_t> add(const Entry& entry);
    // The entry with this number as it is now; not_found where there is none.
    Status replace(const Entry& entry);
    // In order of time.
    [[nodiscard]] Result<std::vector<Entry>> find(const Query& query) const;
    [[nodiscard]] const std::string& path() const { return database_.path(); }

 private:
    explicit LogBook(Database database) : database_(std::move(database)) {}
    Status write_parts(const Entry& entry, std::int64_t id);
    Result<std::int64_t> write(const Entry& entry, bool is_new);
    Status read_parts(Entry& entry) const;

    Database database_;
};

}  // namespace skedlark::log
