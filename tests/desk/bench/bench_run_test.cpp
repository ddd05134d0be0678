#include "gui/bench/bench_run.h"

#include <gtest/gtest.h>

#include "tests/desk/bench/bench_sounds.h"

namespace skedlark::gui {
namespace {

BenchRun sensitivity() { return BenchRun(kind_named("sensitivity")); }

TEST(BenchRunSteps, GoInOrderAndSayWhatComesFirst) {
    BenchRun run = sensitivity();
    const Status far = run.go(3);
    ASSERT_FALSE(far.ok());
    EXPECT_EQ(far.error().message,
              "Steps go in order: step 1, Connect, comes before step 4, Result.");
    EXPECT_EQ(run.at(), 0U);
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.step().id, "on");
    const Status empty = run.next();
    ASSERT_FALSE(empty.ok());
    EXPECT_EQ(empty.error().message, "Step 2 has not been recorded yet: Generator on. F5 begins.");
}

TEST(BenchRunSteps, AStepIsRepeatedAndTheOthersStay) {
    BenchRun run = sensitivity();
    EXPECT_TRUE(run.next().ok());
    run.keep("on", test::take_of(std::vector<float>(8000, 0.1F)));
    run.go_on_in_series();
    EXPECT_EQ(run.step().id, "off") << "in a series it goes on by itself";
    run.keep("off", test::take_of(std::vector<float>(8000, 0.2F)));
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.step().kind, StepKind::result);
    const auto off = run.takes().at("off").audio;
    const int changes = run.changes();
    EXPECT_TRUE(run.go(1).ok());
    run.keep("on", test::take_of(std::vector<float>(16000, 0.3F)));
    run.go_on_in_series();
    EXPECT_EQ(run.step().id, "on") << "the next is done already";
    EXPECT_EQ(run.takes().at("off").audio, off);
    EXPECT_EQ(run.takes().at("on").seconds, 2.0);
    EXPECT_GT(run.changes(), changes);
    EXPECT_TRUE(run.go(3).ok());
    run.back();
    EXPECT_EQ(run.step().id, "off");
}

TEST(BenchRunSteps, LevelsThatAreStillThereKeepTheirTakes) {
    BenchRun run = sensitivity();
    EXPECT_TRUE(run.set_text("levels", "-120 -115").ok());
    EXPECT_TRUE(run.set_text("way", "levels").ok());
    EXPECT_TRUE(run.next().ok());
    for (const char* id : {"off", "-120", "-115"}) run.keep(id, test::take_of({0.1F}));
    EXPECT_TRUE(run.go(4).ok());
    EXPECT_TRUE(run.set_text("levels", "-120 -118 -115").ok());
    EXPECT_TRUE(run.is_done(2));
    EXPECT_FALSE(run.is_done(3));
    EXPECT_TRUE(run.is_done(4));
    EXPECT_EQ(run.at(), 3U) << "back at what is not done";
    EXPECT_FALSE(run.set_text("levels", "-115 -120").ok());
    run.keep("-118", test::take_of({0.1F}));
    EXPECT_FALSE(run.next().ok()) << "what is wrong in a field stands in the way";
    EXPECT_TRUE(run.set_text("levels", "-120 -118 -115").ok());
    EXPECT_TRUE(run.next().ok());
}

TEST(BenchRunSteps, AStepThatMayBeLeftOut) {
    BenchRun run(kind_named("chain"));
    EXPECT_TRUE(run.next().ok());
    run.keep("closed", test::take_of({0.1F}));
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.step().id, "generator");
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.step().kind, StepKind::result);
}

TEST(BenchRunSteps, ThePeakMeterHasNoResult) {
    BenchRun run(kind_named("peak"));
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.step().kind, StepKind::run);
    EXPECT_TRUE(run.next().ok());
    EXPECT_EQ(run.at(), 1U);
}

}  // namespace
}  // namespace skedlark::gui
