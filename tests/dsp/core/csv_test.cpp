#include "dsp/core/csv.h"

#include <gtest/gtest.h>

#include <string>

namespace skedlark::csv {
namespace {

TEST(Csv, NumbersAreWholeAndFinite) {
    EXPECT_EQ(number(" +3.5\r"), 3.5);
    EXPECT_EQ(number("\"-1e3\""), -1000.0);
    for (const char* none : {"", " ", "3 4", "3x", "nan", "inf", "1e999", "0x10", "++1", ","})
        EXPECT_FALSE(number(none)) << none;
}

TEST(Csv, FieldsKeepTheirPlace) {
    EXPECT_EQ(fields_of("a, b ,,\"c\""), (std::vector<std::string_view>{"a", "b", "", "c"}));
    EXPECT_EQ(fields_of("").size(), 1U);
}

TEST(Csv, LinesAreNumberedAsInTheFile) {
    std::string seen;
    const auto note = [&](std::string_view line, int at) -> Status {
        seen += std::to_string(at) + ":" + std::string(line) + ";";
        return Done{};
    };
    EXPECT_TRUE(each_line("one\r\n\n# remark\n  two", note));
    EXPECT_EQ(seen, "1:one;4:two;");
    seen.clear();
    EXPECT_TRUE(each_line("", note));
    EXPECT_EQ(seen, "");
}

TEST(Csv, TheFirstErrorEndsIt) {
    int lines = 0;
    const Status status = each_line("1\n2\n3", [&](std::string_view, int at) -> Status {
        ++lines;
        if (at == 2) return Error{ErrorCode::damaged, "two"};
        return Done{};
    });
    ASSERT_FALSE(status);
    EXPECT_EQ(status.error().message, "two");
    EXPECT_EQ(lines, 2);
}

TEST(Csv, AHeadingHasNoDigits) {
    EXPECT_TRUE(is_heading("seconds,division"));
    EXPECT_FALSE(is_heading("1,2"));
}

}  // namespace
}  // namespace skedlark::csv
