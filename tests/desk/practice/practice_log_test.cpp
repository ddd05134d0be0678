#include "gui/practice/practice_log.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "dsp/morse/code_table.h"
#include "tests/desk/practice/folder.h"

namespace skedlark::gui {
namespace {

log::Entry copied() {
    log::CopyFacts facts;
    facts.groups_a_minute = 9.0;
    return log::copy_entry(
        *fist::copy_score(*morse::scoring_symbols("HHH"), *morse::scoring_symbols("SSH")), facts);
}

TEST(PracticeLog, KeepsByPersonAndReadsThatPersonsOwn) {
    const TestFolder folder;
    PracticeLog log(folder.path("log.db"));
    EXPECT_EQ(log.record().copied, 0);
    EXPECT_TRUE(log.keep(copied()).ok());
    EXPECT_FALSE(std::filesystem::exists(folder.path("log.db")));  // nobody's
    log.set_who("Ann");
    EXPECT_TRUE(log.keep(copied()).ok());
    EXPECT_EQ(log.record().copied, 1);
    EXPECT_EQ(log.record().levels.at(0).groups_a_minute, 9.0);
    log.set_who("Bea");
    EXPECT_EQ(log.record().copied, 0);
}

TEST(PracticeLog, ALogThatIsNoneIsSaidAndLeftAsItIs) {
    const TestFolder folder;
    std::ofstream(folder.path("log.db")) << "no data base at all, but a text of some length";
    PracticeLog log(folder.path("log.db"));
    log.set_who("Ann");
    EXPECT_EQ(log.record().copied, 0);
    EXPECT_FALSE(log.problem().empty());
    EXPECT_FALSE(log.keep(copied()).ok());
}

}  // namespace
}  // namespace skedlark::gui
