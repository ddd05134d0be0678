// Times worked out by hand.
#include "dsp/station/due.h"

#include "tests/dsp/station/plans.h"

namespace skedlark::station {
namespace {

Plan two() {
    return plan_of(std::string(kKit) +
                   contact("evening", "2026-11-20T18:30:00Z", 20,
                           "repeat = \"daily\"\n[[contact.fallback]]\nafter_min = 40\n"
                           "duration_min = 10\nreceive_khz = 3600") +
                   contact("once", "2026-11-26T19:00:00Z", 10));
}

std::string names(const Plan& plan, const std::vector<Occurrence>& due) {
    std::string text;
    for (const Occurrence& one : due) {
        text += plan.contacts[one.contact].name + " " + utc_text(one.start).substr(5, 11) + "; ";
    }
    return text;
}

TEST(Due, TheSoonestFirst) {
    const Plan plan = two();
    EXPECT_EQ(names(plan, due_from(plan, at("2026-11-26T12:00Z"), 3)),
              "evening 11-26T18:30; once 11-26T19:00; evening 11-27T18:30; ");
    EXPECT_EQ(names(plan, due_from(plan, at("2030-01-01"), 1)), "evening 01-01T18:30; ");
    EXPECT_EQ(names(plan, due_from(plan, at("2026-11-26T12:00Z"), 0)), "");
}

// 18:30 with a fallback from 19:10 to 19:20.
TEST(Due, AContactCountsUntilItsLastFallbackIsOver) {
    const Plan plan = two();
    EXPECT_EQ(names(plan, due_from(plan, at("2026-11-26T19:19Z"), 1)), "evening 11-26T18:30; ");
    EXPECT_EQ(names(plan, due_from(plan, at("2026-11-26T19:20Z"), 1)), "evening 11-27T18:30; ");
    const Occurrence one = due_from(plan, at("2026-11-26T12:00Z"), 1)[0];
    EXPECT_EQ(one.switch_on, at("2026-11-26T18:00Z"));
    EXPECT_EQ(one.end, at("2026-11-26T18:50Z"));
    EXPECT_EQ(one.last_end, at("2026-11-26T19:20Z"));
}

TEST(Due, BetweenTwoTimesAndTheLastOne) {
    const Plan plan = two();
    EXPECT_EQ(names(plan, due_between(plan, at("2026-11-26T18:30Z"), at("2026-11-27T18:30Z"))),
              "evening 11-26T18:30; once 11-26T19:00; ");
    EXPECT_EQ(last_before(plan, at("2026-11-26T18:30Z"))->start, at("2026-11-25T18:30Z"));
    EXPECT_EQ(last_before(plan, at("2026-11-27T00:00Z"))->start, at("2026-11-26T19:00Z"));
    EXPECT_FALSE(last_before(plan, at("2026-11-20T18:30Z")));
}

TEST(Due, PastContactsAloneGiveNothing) {
    const Plan plan = plan_of(std::string(kKit) + contact("once", "2026-11-26T19:00:00Z", 10));
    EXPECT_TRUE(due_from(plan, at("2026-11-26T19:10Z"), 5).empty());
}

}  // namespace
}  // namespace skedlark::station
