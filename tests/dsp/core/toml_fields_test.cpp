// Every kind of field, right and wrong; TOML 1.0 says what its values are.
#include "dsp/core/toml_fields.h"

#include <gtest/gtest.h>

namespace skedlark {
namespace {

// Reads one field of a one-line file and gives the error, "" for none.
template <typename Read>
std::string problem(const std::string& text, Read read) {
    const auto table = parse_toml(text, "a.toml");
    if (!table) return table.error().message;
    TomlProblems problems{"a.toml"};
    TomlFields fields(*table, "thing", problems);
    read(fields);
    return problems.first ? problems.first->message : "";
}

TEST(TomlFields, NumbersWithinTheirRange) {
    const auto read = [](TomlFields& f) { (void)f.number("x", {1.0, 10.0, "kHz"}); };
    EXPECT_EQ(problem("x = 1", read), "");
    EXPECT_EQ(problem("x = 10.0", read), "");
    for (const char* bad : {"-1", "0.999", "10.5", "nan", "inf", "-inf", "'5'", "true", "[1]",
                            "{a=1}", "2026-11-26", "10:30:00", "2026-11-26T18:30:00Z"}) {
        const std::string message = problem(std::string("\nx = ") + bad, read);
        EXPECT_EQ(message.rfind("a.toml:2: thing: x: ", 0), 0U) << bad << ": " << message;
        EXPECT_NE(message.find("allowed: 1 to 10 kHz"), std::string::npos) << message;
    }
    EXPECT_EQ(problem("y = 1", read), "a.toml:1: thing: x: is missing");
    const auto whole = [](TomlFields& f) { (void)f.whole("x", {1.0, 10.0}); };
    EXPECT_EQ(problem("x = 3.0", whole), "");
    EXPECT_NE(problem("x = 3.5", whole).find("whole"), std::string::npos);
}

TEST(TomlFields, NumbersOfAnySizeTablesAndLists) {
    double number = 0.0;
    const auto any = [&](TomlFields& f) { number = f.any_number("x"); };
    EXPECT_EQ(problem("x = -1e300", any), "");
    EXPECT_EQ(number, -1e300);
    EXPECT_EQ(problem("x = 'a'", any), "a.toml:1: thing: x: 'a'; allowed: a number");
    std::size_t size = 7;
    const auto table = [&](TomlFields& f) { size = f.table("x").size(); };
    EXPECT_EQ(problem("[x]\na = 1", table), "");
    EXPECT_EQ(size, 1U);
    EXPECT_EQ(problem("y = 1", table), "");
    EXPECT_EQ(size, 0U);
    EXPECT_EQ(problem("x = 1", table), "a.toml:1: thing: x: 1; allowed: a table, headed [x]");
    const auto list = [&](TomlFields& f) { size = f.list("x") == nullptr ? 0 : 1; };
    EXPECT_EQ(problem("x = []", list), "");
    EXPECT_EQ(problem("y = 1", list), "a.toml:1: thing: x: is missing");
    EXPECT_NE(problem("x = 1", list).find("allowed: a list"), std::string::npos);
}

TEST(TomlFields, TimesMustSayThatTheyAreUtc) {
    UtcTime time{};
    const auto read = [&](TomlFields& f) { time = f.utc("x"); };
    EXPECT_EQ(problem("x = 2026-11-26T18:30:00Z", read), "");
    EXPECT_EQ(time, *parse_utc("2026-11-26T18:30Z"));
    EXPECT_EQ(problem("x = 2026-11-26T19:30:00.5+01:00", read), "");
    EXPECT_EQ(time, *parse_utc("2026-11-26T18:30:00.500Z"));
    EXPECT_EQ(problem("x = '2026-11-26T18:30Z'", read), "");
    EXPECT_NE(problem("x = 2026-11-26T18:30:00", read).find("does not say that it is UTC"),
              std::string::npos);
    for (const char* bad : {"'2026-11-26T18:30'", "2026-11-26", "18:30:00", "'soon'", "5",
                            "'2026-02-30T10:00Z'", "0001-01-01T00:00:00Z"}) {
        EXPECT_NE(problem(std::string("x = ") + bad, read).find("a.toml:1: thing: x"),
                  std::string::npos)
            << bad;
    }
}

TEST(TomlFields, DatesAlone) {
    const auto read = [](TomlFields& f) { (void)f.dates("x"); };
    EXPECT_EQ(problem("x = [2026-12-24, '2026-12-25']", read), "");
    EXPECT_NE(problem("x = 2026-12-24", read).find("list of dates"), std::string::npos);
    EXPECT_NE(problem("x = [2026-12-24T10:00:00Z]", read).find("2026-11-26"), std::string::npos);
    const auto one = [](TomlFields& f) { (void)f.date("x"); };
    EXPECT_EQ(problem("x = 2026-12-24", one), "");
    EXPECT_NE(problem("x = 1", one).find("a date such as"), std::string::npos);
}

TEST(TomlFields, TextsAndCalls) {
    const auto read = [](TomlFields& f) { (void)f.text("x"); };
    EXPECT_EQ(problem("x = 'hut'", read), "");
    for (const std::string& bad :
         std::vector<std::string>{"''", "5", "\"a\\u0007b\"", "'" + std::string(201, 'a') + "'"}) {
        EXPECT_NE(problem("x = " + bad, read).find("allowed: text"), std::string::npos) << bad;
    }
    std::string call;
    const auto read_call = [&](TomlFields& f) { call = f.call("x"); };
    EXPECT_EQ(problem("x = 'qva7/p'", read_call), "");
    EXPECT_EQ(call, "QVA7/P");
    EXPECT_NE(problem("x = 'Q'", read_call).find("not a call"), std::string::npos);
    EXPECT_NE(problem("x = 'QVA 7'", read_call).find("not a call"), std::string::npos);
}

TEST(TomlFields, UnknownFieldsAreNamed) {
    const auto read = [](TomlFields& f) {
        (void)f.text("name");
        f.refuse_unknown();
    };
    EXPECT_EQ(problem("name = 'a'", read), "");
    const std::string message = problem("name = 'a'\nnmae = 'b'", read);
    EXPECT_EQ(message, "a.toml:2: thing: nmae: is not known here; allowed: name");
}

TEST(TomlFields, TablesMustBeTables) {
    const auto read = [](TomlFields& f) { (void)f.tables("x"); };
    EXPECT_EQ(problem("[[x]]\na = 1\n[[x]]", read), "");
    for (const char* bad : {"x = 1", "[x]\na = 1", "x = [1]", "x = [{a = 1}, 2]"}) {
        EXPECT_NE(problem(bad, read).find("[[x]]"), std::string::npos) << bad;
    }
}

TEST(TomlFields, WhatIsNoTomlNamesTheLine) {
    const auto table = parse_toml("a = 1\nb = = 2\n", "a.toml");
    ASSERT_FALSE(table);
    EXPECT_EQ(table.error().code, ErrorCode::damaged);
    EXPECT_EQ(table.error().message.rfind("a.toml:2: not TOML", 0), 0U) << table.error().message;
    EXPECT_FALSE(parse_toml(std::string((1U << 20U) + 1, '#'), "a.toml"));
    EXPECT_FALSE(parse_toml("a = '\xFF\xFE'", "a.toml"));
    EXPECT_FALSE(parse_toml("a = " + std::string(5000, '['), "a.toml"));
}

TEST(TomlFields, FilesThatAreNone) {
    EXPECT_EQ(parse_toml_file("/nonexistent/plan.toml").error().code, ErrorCode::not_found);
    EXPECT_EQ(parse_toml_file("/tmp").error().code, ErrorCode::unreadable);
    EXPECT_EQ(parse_toml_file("/dev/zero").error().code, ErrorCode::damaged);
}

}  // namespace
}  // namespace skedlark
