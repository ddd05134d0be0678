#include "tests/support/csv.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <filesystem>

namespace skedlark::support {
namespace {

TEST(Csv, RoundTripWithQuotesAndNotes) {
    CsvTable table({"hand", "snr_2500hz_db", "cer"});
    table.add_note("seeds 1000 to 1019");
    table.add_row({"steady, slow", cell(-5.0, 1), cell(0.01234, 4)});
    table.add_row({"said \"so\"", cell(5.0, 1), cell(std::nan(""), 4)});
    const auto back = CsvTable::parse(table.text(), "table");
    ASSERT_TRUE(back.ok());
    EXPECT_EQ(back->columns(), table.columns());
    EXPECT_EQ(back->rows(), table.rows());
    EXPECT_EQ(back->text(), table.text());
    EXPECT_EQ(back->rows()[0][1], "-5.0");
    EXPECT_EQ(back->rows()[1][2], "nan");
}

TEST(Csv, WrongWidthNamesTheLine) {
    const auto bad = CsvTable::parse("a,b\n1,2\n3\n", "bad.csv");
    ASSERT_FALSE(bad.ok());
    EXPECT_EQ(bad.error().message, "bad.csv:3: 1 cells, the header has 2");
    EXPECT_FALSE(CsvTable::parse("", "empty.csv").ok());
}

TEST(Csv, WritesWholeOrNotAtAll) {
    const std::string path =
        (std::filesystem::temp_directory_path() / "skedlark_csv_test.csv").string();
    CsvTable table({"x"});
    table.add_row({cell(3L)});
    ASSERT_TRUE(table.write(path).ok());
    const auto back = CsvTable::read(path);
    ASSERT_TRUE(back.ok());
    EXPECT_EQ(back->rows()[0][0], "3");
    EXPECT_FALSE(std::filesystem::exists(path + ".part"));
    std::remove(path.c_str());
    EXPECT_FALSE(table.write("/nonexistent/folder/x.csv").ok());
    EXPECT_FALSE(CsvTable::read(path).ok());
}

}  // namespace
}  // namespace skedlark::support
