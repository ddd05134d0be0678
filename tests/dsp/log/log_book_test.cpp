// Entries in and out, queries, and every file that must not be harmed.
#include "dsp/log/log_book.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "dsp/log/schema.h"
#include "tests/dsp/log/temp_folder.h"
#include "tests/support/seed.h"

namespace skedlark::log {
namespace {

UtcTime at(const char* text) { return *parse_utc(text); }

Entry watch(const char* started, const std::string& contact = "evening") {
    Entry entry;
    entry.started = at(started);
    entry.seconds = 1200.5;
    entry.who = "Ida";
    entry.contact = contact;
    entry.receiver = "set 2";
    entry.input = "hut.flac";
    entry.recording = "watches";
    entry.outcome = kCopied;
    entry.note = "aerial iced up";
    entry.stations = {{1, 700.25, true, -6.5, 15.2, 0.97, 1e-12, "QVA7 DE QXB2 [AR]"},
                      {2, 812.0, std::nullopt, -18.0, kNotMeasured, kNotMeasured, 1e-3, ""}};
    entry.measurements = {{"audio_lost_s", 2.5}, {"sinad_db", 18.0, 0.5, 12.0, true}};
    return entry;
}

LogBook open(const std::string& path, Access access = Access::write) {
    auto book = LogBook::open(path, access);
    EXPECT_TRUE(book) << book.error().message;
    return std::move(*book);
}

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

void expect_same(const Entry& a, const Entry& b) {
    EXPECT_EQ(a.kind, b.kind);
    EXPECT_EQ(a.started, b.started);
    EXPECT_TRUE(same(a.seconds, b.seconds));
    EXPECT_EQ(a.who, b.who);
    EXPECT_EQ(a.contact, b.contact);
    EXPECT_EQ(a.receiver, b.receiver);
    EXPECT_EQ(a.input, b.input);
    EXPECT_EQ(a.recording, b.recording);
    EXPECT_EQ(a.outcome, b.outcome);
    EXPECT_EQ(a.reason, b.reason);
    EXPECT_EQ(a.note, b.note);
    ASSERT_EQ(a.stations.size(), b.stations.size());
    for (std::size_t i = 0; i < a.stations.size(); ++i) {
        EXPECT_EQ(a.stations[i].tone, b.stations[i].tone);
        EXPECT_EQ(a.stations[i].text, b.stations[i].text);
        EXPECT_EQ(a.stations[i].keyed, b.stations[i].keyed);
        EXPECT_TRUE(same(a.stations[i].pitch_hz, b.stations[i].pitch_hz));
        EXPECT_TRUE(same(a.stations[i].snr_2500hz_db, b.stations[i].snr_2500hz_db));
        EXPECT_TRUE(same(a.stations[i].speed_wpm, b.stations[i].speed_wpm));
        EXPECT_TRUE(same(a.stations[i].confidence, b.stations[i].confidence));
        EXPECT_TRUE(same(a.stations[i].false_alarm_odds, b.stations[i].false_alarm_odds));
    }
    ASSERT_EQ(a.measurements.size(), b.measurements.size());
    for (std::size_t i = 0; i < a.measurements.size(); ++i) {
        EXPECT_EQ(a.measurements[i].name, b.measurements[i].name);
        EXPECT_TRUE(same(a.measurements[i].value, b.measurements[i].value));
        EXPECT_TRUE(same(a.measurements[i].uncertainty_95, b.measurements[i].uncertainty_95));
        EXPECT_TRUE(same(a.measurements[i].limit, b.measurements[i].limit));
        EXPECT_EQ(a.measurements[i].pass, b.measurements[i].pass);
    }
}

TEST(LogBook, AnEntryComesBackWhole) {
    const TempFolder folder;
    const Entry entry = watch("2026-11-26T18:30:00.125Z");
    const auto id = open(folder.path("log.db")).add(entry);
    ASSERT_TRUE(id) << id.error().message;
    const auto found = open(folder.path("log.db"), Access::read).find({});
    ASSERT_TRUE(found);
    ASSERT_EQ(found->size(), 1U);
    EXPECT_EQ(found->front().id, *id);
    expect_same(found->front(), entry);
}

TEST(LogBook, AnEntryIsReplacedWithItsParts) {
    const TempFolder folder;
    LogBook book = open(folder.path("log.db"));
    Entry entry = watch("2026-11-26T18:30Z");
    entry.id = *book.add(entry);
    (void)book.add(watch("2026-11-27T18:30Z"));
    entry.outcome = kMissed;
    entry.reason = "transmitter fuse";
    entry.stations.clear();
    entry.measurements.pop_back();
    ASSERT_TRUE(book.replace(entry));
    const auto found = book.find({.id = entry.id});
    ASSERT_EQ(found->size(), 1U);
    expect_same(found->front(), entry);
    EXPECT_EQ(book.find({})->size(), 2U);
    entry.id = 99;
    const auto none = book.replace(entry);
    ASSERT_FALSE(none);
    EXPECT_EQ(none.error().code, ErrorCode::not_found);
}

TEST(LogBook, QueriesNarrowDown) {
    const TempFolder folder;
    LogBook book = open(folder.path("log.db"));
    for (const char* when : {"2026-11-28T18:30Z", "2026-11-26T18:30Z", "2026-11-27T07:15Z"}) {
        (void)book.add(watch(when, when[9] == '7' ? "saddle" : "evening"));
    }
    Entry practice = watch("2026-11-25T10:00Z");
    practice.kind = kPractice;
    practice.who = "Jon";
    (void)book.add(practice);
    const auto days = [&](const Query& query) {
        std::string text;
        const auto found = book.find(query);
        EXPECT_TRUE(found);
        for (const Entry& entry : *found) text += utc_text(entry.started).substr(8, 2) + " ";
        return text;
    };
    EXPECT_EQ(days({}), "25 26 27 28 ");
    EXPECT_EQ(days({.kind = kWatch}), "26 27 28 ");
    EXPECT_EQ(days({.kind = kBench}), "");
    EXPECT_EQ(days({.who = "ida"}), "26 27 28 ");
    EXPECT_EQ(days({.contact = "saddle"}), "27 ");
    EXPECT_EQ(days({.since = at("2026-11-27"), .before = at("2026-11-28")}), "27 ");
    EXPECT_EQ(days({.last = 2}), "27 28 ") << "the latest, in order of time";
    EXPECT_EQ(days({.who = "' OR 1 --"}), "");
}

TEST(LogBook, AnOldLogIsReadWithoutTouchingIt) {
    const TempFolder folder;
    const std::string path = folder.put("log.db", "");
    const std::string before = bytes_of(path);
    // An empty file is the oldest log there is.
    EXPECT_TRUE(open(path, Access::read).find({})->empty());
    EXPECT_EQ(bytes_of(path), before);
}

TEST(LogBook, ForeignNewerAndBrokenFilesAreRefusedUnharmed) {
    const TempFolder folder;
    (void)open(folder.path("good.db")).add(watch("2026-11-26T18:30Z"));
    {
        const auto newer = Database::open(folder.path("newer.db"), Access::write);
        ASSERT_TRUE(migrate(*newer));
        ASSERT_TRUE(newer->run("PRAGMA user_version=99"));
        const auto foreign = Database::open(folder.path("foreign.db"), Access::write);
        ASSERT_TRUE(foreign->run("CREATE TABLE recipes (a)"));
        const auto hollow = Database::open(folder.path("hollow.db"), Access::write);
        ASSERT_TRUE(migrate(*hollow));
        ASSERT_TRUE(hollow->run("DROP TABLE station; DROP TABLE measurement; DROP TABLE entry"));
    }
    folder.put("text.db", "Dear QVA7, the flour has come.\n");
    folder.put("cut.db", bytes_of(folder.path("good.db")).substr(0, 9000));
    for (const char* name : {"newer.db", "foreign.db", "text.db", "cut.db", "hollow.db"}) {
        const std::string before = bytes_of(folder.path(name));
        for (const Access access : {Access::read, Access::write}) {
            const auto book = LogBook::open(folder.path(name), access);
            const auto found = book ? book->find({}) : Result<std::vector<Entry>>(book.error());
            ASSERT_FALSE(found) << name;
            EXPECT_NE(found.error().message.find(name), std::string::npos) << found.error().message;
        }
        EXPECT_EQ(bytes_of(folder.path(name)), before) << name;
    }
}

TEST(LogBook, AReadOnlyOneIsReadButNotWritten) {
    const TempFolder folder;
    (void)open(folder.path("log.db")).add(watch("2026-11-26T18:30Z"));
    LogBook book = open(folder.path("log.db"), Access::read);
    const auto added = book.add(watch("2026-11-27T18:30Z"));
    ASSERT_FALSE(added);
    EXPECT_EQ(added.error().code, ErrorCode::write_failed);
    EXPECT_NE(added.error().message.find("read-only"), std::string::npos) << added.error().message;
    EXPECT_EQ(book.find({})->size(), 1U);
}

// Bytes changed anywhere: read, or refused with a message; never a crash, and reading never writes.
TEST(LogBook, DamageAnywhereIsReadOrRefused) {
    const TempFolder folder;
    {
        LogBook book = open(folder.path("log.db"));
        for (int i = 0; i < 40; ++i) {
            Entry entry = watch("2026-11-26T18:30Z");
            entry.note = std::string(static_cast<std::size_t>(60 * i), 'x');
            (void)book.add(entry);
        }
    }
    const std::string whole = bytes_of(folder.path("log.db"));
    std::mt19937_64 random(support::test_seed(8));
    int refused = 0;
    for (int run = 0; run < 400; ++run) {
        std::string damaged = whole;
        for (std::uint64_t n = 1 + random() % 8; n > 0; --n) {
            const std::size_t spot = run % 2 == 0 ? random() % damaged.size() : random() % 600;
            damaged[spot] = static_cast<char>(random());
        }
        if (run % 10 == 0) damaged.resize(random() % damaged.size());
        const std::string path = folder.put("damaged.db", damaged);
        const auto book = LogBook::open(path, Access::read);
        const auto found = book ? book->find({}) : Result<std::vector<Entry>>(book.error());
        if (!found) {
            ++refused;
            EXPECT_NE(found.error().message.find("damaged.db"), std::string::npos);
        } else {
            for (const Entry& entry : *found) EXPECT_FALSE(utc_text(entry.started).empty());
        }
        EXPECT_EQ(bytes_of(path), damaged);
        if (auto writing = LogBook::open(path, Access::write)) {
            (void)writing->add(watch("2026-11-26T18:30Z"));
        }
    }
    EXPECT_GT(refused, 50);
}

}  // namespace
}  // namespace skedlark::log
