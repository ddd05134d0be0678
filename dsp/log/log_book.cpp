#include "dsp/log/log_book.h"

#include <algorithm>

#include "dsp/log/schema.h"

namespace skedlark::log {

namespace {

std::int64_t ms_of(UtcTime time) { return time.time_since_epoch().count(); }

// A damaged log may say anything; a time outside of what can be written is the nearest that can.
UtcTime time_of(std::int64_t ms) {
    static const UtcTime kFirst{std::chrono::milliseconds(0)};
    static const UtcTime kLast =
        as_utc({std::chrono::local_days(std::chrono::year(kLastYear) / 12 / 31)});
    return std::clamp(UtcTime(std::chrono::milliseconds(ms)), kFirst, kLast);
}

Status check_health(const Database& database) {
    auto check = database.prepare("PRAGMA quick_check(1)");
    if (!check) return check.error();
    const auto row = check->step();
    if (!row) return row.error();
    const std::string said = *row ? check->text(0) : "";
    if (said == "ok") return Done{};
    return Error{ErrorCode::damaged,
                 database.path() + ": is damaged (" + said.substr(0, 200) + ")"};
}

constexpr std::string_view kColumns =
    "id, kind, started_ms, seconds, who, contact, receiver, input, recording, outcome, reason, "
    "note";

void bind_entry(Statement& statement, const Entry& entry) {
    statement.bind(1, entry.kind)
        .bind(2, ms_of(entry.started))
        .bind(3, entry.seconds)
        .bind(4, entry.who)
        .bind(5, entry.contact)
        .bind(6, entry.receiver)
        .bind(7, entry.input)
        .bind(8, entry.recording)
        .bind(9, entry.outcome)
        .bind(10, entry.reason)
        .bind(11, entry.note);
}

Entry entry_of(const Statement& row) {
    Entry entry;
    entry.id = row.whole(0);
    entry.kind = row.text(1);
    entry.started = time_of(row.whole(2));
    entry.seconds = row.number(3);
    entry.who = row.text(4);
    entry.contact = row.text(5);
    entry.receiver = row.text(6);
    entry.input = row.text(7);
    entry.recording = row.text(8);
    entry.outcome = row.text(9);
    entry.reason = row.text(10);
    entry.note = row.text(11);
    return entry;
}

std::string sql_of(const Query& query) {
    std::string sql = "SELECT " + std::string(kColumns) + " FROM entry WHERE 1";
    if (query.id) sql += " AND id = ?1";
    if (!query.kind.empty()) sql += " AND kind = ?2";
    if (!query.who.empty()) sql += " AND who = ?3 COLLATE NOCASE";
    if (!query.contact.empty()) sql += " AND contact = ?4";
    if (query.since) sql += " AND started_ms >= ?5";
    if (query.before) sql += " AND started_ms < ?6";
    return sql + " ORDER BY started_ms DESC, id DESC";
}

}  // namespace

Result<LogBook> LogBook::open(const std::string& path, Access access) {
    auto database = Database::open(path, access);
    if (!database) return database.error();
    const auto version = version_of(*database);
    if (!version) return version.error();
    if (const Status healthy = check_health(*database); !healthy) return healthy.error();
    if (*version == schema_version()) return LogBook(std::move(*database));
    if (access == Access::read) {
        auto copy = database->copy_in_memory();
        if (!copy) return copy.error();
        database = std::move(copy);
    }
    if (const Status status = migrate(*database); !status) return status.error();
    return LogBook(std::move(*database));
}

Status LogBook::write_parts(const Entry& entry, std::int64_t id) {
    auto station = database_.prepare(
        "INSERT INTO station (entry, place, tone, pitch_hz, keyed, snr_2500hz_db, speed_wpm, "
        "confidence, false_alarm_odds, text) VALUES (?,?,?,?,?,?,?,?,?,?)");
    if (!station) return station.error();
    std::int64_t place = 0;
    for (const HeardStation& heard : entry.stations) {
        station->bind(1, id).bind(2, ++place).bind(3, static_cast<std::int64_t>(heard.tone));
        station->bind(4, heard.pitch_hz).bind(5, heard.keyed).bind(6, heard.snr_2500hz_db);
        station->bind(7, heard.speed_wpm).bind(8, heard.confidence);
        station->bind(9, heard.false_alarm_odds).bind(10, heard.text);
        if (const Status status = station->run(); !status) return status.error();
    }
    auto measurement = database_.prepare(
        "INSERT INTO measurement (entry, place, name, value, uncertainty_95, bound, pass) VALUES "
        "(?,?,?,?,?,?,?)");
    if (!measurement) return measurement.error();
    place = 0;
    for (const Measurement& measured : entry.measurements) {
        measurement->bind(1, id).bind(2, ++place).bind(3, measured.name).bind(4, measured.value);
        measurement->bind(5, measured.uncertainty_95).bind(6, measured.limit);
        measurement->bind(7, measured.pass);
        if (const Status status = measurement->run(); !status) return status.error();
    }
    return Done{};
}

Result<std::int64_t> LogBook::write(const Entry& entry, bool is_new) {
    auto statement = database_.prepare(
        is_new ? "INSERT INTO entry (kind, started_ms, seconds, who, contact, receiver, input, "
                 "recording, outcome, reason, note) VALUES (?,?,?,?,?,?,?,?,?,?,?)"
               : "UPDATE entry SET kind=?1, started_ms=?2, seconds=?3, who=?4, contact=?5, "
                 "receiver=?6, input=?7, recording=?8, outcome=?9, reason=?10, note=?11 "
                 "WHERE id=?12");
    if (!statement) return statement.error();
    bind_entry(*statement, entry);
    if (!is_new) statement->bind(12, entry.id);
    if (const Status status = statement->run(); !status) return status.error();
    const std::int64_t id = is_new ? database_.last_id() : entry.id;
    if (!is_new) {
        const auto changed = database_.whole("SELECT changes()");
        if (!changed) return changed.error();
        if (*changed == 0) {
            return Error{ErrorCode::not_found,
                         path() + ": there is no entry " + std::to_string(entry.id)};
        }
        for (const char* table : {"station", "measurement"}) {
            if (const Status status = database_.run("DELETE FROM " + std::string(table) +
                                                    " WHERE entry=" + std::to_string(id));
                !status) {
                return status.error();
            }
        }
    }
    if (const Status status = write_parts(entry, id); !status) return status.error();
    return id;
}

Result<std::int64_t> LogBook::add(const Entry& entry) {
    if (const Status begun = database_.run("BEGIN IMMEDIATE"); !begun) return begun.error();
    auto id = write(entry, true);
    const Status status = id ? database_.run("COMMIT") : Status(id.error());
    if (status) return id;
    (void)database_.run("ROLLBACK");
    return status.error();
}

Status LogBook::replace(const Entry& entry) {
    if (const Status begun = database_.run("BEGIN IMMEDIATE"); !begun) return begun.error();
    const auto id = write(entry, false);
    Status status = id ? database_.run("COMMIT") : Status(id.error());
    if (!status) (void)database_.run("ROLLBACK");
    return status;
}

Status LogBook::read_parts(Entry& entry) const {
    auto station = database_.prepare(
        "SELECT tone, pitch_hz, keyed, snr_2500hz_db, speed_wpm, confidence, false_alarm_odds, "
        "text "
        "FROM station WHERE entry=? ORDER BY place");
    if (!station) return station.error();
    station->bind(1, entry.id);
    for (;;) {
        const auto row = station->step();
        if (!row) return row.error();
        if (!*row) break;
        entry.stations.push_back({static_cast<int>(station->whole(0)), station->number(1),
                                  station->truth(2), station->number(3), station->number(4),
                                  station->number(5), station->number(6), station->text(7)});
    }
    auto measurement = database_.prepare(
        "SELECT name, value, uncertainty_95, bound, pass FROM measurement WHERE entry=? ORDER BY "
        "place");
    if (!measurement) return measurement.error();
    measurement->bind(1, entry.id);
    for (;;) {
        const auto row = measurement->step();
        if (!row) return row.error();
        if (!*row) return Done{};
        entry.measurements.push_back({measurement->text(0), measurement->number(1),
                                      measurement->number(2), measurement->number(3),
                                      measurement->truth(4)});
    }
}

Result<std::vector<Entry>> LogBook::find(const Query& query) const {
    auto statement = database_.prepare(sql_of(query));
    if (!statement) return statement.error();
    if (query.id) statement->bind(1, *query.id);
    if (!query.kind.empty()) statement->bind(2, query.kind);
    if (!query.who.empty()) statement->bind(3, query.who);
    if (!query.contact.empty()) statement->bind(4, query.contact);
    if (query.since) statement->bind(5, ms_of(*query.since));
    if (query.before) statement->bind(6, ms_of(*query.before));
    std::vector<Entry> entries;
    while (query.last == 0 || entries.size() < query.last) {
        const auto row = statement->step();
        if (!row) return row.error();
        if (!*row) break;
        entries.push_back(entry_of(*statement));
    }
    std::reverse(entries.begin(), entries.end());
    for (Entry& entry : entries) {
        if (const Status status = read_parts(entry); !status) return status.error();
    }
    return entries;
}

}  // namespace skedlark::log
