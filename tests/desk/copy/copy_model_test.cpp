// What the page knows, from made-up news; and what is saved of it.
#include "gui/copy/copy_model.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/desk/copy/copied.h"

namespace skedlark::gui {
namespace {

CopyNews news_of(std::string_view text, int tone = 1) {
    CopyNews news;
    news.events.emplace_back(ToneEvent{tone, 8000, 600.0 + 100.0 * tone, true, -3.2, 1e-6});
    for (CharEvent& event : characters_of(text, tone)) {
        news.heard_to = event.to_frame;
        news.events.emplace_back(std::move(event));
    }
    return news;
}

CopyModel begun(std::string_view text) {
    CopyModel model;
    CopyNews news = news_of(text);
    news.began = HeardInput{"evening.flac"};
    ToneSummary now;
    now.tone = 1;
    now.pitch_hz = 700.4;
    now.speed_wpm = 16.2;
    now.snr_2500hz_db = 4.6;
    now.pitch_drift_hz_per_min = -1.25;
    news.followed = {now};
    model.take(std::move(news), {});
    return model;
}

TEST(CopyModel, SaysTheNumbersInWords) {
    EXPECT_EQ(CopyModel().numbers_in_words(), "No input yet");
    EXPECT_EQ(begun("E").numbers_in_words(),
              "700 Hz, 16 words a minute, 5 dB over the noise, drift -1.2 Hz a minute");
}

TEST(CopyModel, OtherTonesAreRowsAndOneCanBeChosen) {
    CopyModel model = begun("QVA7 DE QXB2");
    CopyNews other = news_of("QRST", 2);
    other.followed = {};
    model.take(std::move(other), {});
    EXPECT_EQ(model.tone(), 1);
    auto rows = model.other_tones();
    ASSERT_EQ(rows.size(), 1U);
    EXPECT_EQ(rows[0].words, "800 Hz, keyed, -3 dB: QRST");
    model.choose(2);
    EXPECT_EQ(model.tone(), 2);
    ASSERT_EQ(model.other_tones().size(), 1U);
    EXPECT_EQ(model.other_tones()[0].words, "700 Hz, keyed, -3 dB: QVA7 DE QXB2");
}

TEST(CopyModel, ASteadyCarrierIsNoStation) {
    CopyModel model = begun("E");
    CopyNews news;
    news.events.emplace_back(ToneEvent{5, 9000, 900.0, false, 10.0, 1e-9});
    news.events.emplace_back(ToneEvent{6, 9000, 950.0, std::nullopt, 10.0, 1e-9});
    model.take(std::move(news), {});
    EXPECT_TRUE(model.other_tones().empty());
}

TEST(CopyModel, NotesAndLostAudioAreSetApartFromTheText) {
    CopyModel model = begun("E");
    CopyNews news;
    news.events.emplace_back(AudioLostEvent{80'000, 96'000, "overflow"});
    news.events.emplace_back(NoteEvent{104'000, "too quiet"});
    model.take(std::move(news), {});
    ASSERT_EQ(model.notes().size(), 2U);
    EXPECT_EQ(model.notes()[0], "0:10  audio lost for 2.0 s: overflow");
    EXPECT_EQ(model.notes()[1], "0:13  too quiet");
}

TEST(CopyModel, SavesJsonAsTheCommandLineDoesWithCorrectionsBesideTheReading) {
    CopyModel model = begun("AB");
    model.correct(model.text().final_of(1)[1].read.from_frame, "X");
    std::istringstream lines(model.as_json());
    std::vector<nlohmann::json> all;
    for (std::string line; std::getline(lines, line);) all.push_back(nlohmann::json::parse(line));
    ASSERT_EQ(all.size(), 6U);
    EXPECT_EQ(all[0]["event"], "input");
    EXPECT_EQ(all[0]["name"], "evening.flac");
    EXPECT_EQ(all[1]["event"], "tone");
    EXPECT_EQ(all[2]["char"], "A");
    EXPECT_EQ(all[3]["char"], "B");
    EXPECT_EQ(all[4]["event"], "correction");
    EXPECT_EQ(all[4]["read"], "B");
    EXPECT_EQ(all[4]["corrected"], "X");
    EXPECT_EQ(all[5]["event"], "summary");
    EXPECT_EQ(all[5]["tones"][0]["text"], "AB");
}

TEST(CopyModel, SavesTextWithWhatWasReadBelowWhatWasTaken) {
    CopyModel model = begun("AB");
    EXPECT_EQ(model.as_text(), "AB\n");
    model.correct(model.text().final_of(1)[0].read.from_frame, "X");
    EXPECT_EQ(model.as_text(), "XB\n\nAs read, before it was corrected:\nAB\n");
}

TEST(CopyModel, TheSheetHoldsGroupsCountDoubtAndRequest) {
    const CopyModel model = begun("NR 3 GR 2 [BT] KLMNO PqRST [AR]");
    const std::string sheet = model.as_sheet("QVA7", "QXB2");
    for (const char* part : {"message received: 2 groups, as the preamble says\n",
                             "preamble    NR 3 GR 2\n", "   1 KLMNO    2 PQRST?\n",
                             "doubtful    2 PQRST: Q unsure\n", "QXB2 DE QVA7 RPT GR 2 ?\n"}) {
        EXPECT_NE(sheet.find(part), std::string::npos) << part << "\n" << sheet;
    }
}

TEST(CopyModel, ANewInputKeepsTheTextOfTheOneBefore) {
    CopyModel model = begun("QVA7");
    CopyNews next;
    next.began = HeardInput{"second.flac"};
    model.take(std::move(next), {});
    EXPECT_TRUE(model.text().tones().empty());
    EXPECT_EQ(model.earlier(), "evening.flac:\nQVA7\n\n");
}

}  // namespace
}  // namespace skedlark::gui
