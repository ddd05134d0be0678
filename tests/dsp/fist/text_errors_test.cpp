#include "dsp/fist/text_errors.h"

#include "tests/dsp/fist/keyed.h"

namespace skedlark::fist {
namespace {

TEST(TextErrors, EachKindOfErrorIsNamedAndPlaced) {
    struct Case {
        const char* sent;
        FaultOfText kind;
        const char* meant;
        const char* sounded;
        std::size_t at;
    };
    // Meant: PARIS CODEX QVA.
    for (const Case& one : {Case{"PARIS CODYX QVA", FaultOfText::wrong, "E", "Y", 8},
                            Case{"PAIS CODEX QVA", FaultOfText::missing, "R", "", 2},
                            Case{"PARIS CODEX", FaultOfText::missing, "QVA", "", 10},
                            Case{"PARIS CZODEX QVA", FaultOfText::extra, "", "Z", 6},
                            Case{"PARIH CODEX QVA", FaultOfText::wrong, "S", "H", 4},
                            Case{"PARIS CODEX QIA", FaultOfText::wrong, "V", "I", 11}}) {
        const auto errors = left(aligned(one.sent, "PARIS CODEX QVA"));
        ASSERT_EQ(errors.size(), 1U) << one.sent;
        EXPECT_EQ(errors[0].kind, one.kind) << one.sent;
        EXPECT_EQ(errors[0].meant, one.meant) << one.sent;
        EXPECT_EQ(errors[0].sent, one.sounded) << one.sent;
        EXPECT_EQ(errors[0].meant_at, one.at) << one.sent;
    }
    const auto split = left(aligned("PARIS CODEX QVET", "PARIS CODEX QVA"));
    ASSERT_EQ(split.size(), 1U);
    EXPECT_EQ(split[0].kind, FaultOfText::split);
    EXPECT_EQ(split[0].meant, "A");
    EXPECT_EQ(split[0].sent, "E T");
    const auto run = left(aligned("PARIS CODEX QVP", "PARIS CODEX QVAN"));
    ASSERT_EQ(run.size(), 1U);
    EXPECT_EQ(run[0].kind, FaultOfText::run_together);
    EXPECT_EQ(run[0].meant, "AN");
    EXPECT_EQ(run[0].sent, "P");
    EXPECT_EQ(described(run[0]), "\"AN\" run together, like \"P\"");
    EXPECT_EQ(described(left(aligned("PARIH CODEX QVA", "PARIS CODEX QVA"))[0]),
              "\"S\" sounded like \"H\", 1 element too many");
}

TEST(TextErrors, ElementsThatWentWrongAreCounted) {
    const auto more = left(aligned("PARIS COBEX QVA", "PARIS CODEX QVA"));  // D as B: a dot more
    ASSERT_EQ(more.size(), 1U);
    EXPECT_EQ(more[0].put_in, 1);
    const auto fewer = left(aligned("PARIS CODEX QUA", "PARIS CODEX QVA"));  // V as U
    ASSERT_EQ(fewer.size(), 1U);
    EXPECT_EQ(fewer[0].dots_dropped, 1);
    EXPECT_EQ(fewer[0].dots_lost, 0);
    // The same dot keyed, but not sent: its place is held.
    auto marks = marks_of("PARIS CODEX QVA", "machine");
    const double at_s = marks[marks.size() - 5].on_s;
    marks.erase(marks.end() - 5);
    const auto lost = left(aligned(keying_of(marks), "PARIS CODEX QVA"));
    ASSERT_EQ(lost.size(), 1U);
    EXPECT_EQ(lost[0].meant, "V");
    EXPECT_EQ(lost[0].dots_lost, 1);
    EXPECT_NEAR(lost[0].at_s, at_s, 0.5);
}

TEST(TextErrors, HaveTheirNames) {
    EXPECT_EQ(name_of(FaultOfText::wrong), "wrong");
    EXPECT_EQ(name_of(FaultOfText::run_together), "run_together");
    EXPECT_EQ(name_of(FaultOfText::split), "split");
}

}  // namespace
}  // namespace skedlark::fist
