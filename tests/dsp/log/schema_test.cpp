// Migration with made-up steps: from each version to the last, whole or not at all.
#include "dsp/log/schema.h"

#include <gtest/gtest.h>

#include <array>

#include "tests/dsp/log/temp_folder.h"

namespace skedlark::log {
namespace {

constexpr std::array<std::string_view, 3> kSteps = {
    "CREATE TABLE entry (a INTEGER)",
    "ALTER TABLE entry ADD COLUMN b TEXT NOT NULL DEFAULT 'new'; CREATE TABLE more (c)",
    "INSERT INTO more SELECT a FROM entry"};
using Steps = std::span<const std::string_view>;

Database fresh(const TempFolder& folder) {
    auto database = Database::open(folder.path("a.db"), Access::write);
    EXPECT_TRUE(database);
    return std::move(*database);
}

TEST(Schema, ANewFileGetsEveryStep) {
    const TempFolder folder;
    const Database database = fresh(folder);
    EXPECT_EQ(*version_of(database), 0);
    ASSERT_TRUE(migrate(database, kSteps));
    EXPECT_EQ(*version_of(database, 3), 3);
    ASSERT_TRUE(migrate(database, kSteps)) << "nothing is left to do";
    EXPECT_EQ(*database.whole("SELECT count(*) FROM more"), 0);
}

TEST(Schema, AnOlderOneKeepsWhatItHolds) {
    for (const std::size_t from : {1U, 2U}) {
        const TempFolder folder;
        const Database database = fresh(folder);
        ASSERT_TRUE(migrate(database, Steps(kSteps).first(from)));
        ASSERT_TRUE(database.run("INSERT INTO entry (a) VALUES (7)"));
        ASSERT_TRUE(migrate(database, kSteps));
        EXPECT_EQ(*version_of(database, 3), 3);
        EXPECT_EQ(*database.whole("SELECT a FROM entry WHERE b='new'"), 7);
        EXPECT_EQ(*database.whole("SELECT c FROM more"), 7);
    }
}

TEST(Schema, AFailingStepLeavesTheFileAsItWas) {
    const TempFolder folder;
    {
        const Database database = fresh(folder);
        ASSERT_TRUE(migrate(database, Steps(kSteps).first(1)));
        ASSERT_TRUE(database.run("INSERT INTO entry VALUES (7)"));
    }
    const std::string before = bytes_of(folder.path("a.db"));
    constexpr std::array<std::string_view, 3> kBroken = {kSteps[0], kSteps[1], "no SQL at all"};
    {
        const Database database = fresh(folder);
        EXPECT_FALSE(migrate(database, kBroken));
        EXPECT_EQ(*version_of(database, 3), 1);
        EXPECT_EQ(*database.whole("SELECT count(*) FROM sqlite_schema WHERE name='more'"), 0);
    }
    EXPECT_EQ(bytes_of(folder.path("a.db")), before);
}

TEST(Schema, ANewerOneIsRefused) {
    const TempFolder folder;
    const Database database = fresh(folder);
    ASSERT_TRUE(migrate(database, kSteps));
    const auto version = version_of(database, 2);
    ASSERT_FALSE(version);
    EXPECT_EQ(version.error().code, ErrorCode::unsupported);
    EXPECT_NE(version.error().message.find("newer Skedlark (version 3"), std::string::npos);
    EXPECT_FALSE(migrate(database, Steps(kSteps).first(2)));
}

TEST(Schema, AForeignDatabaseIsRefused) {
    const TempFolder folder;
    const Database database = fresh(folder);
    ASSERT_TRUE(database.run("CREATE TABLE recipes (a)"));
    const auto version = version_of(database);
    ASSERT_FALSE(version);
    EXPECT_NE(version.error().message.find("something else"), std::string::npos);
    EXPECT_FALSE(migrate(database));
    EXPECT_EQ(*database.whole("SELECT count(*) FROM sqlite_schema"), 1);
}

TEST(Schema, TheRealOneIsMadeAndKnown) {
    const TempFolder folder;
    const Database database = fresh(folder);
    ASSERT_TRUE(migrate(database));
    EXPECT_EQ(*version_of(database), schema_version());
    EXPECT_EQ(*database.whole("PRAGMA application_id"), kApplicationId);
    for (const char* table : {"entry", "station", "measurement"}) {
        EXPECT_EQ(*database.whole("SELECT count(*) FROM " + std::string(table)), 0);
    }
}

}  // namespace
}  // namespace skedlark::log
