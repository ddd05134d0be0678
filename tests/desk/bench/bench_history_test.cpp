#include "gui/bench/bench_history.h"

#include <gtest/gtest.h>

#include "tests/dsp/log/temp_folder.h"

namespace skedlark::gui {
namespace {

BenchDone done_of(double sinad_db) {
    BenchDone done;
    done.sheet = {.test = "tone", .input = "card", .sample_rate_hz = 8000.0, .seconds = 10.0};
    done.sheet.report.measurements = {
        {.name = "sinad_db", .figure = {sinad_db, 0.2}, .what = "SINAD"}};
    done.kept = sinad_db > 12.0;
    done.live = true;
    return done;
}

TEST(BenchHistory, KeepsAndFindsThoseOfTheReceiverAndTest) {
    const log::TempFolder folder;
    BenchHistory history;
    history.set_file(folder.path("log.db"));
    EXPECT_TRUE(history.earlier("tone", "hut set")->empty()) << "no log yet is no mistake";
    const UtcTime noon{std::chrono::milliseconds(1796385600000)};  // 2026-12-04 12:00 UTC
    EXPECT_EQ(*history.keep(done_of(5.0), "Ida", "hut set", noon), 1);
    EXPECT_EQ(*history.keep(done_of(20.0), "Ida", "other", noon), 2);
    EXPECT_EQ(*history.keep(done_of(21.0), "Ida", "hut set", noon + std::chrono::hours(1)), 3);
    const auto found = history.earlier("tone", "hut set");
    ASSERT_TRUE(found) << found.error().message;
    ASSERT_EQ(found->size(), 2U);
    EXPECT_EQ(found->front().id, 3) << "the newest first";
    EXPECT_EQ(found->back().who, "Ida");
    EXPECT_EQ(entry_words(found->back()), "1: 2026-12-04 11:59 UTC, FAIL") << "when it began";
    EXPECT_TRUE(history.earlier("hum", "hut set")->empty());
    const auto changes = log::compare_bench(found->back(), found->front());
    ASSERT_TRUE(changes);
    EXPECT_EQ(changes->changes.front().changed, true);
}

TEST(BenchHistory, ALogThatIsNoneIsSaid) {
    const log::TempFolder folder;
    BenchHistory history;
    history.set_file(folder.put("log.db", "this is no log"));
    EXPECT_FALSE(history.keep(done_of(5.0), "", "", UtcTime{}).ok());
    EXPECT_FALSE(history.earlier("tone", "").ok());
    EXPECT_EQ(log::bytes_of(folder.path("log.db")), "this is no log");
}

}  // namespace
}  // namespace skedlark::gui
