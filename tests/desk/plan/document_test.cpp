// Files through the texts of the form and back; each mistake at its field.
#include "gui/plan/document.h"

#include <gtest/gtest.h>

#include <random>

#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"
#include "dsp/station/plan_writer.h"
#include "tests/dsp/station/random_plan.h"
#include "tests/support/seed.h"

namespace skedlark::gui {
namespace {

Document example_plan() {
    const auto text = read_text_file(EXAMPLE_PLAN, 1 << 20);
    return *document_of(plan_schema(), *text, "plan");
}
Document example_receiver() {
    const auto text = read_text_file(EXAMPLE_RECEIVER, 1 << 20);
    return *document_of(receiver_schema(), *text, "receiver");
}
Entry& entry(const Schema& schema, Document& document, const std::string& title) {
    for (Entry& each : document) {
        if (title_of(schema, each) == title) return each;
    }
    throw std::runtime_error(title);
}

TEST(Document, TheExamplePlanIsTheSameAfterwards) {
    const auto before = station::read_plan(EXAMPLE_PLAN);
    const auto after = station::read_plan_text(toml_of(plan_schema(), example_plan()), "after");
    ASSERT_TRUE(after) << after.error().message;
    EXPECT_EQ(station::plan_toml(*before), station::plan_toml(*after));
    EXPECT_TRUE(problems_of(plan_schema(), example_plan()).empty());
    Document plan = example_plan();
    EXPECT_EQ(entry(plan_schema(), plan, "contact evening").value("start"), "2026-11-20T18:30Z");
}

TEST(Document, RandomPlansAreTheSameAfterwards) {
    std::mt19937 random(static_cast<unsigned>(support::test_seed(12)));
    for (int run = 0; run < 100; ++run) {
        const std::string text = station::plan_toml(station::test::random_plan(random));
        const auto document = document_of(plan_schema(), text, "plan");
        ASSERT_TRUE(document) << document.error().message;
        const auto back = station::read_plan_text(toml_of(plan_schema(), *document), "back");
        ASSERT_TRUE(back) << back.error().message << "\n" << text;
        ASSERT_EQ(station::plan_toml(*back), text);
    }
}

TEST(Document, TheExampleReceiverIsTheSameAfterwards) {
    const auto before = dial::read_receiver(EXAMPLE_RECEIVER);
    const auto after =
        dial::parse_receiver(toml_of(receiver_schema(), example_receiver()), "after");
    ASSERT_TRUE(after) << after.error().message;
    EXPECT_EQ(dial::receiver_toml(*before), dial::receiver_toml(*after));
}

struct Wrong {
    const char* title;
    const char* key;
    const char* typed;
    const char* said;
};

TEST(Document, EachMistakeInAPlanStandsAtItsField) {
    for (const Wrong& wrong : std::initializer_list<Wrong>{
             {"contact evening", "receive_khz", "-5", "-5; allowed: 100 to 60000 kHz"},
             {"contact evening", "receive_khz", "3,57", "'3,57'; allowed: 100 to 60000 kHz"},
             {"contact evening", "receive_khz", "", "is missing"},
             {"contact evening", "start", "18:30", "'18:30'; allowed: a date and time"},
             {"contact evening", "start", "2026-11-20T18:30", "allowed: a date and time of UTC"},
             {"contact evening", "station", "QXX9", "'QXX9' is not in the plan; allowed: QXB2"},
             {"contact evening", "repeat", "often", "'often' is not a repeat rule"},
             {"contact evening", "except", "2026-12-24 soon", "'soon'; allowed: a date"},
             {"contact evening", "give_up_min", "30", "30; allowed: up to duration_min (20)"},
             {"    fallback 30", "answer_crystal", "K9", "'K9' is not in the plan"},
             {"battery shelf", "charge_ratio", "", "is missing"},
             {"transmitter band 1", "to_khz", "2000", "2000 is not above from_khz"},
             {"plan", "call", "Q", "'Q' is not a call"},
             {"plan", "zone", "Europe/Nowhere", "Europe/Nowhere"},
         }) {
        Document plan = example_plan();
        entry(plan_schema(), plan, wrong.title).values[wrong.key] = wrong.typed;
        const auto problems = problems_of(plan_schema(), plan);
        ASSERT_FALSE(problems.empty()) << wrong.key << " " << wrong.typed;
        const Problem& first = problems[0];
        ASSERT_TRUE(first.entry) << first.said;
        EXPECT_EQ(title_of(plan_schema(), plan[*first.entry]), wrong.title) << first.said;
        EXPECT_EQ(first.key, wrong.key) << first.said;
        EXPECT_NE(first.said.find(wrong.said), std::string::npos) << first.said;
    }
}

TEST(Document, EachMistakeInAReceiverStandsAtItsField) {
    for (const Wrong& wrong : std::initializer_list<Wrong>{
             {"dial", "reading_sd_div", "50", "50 is not allowed; allowed: 0.001 to 10"},
             {"dial", "to_div", "-1", "-1 is not above dial.from_div"},
             {"beat", "listen", "beside", ""},
             {"audio", "pitch_hz", "9000", "9000 is not allowed"},
             {"band 2", "to_mhz", "much", "'much'; allowed: a number"},
             {"band 2", "from_mhz", "0", "0 is not allowed; allowed: 0.01 to 1000"},
             {"band 2", "points", "3 2.924\n14 x\n25 3.345", "not [division, MHz]"},
             {"band 2", "points", "3 2.924\n14 3.112\n12 3.345", "does not rise above"},
         }) {
        Document set = example_receiver();
        const std::string title =
            std::string(wrong.title) == "beat" ? "beat oscillator" : wrong.title;
        entry(receiver_schema(), set, title).values[wrong.key] = wrong.typed;
        const auto problems = problems_of(receiver_schema(), set);
        ASSERT_FALSE(problems.empty()) << wrong.key << " " << wrong.typed;
        const Problem& first = problems[0];
        ASSERT_TRUE(first.entry) << first.said;
        EXPECT_EQ(title_of(receiver_schema(), set[*first.entry]), title) << first.said;
        EXPECT_EQ(first.key, wrong.key) << first.said;
        EXPECT_NE(first.said.find(wrong.said), std::string::npos) << first.said;
    }
}

TEST(Document, SeveralMistakesAreAllTold) {
    Document plan = example_plan();
    entry(plan_schema(), plan, "contact evening").values["receive_khz"] = "-5";
    entry(plan_schema(), plan, "contact saddle").values["duration_min"] = "long";
    EXPECT_EQ(problems_of(plan_schema(), plan).size(), 2U);
}

TEST(Document, AFallbackGoesBehindTheContactAtHand) {
    Document plan = example_plan();
    const Schema& schema = plan_schema();
    std::size_t fallback = 0;
    while (std::string(schema.sections[fallback].table) != "fallback") ++fallback;
    std::size_t evening = 0;
    while (title_of(schema, plan[evening]) != "contact evening") ++evening;
    EXPECT_EQ(place_for(schema, plan, fallback, evening), evening + 3) << "it has two";
    EXPECT_EQ(end_of(schema, plan, evening), evening + 3);
}

TEST(Document, ANewPlanSaysWhatIsMissing) {
    const auto problems = problems_of(plan_schema(), new_document(plan_schema()));
    ASSERT_FALSE(problems.empty());
    EXPECT_EQ(problems[0].key, "call");
}

}  // namespace
}  // namespace skedlark::gui
