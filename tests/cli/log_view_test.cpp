// Lines cut by hand-counted columns; CSV by RFC 4180.
#include "cli/log_view.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

namespace skedlark::cli {
namespace {

TEST(LogView, LinesAreCutBetweenCharacters) {
    EXPECT_EQ(cut_to("abc", 3), "abc");
    EXPECT_EQ(cut_to("abcdef", 5), "ab...");
    EXPECT_EQ(cut_to("\xC3\xBC\xC3\xB6\xC3\xA4\xC3\xBC\xC3\xB6\xC3\xA4", 5), "\xC3\xBC\xC3\xB6...");
    EXPECT_EQ(cut_to("a\nb\tc\x1b[2J", 20), "a b c [2J") << "nothing that moves the cursor";
    EXPECT_EQ(cut_to("", 5), "");
}

TEST(LogView, TablesStayWithin80Columns) {
    log::Entry entry;
    entry.id = 12345;
    entry.kind = "something long";
    entry.contact = std::string(50, 'c');
    entry.outcome = "outcome of old";
    entry.reason = std::string(500, 'r');
    std::istringstream lines(entry_table({entry}));
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

TEST(LogView, NumbersThatWereNotMeasuredAreNullOrEmpty) {
    log::Entry entry;
    entry.stations.push_back({1});
    entry.note = "bad bytes \xFF";
    const auto json = nlohmann::json::parse(json_line(entry));
    EXPECT_TRUE(json["seconds"].is_null());
    EXPECT_TRUE(json["stations"][0]["pitch_hz"].is_null());
    EXPECT_TRUE(json["stations"][0]["keyed"].is_null());
    EXPECT_NE(csv_of({entry}).find(",,,,\r\n"), std::string::npos) << csv_of({entry});
}

TEST(LogView, AnEntryInFullSaysWhatIsKnown) {
    log::Entry entry;
    entry.contact = "evening";
    entry.measurements.push_back({"sinad_db", 18.5, 0.5, 12.0, true});
    const std::string text = entry_text(entry);
    EXPECT_NE(text.find("sinad_db = 18.5 +-0.5, limit 12, pass"), std::string::npos) << text;
    EXPECT_NE(text.find("contact   evening"), std::string::npos);
    EXPECT_EQ(text.find("reason"), std::string::npos) << "what is empty is left out";
}

}  // namespace
}  // namespace skedlark::cli
