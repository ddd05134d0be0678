#include "gui/bench/bench_steps.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "dsp/bench/limits.h"

namespace skedlark::gui {
namespace {

std::vector<std::string> ids_of(const std::vector<BenchStep>& steps) {
    std::vector<std::string> ids;
    for (const BenchStep& step : steps) ids.push_back(step.id);
    return ids;
}

TEST(BenchSteps, EveryTestOfTheLimitsIsOnThePageAndEveryStepSaysWhatToDo) {
    std::set<std::string> names;
    for (const BenchKind& kind : bench_kinds()) {
        names.insert(kind.name);
        const auto steps = steps_of(kind, standard_texts(kind));
        ASSERT_TRUE(steps) << kind.name << ": " << steps.error().message;
        std::set<std::string> ids;
        for (const BenchStep& step : *steps) {
            EXPECT_GT(step.words.size(), 15U) << kind.name << " " << step.title;
            EXPECT_TRUE(ids.insert(step.id).second) << step.id;
            if (step.kind == StepKind::record) {
                EXPECT_GE(step.seconds, 2.0);
            }
        }
        EXPECT_EQ(steps->front().kind, StepKind::look);
        EXPECT_EQ(steps->back().kind, kind.name == "peak" ? StepKind::run : StepKind::result);
    }
    for (const bench::MeasurementKind& kind : bench::measurement_kinds())
        EXPECT_TRUE(names.contains(std::string(kind.test))) << kind.test;
    EXPECT_TRUE(names.contains("peak"));
    EXPECT_EQ(names.size(), 11U);
}

// Where it can hurt it is said at that step, deferring to the rules and people of the place.
TEST(BenchSteps, CautionsStandWhereTheyMatter) {
    for (const char* test : {"hum", "contacts", "ring", "peak"}) {
        const auto steps = steps_of(kind_named(test), standard_texts(kind_named(test)));
        const std::string& caution = steps->front().caution;
        for (const char* word : {"lethal", "discharged", "isolation", "one hand", "licensed"})
            EXPECT_NE(caution.find(word), std::string::npos) << test << " " << word;
    }
    for (const char* test : {"tone", "sensitivity"}) {
        const auto steps = steps_of(kind_named(test), standard_texts(kind_named(test)));
        EXPECT_NE(steps->front().caution.find("headphones off the ears"), std::string::npos);
    }
    const auto steps = steps_of(kind_named("rundown"), standard_texts(kind_named("rundown")));
    EXPECT_NE(steps->front().caution.find("ventilate"), std::string::npos);
}

TEST(BenchSteps, ASeriesIsAStepALevelAtEachPoint) {
    const BenchKind& kind = kind_named("sensitivity");
    FieldTexts texts = standard_texts(kind);
    EXPECT_EQ(ids_of(*steps_of(kind, texts)),
              (std::vector<std::string>{"connect", "on", "off", "result"}));
    texts["way"] = "levels";
    texts["levels"] = "-120 -115";
    EXPECT_EQ(ids_of(*steps_of(kind, texts)),
              (std::vector<std::string>{"connect", "off", "-120", "-115", "result"}));
    texts["points"] = "3.5 3.6";
    const auto points = *steps_of(kind, texts);
    EXPECT_EQ(points.size(), 8U);
    EXPECT_EQ(points[5].id, "3.6 MHz -120");
    texts["way"] = "levels and image";
    texts["image_levels"] = "-80";
    EXPECT_EQ(ids_of(*steps_of(kind, texts)),
              (std::vector<std::string>{"connect", "off", "-120", "-115", "image", "image off",
                                        "image -80", "result"}));
    texts["levels"] = "-115 -120";
    const auto wrong = steps_of(kind, texts);
    ASSERT_FALSE(wrong);
    EXPECT_NE(wrong.error().message.find("must rise"), std::string::npos);
    texts["levels"] = "";
    EXPECT_NE(steps_of(kind, texts).error().message.find("no generator level"), std::string::npos);
}

TEST(BenchSteps, PassbandInItsThreeWaysAndSecondsAsTyped) {
    const BenchKind& kind = kind_named("passband");
    FieldTexts texts = standard_texts(kind);
    EXPECT_EQ(steps_of(kind, texts)->size(), 3U);
    texts["way"] = "a sweep";
    texts["seconds"] = "45";
    EXPECT_EQ((*steps_of(kind, texts))[1].seconds, 45.0);
    texts["seconds"] = "";
    texts["way"] = "steps";
    texts["above"] = "4x0 2x20";
    texts["below"] = "2x0";
    const auto steps = *steps_of(kind, texts);
    EXPECT_EQ(steps.size(), 10U);
    EXPECT_EQ(steps[5].id, "above 5 20");
    EXPECT_EQ(steps[7].id, "below 1 0");
    EXPECT_EQ(steps[7].seconds, 2.0);
    texts["above"] = "2x0";
    texts["below"] = "";
    EXPECT_NE(steps_of(kind, texts).error().message.find("too few"), std::string::npos);
    texts["seconds"] = "9999";
    EXPECT_EQ(steps_of(kind, texts).error().message, "Seconds: '9999', allowed: 1 to 500");
}

TEST(BenchSteps, FieldsAreShownWithTheirWay) {
    const BenchKind& kind = kind_named("sensitivity");
    FieldTexts texts = standard_texts(kind);
    const auto shown = [&](const char* key) {
        for (const BenchField& field : kind.fields) {
            if (field.key == key) return is_shown(field, texts);
        }
        return false;
    };
    EXPECT_FALSE(shown("levels"));
    EXPECT_TRUE(shown("way"));
    texts["way"] = "levels";
    EXPECT_TRUE(shown("levels"));
    EXPECT_FALSE(shown("image_levels"));
}

}  // namespace
}  // namespace skedlark::gui
