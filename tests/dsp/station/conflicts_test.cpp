// One plan for each kind of conflict, and none for a plan that works.
#include "dsp/station/conflicts.h"

#include "tests/dsp/station/plans.h"

namespace skedlark::station {
namespace {

std::vector<Conflict> conflicts(const std::string& text, const DialLookup& dial = {}) {
    return find_conflicts(plan_of(std::string(kKit) + text), at("2026-11-26T00:00Z"),
                          at("2026-12-03T00:00Z"), dial);
}

std::string kinds(const std::vector<Conflict>& all) {
    std::string text;
    for (const Conflict& one : all) text += std::string(name_of(one.kind)) + " ";
    return text;
}

TEST(Conflicts, APlanThatWorksHasNone) {
    const auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan);
    EXPECT_EQ(kinds(find_conflicts(*plan, at("2026-11-26T12:00Z"), at("2026-12-26T12:00Z"))), "");
}

TEST(Conflicts, OverlapsAreToldOnce) {
    const auto found = conflicts(contact("a", "2026-11-20T18:30:00Z", 20, "repeat = \"daily\"") +
                                 contact("b", "2026-11-20T18:49:00Z", 20, "repeat = \"daily\""));
    ASSERT_EQ(kinds(found), "overlap ");
    EXPECT_EQ(found[0].at, at("2026-11-26T18:49Z"));
    EXPECT_NE(found[0].said.find("\"a\" and \"b\" overlap"), std::string::npos) << found[0].said;
    EXPECT_EQ(kinds(conflicts(contact("a", "2026-11-26T18:30:00Z", 20) +
                              contact("b", "2026-11-26T18:50:00Z", 20))),
              "")
        << "one after the other is no overlap";
}

TEST(Conflicts, FallbacksInTheWayOfOthers) {
    const std::string fallback =
        "[[contact.fallback]]\nafter_min = 40\nduration_min = 10\nreceive_khz = 3600\n";
    EXPECT_EQ(kinds(conflicts(contact("a", "2026-11-26T18:30:00Z", 20, fallback) +
                              contact("b", "2026-11-26T19:15:00Z", 20))),
              "fallback_overlap ");
    EXPECT_EQ(kinds(conflicts(contact("a", "2026-11-26T18:30:00Z", 20, fallback) +
                              contact("b", "2026-11-26T18:55:00Z", 10))),
              "");
}

TEST(Conflicts, NoCrystalOrBand) {
    const auto found = conflicts(contact("a", "2026-11-26T18:30:00Z", 20, "answer_khz = 4000"));
    ASSERT_EQ(kinds(found), "no_answer ");
    EXPECT_NE(found[0].said.find("4000 kHz"), std::string::npos);
    EXPECT_EQ(kinds(conflicts(contact("a", "2026-11-26T18:30:00Z", 20,
                                      "[[contact.fallback]]\nafter_min = 40\nreceive_khz = 3600\n"
                                      "answer_khz = 4000\n"))),
              "no_answer ");
}

TEST(Conflicts, TheReceiverDoesNotCoverIt) {
    const DialLookup dial = [](double khz) {
        DialSetting setting;
        if (khz < 3580.0) setting.problem = "3570 kHz is in no band of the receiver";
        return setting;
    };
    EXPECT_EQ(kinds(conflicts(contact("a", "2026-11-26T18:30:00Z", 20), dial)),
              "no_receiver_band ");
}

TEST(Conflicts, BatteryFlatBeforeOrDuring) {
    const auto with = [](double receive_h) {
        return "[[battery]]\nname = \"b\"\nreceive_h = " + std::to_string(receive_h) +
               "\ncharge_ratio = 5\n" + contact("a", "2026-11-26T18:30:00Z", 60, "sending_min = 0");
    };
    // Half an hour of warm-up, then the contact.
    const auto before = conflicts(with(0.4));
    ASSERT_EQ(kinds(before), "battery_flat ");
    EXPECT_NE(before[0].said.find("is flat before \"a\""), std::string::npos) << before[0].said;
    const auto during = conflicts(with(1.0));
    ASSERT_EQ(kinds(during), "battery_flat ");
    EXPECT_NE(during[0].said.find("before the end of"), std::string::npos) << during[0].said;
    EXPECT_EQ(kinds(conflicts(with(1.6))), "");
}

TEST(Conflicts, OnTheChargerAndPastOnly) {
    EXPECT_EQ(kinds(conflicts("[[battery]]\nname = \"b\"\nreceive_h = 10\ncharge_ratio = 5\n" +
                              contact("a", "2026-11-26T18:30:00Z", 60) +
                              "[[charging]]\nstart = 2026-11-26T18:00:00Z\nduration_min = 45\n")),
              "on_charger ");
    const auto past = conflicts(contact("a", "2026-11-20T18:30:00Z", 60));
    ASSERT_EQ(kinds(past), "past_only ");
    EXPECT_NE(past[0].said.find("line 22"), std::string::npos) << past[0].said;
}

// A rule that comes round all day long must not take all day to check.
TEST(Conflicts, CrowdedPlansEnd) {
    std::string text;
    for (int i = 0; i < 8; ++i) {
        text += contact("c" + std::to_string(i), "2026-11-20T00:00:00Z", 10,
                        "repeat = \"every 10 min\"\n[[contact.fallback]]\nafter_min = 1440\n"
                        "receive_khz = 3600\n");
    }
    EXPECT_FALSE(conflicts(text).empty());
}

}  // namespace
}  // namespace skedlark::station
