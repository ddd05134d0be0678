// SQLite behind a handle that closes itself and errors that say which file.
//
// Stage:   log. In: a path, SQL with values. Out: rows.
// Shape:   one statement at a time; columns count from 0.
// Errors:  damaged (not a data base, malformed), write_failed (read-only, busy), disk_full,
//          unreadable.
// Threads: one thread per instance.
// Source:  SQLite C interface
// Checked: tests/dsp/log/database_test.cpp
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "dsp/core/result.h"

struct sqlite3;
struct sqlite3_stmt;

namespace skedlark::log {

enum class Access { read, write };

class Database;

class Statement {
 public:
    // Values by their place, from 1; NaN becomes NULL.
    Statement& bind(int place, std::string_view text);
    Statement& bind(int place, double value);
    Statement& bind(int place, std::int64_t value);
    Statement& bind(int place, const std::optional<bool>& value);

    // True: there is a row to look at. False: done. After done, bound anew and stepped again.
    [[nodiscard]] Result<bool> step();
    Status run();  // to the end, rows passed over

    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] double number(int column) const;  // NaN for NULL
    [[nodiscard]] std::int64_t whole(int column) const;
    [[nodiscard]] std::optional<bool> truth(int column) const;

 private:
    friend class Database;
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const noexcept;
    };
    Statement(const Database& database, sqlite3_stmt* statement)
        : database_(&database), statement_(statement) {}

    const Database* database_;
    std::unique_ptr<sqlite3_stmt, Finalize> statement_;
    int bind_error_ = 0;
};

class Database {
 public:
    // write: made where it is missing. A file that cannot be written is refused then.
    [[nodiscard]] static Result<Database> open(const std::string& path, Access access);
    // A copy in memory, which may be changed without touching the file.
    [[nodiscard]] Result<Database> copy_in_memory() const;

    [[nodiscard]] Result<Statement> prepare(std::string_view sql) const;
    Status run(const std::string& sql) const;  // any number of statements
    [[nodiscard]] Result<std::int64_t> whole(std::string_view sql) const;  // first value
    [[nodiscard]] std::int64_t last_id() const;
    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] Error error(int code) const;

 private:
    struct Close {
        void operator()(sqlite3* handle) const noexcept;
    };
    Database(std::string path, sqlite3* handle) : path_(std::move(path)), handle_(handle) {}

    std::string path_;
    std::unique_ptr<sqlite3, Close> handle_;
};

}  // namespace skedlark::log
