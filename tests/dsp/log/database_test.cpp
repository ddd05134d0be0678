// The handle: values in and out, and files that are none.
#include "dsp/log/database.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/dsp/log/temp_folder.h"

namespace skedlark::log {
namespace {

TEST(Database, ValuesComeBackAsTheyWere) {
    const TempFolder folder;
    auto database = Database::open(folder.path("a.db"), Access::write);
    ASSERT_TRUE(database) << database.error().message;
    ASSERT_TRUE(database->run("CREATE TABLE t (a TEXT, b REAL, c INTEGER, d INTEGER)"));
    const std::string text("hut \0 \xC3\xBC", 8);
    auto insert = database->prepare("INSERT INTO t VALUES (?,?,?,?)");
    ASSERT_TRUE(insert);
    insert->bind(1, text).bind(2, 1.0 / 3.0).bind(3, std::numeric_limits<std::int64_t>::min());
    insert->bind(4, std::optional<bool>(true));
    ASSERT_TRUE(insert->run());
    insert->bind(1, std::string_view()).bind(2, std::nan("")).bind(3, std::int64_t{0});
    insert->bind(4, std::optional<bool>());
    ASSERT_TRUE(insert->run());
    auto rows = database->prepare("SELECT a, b, c, d FROM t ORDER BY rowid");
    ASSERT_TRUE(rows);
    ASSERT_TRUE(*rows->step());
    EXPECT_EQ(rows->text(0), text);
    EXPECT_EQ(rows->number(1), 1.0 / 3.0);
    EXPECT_EQ(rows->whole(2), std::numeric_limits<std::int64_t>::min());
    EXPECT_EQ(rows->truth(3), true);
    ASSERT_TRUE(*rows->step());
    EXPECT_EQ(rows->text(0), "");
    EXPECT_TRUE(std::isnan(rows->number(1)));
    EXPECT_FALSE(rows->truth(3));
    EXPECT_FALSE(*rows->step());
}

TEST(Database, ACopyInMemoryLeavesTheFileAlone) {
    const TempFolder folder;
    auto database = Database::open(folder.path("a.db"), Access::write);
    ASSERT_TRUE(database->run("CREATE TABLE t (a); INSERT INTO t VALUES (1)"));
    const auto copy = database->copy_in_memory();
    ASSERT_TRUE(copy);
    ASSERT_TRUE(copy->run("DELETE FROM t"));
    EXPECT_EQ(*copy->whole("SELECT count(*) FROM t"), 0);
    EXPECT_EQ(*database->whole("SELECT count(*) FROM t"), 1);
}

TEST(Database, FilesThatAreNone) {
    const TempFolder folder;
    EXPECT_EQ(Database::open(folder.path("none.db"), Access::read).error().code,
              ErrorCode::not_found);
    EXPECT_EQ(Database::open(folder.path(""), Access::write).error().code, ErrorCode::unreadable);
    EXPECT_EQ(Database::open("/nonexistent/a.db", Access::write).error().code,
              ErrorCode::unreadable);
    const auto text = Database::open(folder.put("a.txt", std::string(5000, 'x')), Access::read);
    const auto told = text ? text->whole("SELECT count(*) FROM sqlite_schema")
                           : Result<std::int64_t>(text.error());
    ASSERT_FALSE(told);
    EXPECT_EQ(told.error().code, ErrorCode::damaged);
    EXPECT_NE(told.error().message.find("a.txt: is not a log of Skedlark"), std::string::npos);
}

TEST(Database, ErrorsNameTheFile) {
    const TempFolder folder;
    const auto database = Database::open(folder.path("a.db"), Access::write);
    const auto wrong = database->prepare("SELECT nothing FROM nowhere");
    ASSERT_FALSE(wrong);
    EXPECT_NE(wrong.error().message.find("a.db"), std::string::npos);
    EXPECT_FALSE(database->run("this is no SQL"));
}

// A disk that is full, as SQLite tells it when a file may not grow any more.
TEST(Database, AFullDiskIsItsOwnError) {
    const TempFolder folder;
    const auto database = Database::open(folder.path("a.db"), Access::write);
    ASSERT_TRUE(database->run("CREATE TABLE t (a); PRAGMA max_page_count=3"));
    const auto full = database->run("INSERT INTO t VALUES (zeroblob(100000))");
    ASSERT_FALSE(full);
    EXPECT_EQ(full.error().code, ErrorCode::disk_full);
}

TEST(Database, OneThatIsInUseSaysSo) {
    const TempFolder folder;
    const auto first = Database::open(folder.path("a.db"), Access::write);
    ASSERT_TRUE(first->run("CREATE TABLE t (a); BEGIN IMMEDIATE"));
    const auto second = Database::open(folder.path("a.db"), Access::write);
    ASSERT_TRUE(second);
    ASSERT_TRUE(second->run("PRAGMA busy_timeout=10"));
    const auto busy = second->run("INSERT INTO t VALUES (1)");
    ASSERT_FALSE(busy);
    EXPECT_EQ(busy.error().code, ErrorCode::write_failed);
    EXPECT_NE(busy.error().message.find("in use"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::log
