#include "dsp/dial/marks_file.h"

#include <gtest/gtest.h>

namespace skedlark::dial {
namespace {

void fails(std::string_view csv, const std::string& message) {
    const auto marks = parse_marks(csv, "m.csv");
    ASSERT_FALSE(marks.ok()) << csv;
    EXPECT_NE(marks.error().message.find(message), std::string::npos) << marks.error().message;
}

TEST(MarksFile, ReadsWhatPeopleWrite) {
    const auto marks = parse_marks(
        "# evening\r\nseconds,division\r\n0,50\r\n 12.5 , 51 \r\n\r\n\"25\",\"52\"\r\n", "m.csv");
    ASSERT_TRUE(marks.ok()) << marks.error().message;
    ASSERT_EQ(marks->size(), 3U);
    EXPECT_EQ((*marks)[1].at_s, 12.5);
    EXPECT_EQ((*marks)[2].div, 52.0);
}

TEST(MarksFile, ErrorsNameTheLine) {
    fails("0,50\n10;51\n", "m.csv:2: '10;51'");
    fails("0,50\nten,51\n", "m.csv:2");
    fails("0,50\n10,51\n10,52\n", "m.csv:3: seconds: 10");
    fails("0,50\n-1,51\n", "m.csv:2: seconds: -1");
    fails("0,50\n1,1e9\n", "m.csv:2: division");
    fails("0,50\n1,nan\n", "m.csv:2");
    fails("0,50\n", "m.csv: 1 mark, allowed 2 or more");
    fails("", "m.csv: 0 marks");
    fails("x,y\n0,50\n1,51\n", "m.csv:1");
    EXPECT_EQ(read_marks("/no/such/file.csv").error().code, ErrorCode::not_found);
}

}  // namespace
}  // namespace skedlark::dial
