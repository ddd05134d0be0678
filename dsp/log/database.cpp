#include "dsp/log/database.h"

#include <sqlite3.h>

#include <cmath>
#include <filesystem>
#include <limits>

namespace skedlark::log {

namespace {

constexpr int kBusyMs = 3000;  // another skedlark is writing its watch

Error refused(ErrorCode code, const std::string& path, const std::string& why) {
    return {code, path + ": " + why};
}

ErrorCode kind_of(int code) {
    switch (code & 0xFF) {
        case SQLITE_FULL:
            return ErrorCode::disk_full;
        case SQLITE_READONLY:
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return ErrorCode::write_failed;
        case SQLITE_CANTOPEN:
        case SQLITE_PERM:
        case SQLITE_AUTH:
        case SQLITE_IOERR:
        case SQLITE_NOMEM:
            return ErrorCode::unreadable;
        default:
            return ErrorCode::damaged;
    }
}

const char* plain_words(int code) {
    switch (code & 0xFF) {
        case SQLITE_NOTADB:
            return "is not a log of Skedlark (not a data base)";
        case SQLITE_FULL:
            return "the disk is full";
        case SQLITE_READONLY:
            return "is read-only";
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return "is in use by another program";
        case SQLITE_CANTOPEN:
            return "cannot be opened";
        case SQLITE_IOERR:
            return "cannot be read or written";
        default:
            return "is damaged";
    }
}

}  // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const noexcept {
    sqlite3_finalize(statement);
}

void Database::Close::operator()(sqlite3* handle) const noexcept { sqlite3_close_v2(handle); }

Error Database::error(int code) const {
    return refused(kind_of(code), path_,
                   std::string(plain_words(code)) + " (" +
                       (handle_ ? sqlite3_errmsg(handle_.get()) : sqlite3_errstr(code)) + ")");
}

Result<Database> Database::open(const std::string& path, Access access) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) {
        return refused(ErrorCode::unreadable, path, "is a directory, not a log");
    }
    if (access == Access::read && !std::filesystem::exists(path, ignored)) {
        return refused(ErrorCode::not_found, path, "there is no such log");
    }
    const int flags =
        access == Access::read ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    sqlite3* handle = nullptr;
    const int code = sqlite3_open_v2(path.c_str(), &handle, flags | SQLITE_OPEN_NOMUTEX, nullptr);
    Database database(path, handle);
    if (code != SQLITE_OK) return database.error(code);
    if (access == Access::write && sqlite3_db_readonly(handle, "main") == 1) {
        return refused(ErrorCode::write_failed, path, "is read-only");
    }
    sqlite3_busy_timeout(handle, kBusyMs);
    // What a damaged or foreign file says must not be believed or run.
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_ENABLE_VIEW, 0, nullptr);
    if (const Status status = database.run("PRAGMA foreign_keys=ON; PRAGMA cell_size_check=ON;");
        !status) {
        return status.error();
    }
    return database;
}

Result<Database> Database::copy_in_memory() const {
    sqlite3* handle = nullptr;
    const int code =
        sqlite3_open_v2(":memory:", &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, nullptr);
    Database copy(path_, handle);
    if (code != SQLITE_OK) return copy.error(code);
    sqlite3_backup* backup = sqlite3_backup_init(handle, "main", handle_.get(), "main");
    if (backup == nullptr) return copy.error(sqlite3_errcode(handle));
    const int stepped = sqlite3_backup_step(backup, -1);
    sqlite3_backup_finish(backup);
    if (stepped != SQLITE_DONE) return error(stepped);
    return copy;
}

Result<Statement> Database::prepare(std::string_view sql) const {
    sqlite3_stmt* statement = nullptr;
    const int code = sqlite3_prepare_v2(handle_.get(), sql.data(), static_cast<int>(sql.size()),
                                        &statement, nullptr);
    if (code != SQLITE_OK) return error(code);
    return Statement(*this, statement);
}

Status Database::run(const std::string& sql) const {
    const int code = sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) return error(code);
    return Done{};
}

Result<std::int64_t> Database::whole(std::string_view sql) const {
    auto statement = prepare(sql);
    if (!statement) return statement.error();
    const auto row = statement->step();
    if (!row) return row.error();
    return *row ? statement->whole(0) : 0;
}

std::int64_t Database::last_id() const { return sqlite3_last_insert_rowid(handle_.get()); }

Statement& Statement::bind(int place, std::string_view text) {
    const int code = sqlite3_bind_text64(statement_.get(), place, text.data(), text.size(),
                                         SQLITE_TRANSIENT, SQLITE_UTF8);
    if (code != SQLITE_OK) bind_error_ = code;
    return *this;
}

Statement& Statement::bind(int place, double value) {
    const int code = std::isnan(value) ? sqlite3_bind_null(statement_.get(), place)
                                       : sqlite3_bind_double(statement_.get(), place, value);
    if (code != SQLITE_OK) bind_error_ = code;
    return *this;
}

Statement& Statement::bind(int place, std::int64_t value) {
    const int code = sqlite3_bind_int64(statement_.get(), place, value);
    if (code != SQLITE_OK) bind_error_ = code;
    return *this;
}

Statement& Statement::bind(int place, const std::optional<bool>& value) {
    const int code = value ? sqlite3_bind_int64(statement_.get(), place, *value ? 1 : 0)
                           : sqlite3_bind_null(statement_.get(), place);
    if (code != SQLITE_OK) bind_error_ = code;
    return *this;
}

Result<bool> Statement::step() {
    if (bind_error_ != SQLITE_OK) return database_->error(bind_error_);
    const int code = sqlite3_step(statement_.get());
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) return database_->error(code);
    sqlite3_reset(statement_.get());
    return false;
}

Status Statement::run() {
    for (;;) {
        const auto row = step();
        if (!row) return row.error();
        if (!*row) return Done{};
    }
}

std::string Statement::text(int column) const {
    const unsigned char* bytes = sqlite3_column_text(statement_.get(), column);
    const int size = sqlite3_column_bytes(statement_.get(), column);
    if (bytes == nullptr || size <= 0) return "";
    return {reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size)};
}

double Statement::number(int column) const {
    if (sqlite3_column_type(statement_.get(), column) == SQLITE_NULL) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    return sqlite3_column_double(statement_.get(), column);
}

std::int64_t Statement::whole(int column) const {
    return sqlite3_column_int64(statement_.get(), column);
}

std::optional<bool> Statement::truth(int column) const {
    if (sqlite3_column_type(statement_.get(), column) == SQLITE_NULL) return std::nullopt;
    return whole(column) != 0;
}

}  // namespace skedlark::log
