#include "dsp/log/schema.h"

#include <array>
#include <string>

namespace skedlark::log {

namespace {

constexpr std::array<std::string_view, 1> kSteps = {
    R"(CREATE TABLE entry (
         id INTEGER PRIMARY KEY AUTOINCREMENT,
         kind TEXT NOT NULL,
         started_ms INTEGER NOT NULL,
         seconds REAL,
         who TEXT NOT NULL DEFAULT '',
         contact TEXT NOT NULL DEFAULT '',
         receiver TEXT NOT NULL DEFAULT '',
         input TEXT NOT NULL DEFAULT '',
         recording TEXT NOT NULL DEFAULT '',
         outcome TEXT NOT NULL DEFAULT '',
         reason TEXT NOT NULL DEFAULT '',
         note TEXT NOT NULL DEFAULT '');
       CREATE INDEX entry_started ON entry(started_ms);
       CREATE TABLE station (
         entry INTEGER NOT NULL REFERENCES entry(id) ON DELETE CASCADE,
         place INTEGER NOT NULL,
         tone INTEGER NOT NULL,
         pitch_hz REAL, keyed INTEGER, snr_2500hz_db REAL, speed_wpm REAL, confidence REAL,
         false_alarm_odds REAL,
         text TEXT NOT NULL DEFAULT '',
         PRIMARY KEY (entry, place)) WITHOUT ROWID;
       CREATE TABLE measurement (
         entry INTEGER NOT NULL REFERENCES entry(id) ON DELETE CASCADE,
         place INTEGER NOT NULL,
         name TEXT NOT NULL,
         value REAL, uncertainty_95 REAL, bound REAL, pass INTEGER,
         PRIMARY KEY (entry, place)) WITHOUT ROWID;)",
};

Error refused(ErrorCode code, const Database& database, const std::string& why) {
    return {code, database.path() + ": " + why};
}

}  // namespace

std::span<const std::string_view> schema_steps() { return kSteps; }

Result<int> version_of(const Database& database, int known) {
    const auto id = database.whole("PRAGMA application_id");
    if (!id) return id.error();
    const auto version = database.whole("PRAGMA user_version");
    if (!version) return version.error();
    const auto tables = database.whole("SELECT count(*) FROM sqlite_schema");
    if (!tables) return tables.error();
    if (*tables == 0 && *version == 0 && *id == 0) return 0;
    if (*id != kApplicationId) {
        return refused(ErrorCode::unsupported, database,
                       "is a data base of something else, not a log of Skedlark");
    }
    if (*version > known) {
        return refused(ErrorCode::unsupported, database,
                       "was written by a newer Skedlark (version " + std::to_string(*version) +
                           " of the log; this one knows up to " + std::to_string(known) +
                           "); nothing was changed");
    }
    if (*version < 1) return refused(ErrorCode::damaged, database, "is damaged (no version)");
    return static_cast<int>(*version);
}

Status migrate(const Database& database, std::span<const std::string_view> steps) {
    const auto known = static_cast<int>(steps.size());
    if (const auto version = version_of(database, known); !version) return version.error();
    // Two programs may start at once: look again once nobody else can write.
    if (const Status begun = database.run("BEGIN IMMEDIATE"); !begun) return begun.error();
    const auto version = version_of(database, known);
    Status status = version ? Status(Done{}) : Status(version.error());
    for (int step = version ? *version : known; status.ok() && step < known; ++step) {
        status = database.run(std::string(steps[static_cast<std::size_t>(step)]));
    }
    if (status.ok()) {
        status = database.run("PRAGMA application_id=" + std::to_string(kApplicationId) +
                              "; PRAGMA user_version=" + std::to_string(known) + "; COMMIT");
    }
    if (!status.ok()) (void)database.run("ROLLBACK");
    return status;
}

}  // namespace skedlark::log
