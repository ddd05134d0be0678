// The page's model on the hub's thread, against what recordings/truth/17-sweep.json holds.
#include "gui/sweep/sweep_model.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>

#include "dsp/dial/receiver_file.h"
#include "gui/listen/audio_hub.h"
#include "tests/dsp/audio/sound_files.h"

namespace skedlark::gui {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kFileS = 56.0;

struct TrueStation {
    double zero_beat_s = 0.0;
    double div = 0.0;
};

// The dial was tuned so far above 42 at each zero beat; the chart says which division that is.
std::vector<TrueStation> truth() {
    std::ifstream file(RECORDINGS "/truth/17-sweep.json");
    const auto json = nlohmann::json::parse(file);
    const auto tuned_hz = json.at("tuned_hz").get<std::vector<double>>();
    const double step_s = json.at("track_step_s");
    const auto dial = *dial::Dial::create(*dial::read_receiver(EXAMPLES "/saddle-hut.toml"), "2");
    std::vector<TrueStation> stations;
    for (const auto& station : json.at("stations")) {
        const double at_s = station.at("zero_beats_s").at(0);
        const auto before = static_cast<std::size_t>(at_s / step_s);
        const double share = at_s / step_s - static_cast<double>(before);
        const double hz = tuned_hz[before] + share * (tuned_hz[before + 1] - tuned_hz[before]);
        stations.push_back({at_s, dial.setting(dial.mhz_at(42.0) + 1e-6 * hz)->div});
    }
    return stations;
}

class Swept : public testing::Test {
 protected:
    Swept() {
        model_.set_receiver(*dial::read_receiver(EXAMPLES "/saddle-hut.toml"), {});
        SweepSetup setup = model_.setup();
        setup.band = "2";
        setup.from_div = 42.0;
        setup.to_div = 44.0;
        setup.way = SweepWay::over_file;
        setup.wanted_mhz = 3.8;
        EXPECT_TRUE(model_.set_setup(setup).ok());
        hub_.join(model_.user());
    }
    ~Swept() override {
        hub_.stop();
        hub_.leave(model_.user());
    }
    void play(double pace, const char* name = "17-sweep.flac") {
        InputChoice choice;
        choice.live = false;
        choice.file = std::string(RECORDINGS "/") + name;
        choice.pace = pace;
        hub_.open(choice);
    }
    template <typename Until>
    bool wait_until(Until until, double seconds = 60.0) {
        const auto end = Clock::now() + std::chrono::duration<double>(seconds);
        while (Clock::now() < end) {
            model_.refresh();
            if (until()) return true;
            std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
        return false;
    }

    AudioHub hub_;
    SweepModel model_;
};

TEST_F(Swept, AFileSweptEvenlyHasItsStationsWhereTheyAre) {
    ASSERT_TRUE(model_.start(0.0).ok());
    EXPECT_EQ(model_.state_words(), "Begins with the file.");
    const double before = model_.map_changes();
    play(0.0);
    ASSERT_TRUE(wait_until([&] { return model_.now().phase == SweepPhase::done; }));
    const auto& rows = model_.rows();
    ASSERT_EQ(rows.size(), 4U);
    const auto stations = truth();
    const StationKind kinds[] = {StationKind::broadcast, StationKind::keyed, StationKind::steady,
                                 StationKind::keyed};
    for (std::size_t i = 0; i < rows.size(); ++i) {
        EXPECT_EQ(rows[i].kind, kinds[i]) << i;
        EXPECT_NEAR(model_.now().stations[i].at_s, stations[i].zero_beat_s, 0.1) << i;
        EXPECT_LT(rows[i].low95_div, stations[i].div) << i;
        EXPECT_GT(rows[i].high95_div, stations[i].div) << i;
    }
    EXPECT_GT(model_.map_changes(), before);
    EXPECT_FALSE(model_.curve().empty());
    ASSERT_TRUE(model_.best().has_value());
    EXPECT_EQ(rows[*model_.best()].kind, StationKind::keyed);
    EXPECT_NE(model_.map_words().find("3.8000 MHz"), std::string::npos);
    EXPECT_NE(model_.map_words().find("Chance so far"), std::string::npos);
    EXPECT_FALSE(model_.next_words().empty());
}

TEST_F(Swept, ThePictureHoldsTheStrongStationWhereItWasMet) {
    ASSERT_TRUE(model_.start(0.0).ok());
    play(8.0);
    ASSERT_TRUE(wait_until([&] { return model_.now().phase == SweepPhase::done; }));
    const auto loudest = [&](double div) {
        float most = -100.0F;
        for (const float db : model_.picture().column(model_.picture().column_of(div)))
            most = std::max(most, db);
        return most;
    };
    // A kilohertz from zero beat a strong carrier stands out; a division on, there is only noise.
    const double met = model_.rows()[0].div;
    EXPECT_GT(loudest(met + 0.03), 20.0F);
    EXPECT_LT(loudest(met + 0.22), 15.0F);
}

TEST_F(Swept, MarksByHandGiveTheMotion) {
    SweepSetup setup = model_.setup();
    setup.way = SweepWay::marked;
    setup.rate_khz_per_s = 1.0;
    ASSERT_TRUE(model_.set_setup(setup).ok());
    ASSERT_TRUE(model_.start(0.0).ok());
    EXPECT_FALSE(model_.mark());  // nothing is heard yet
    play(16.0);
    ASSERT_TRUE(wait_until([&] { return model_.now().heard_s > 0.0; }));
    EXPECT_EQ(model_.dial_now().next, 42.0);
    ASSERT_TRUE(model_.mark());
    ASSERT_TRUE(wait_until([&] { return model_.now().heard_s > 10.0; }));
    ASSERT_TRUE(model_.mark());
    EXPECT_EQ(model_.dial_now().next, 44.0);
    ASSERT_TRUE(model_.take_mark_back());
    ASSERT_TRUE(wait_until([&] { return model_.now().heard_s > 0.5 * kFileS; }));
    ASSERT_TRUE(model_.mark());
    ASSERT_TRUE(wait_until([&] { return model_.now().heard_s > kFileS - 1.0; }));
    ASSERT_TRUE(model_.mark());
    ASSERT_TRUE(wait_until([&] { return model_.now().phase == SweepPhase::done; }));
    ASSERT_GE(model_.rows().size(), 3U);
    for (const StationRow& row : model_.rows()) {
        EXPECT_GT(row.div, 42.0);
        EXPECT_LT(row.div, 44.0);
    }
}

TEST_F(Swept, APaceLeadsTheHandAndBeatsAtEachDivision) {
    SweepSetup setup = model_.setup();
    setup.way = SweepWay::paced;
    setup.to_div = 39.0;
    setup.rate_khz_per_s = 2.0;
    ASSERT_TRUE(model_.set_setup(setup).ok());
    ASSERT_TRUE(model_.start(5.0).ok());
    play(16.0);
    int beats = 0;
    double last = 42.0;
    ASSERT_TRUE(wait_until([&] {
        const double div = model_.dial_now().div;
        if (model_.now().phase == SweepPhase::running) {
            EXPECT_LE(div, last + 1e-9);
            last = div;
        }
        beats += model_.take_division_due() ? 1 : 0;
        return model_.now().phase == SweepPhase::done;
    }));
    // 42 to 39 takes about 40 s of the file's 56: 41, 40, and 39 where a look fell on the end.
    EXPECT_GE(beats, 2);
    EXPECT_LE(beats, 3);
}

TEST_F(Swept, AChosenStationIsLedTo) {
    ASSERT_TRUE(model_.start(0.0).ok());
    EXPECT_FALSE(model_.choose(0));
    play(0.0);
    ASSERT_TRUE(wait_until([&] { return model_.now().phase == SweepPhase::done; }));
    ASSERT_TRUE(wait_until([&] { return hub_.state().phase == HubPhase::ended; }));
    ASSERT_TRUE(model_.choose(3));
    model_.refresh();
    ASSERT_TRUE(model_.zero_in().has_value());
    EXPECT_EQ(model_.zero_in()->word, "listen");
    play(8.0, "01-call-up-easy.flac");  // at the listening pitch of this receiver
    std::optional<double> held;
    ASSERT_TRUE(wait_until([&] { return (held = model_.take_held_pitch()).has_value(); }));
    EXPECT_NEAR(*held, 700.0, 10.0);  // as the file was made
    EXPECT_EQ(model_.zero_in()->word, "there");
    EXPECT_FALSE(model_.take_held_pitch().has_value());  // told once
    model_.leave();
    EXPECT_FALSE(model_.zero_in().has_value());
}

TEST_F(Swept, StoppedEarlyTellsWhatWasHeard) {
    ASSERT_TRUE(model_.start(0.0).ok());
    play(8.0);
    ASSERT_TRUE(wait_until([&] { return model_.now().heard_s > 20.0; }));
    model_.stop();
    ASSERT_TRUE(wait_until([&] { return model_.now().phase == SweepPhase::done; }));
    EXPECT_LT(model_.now().heard_s, 50.0);
    EXPECT_GE(model_.rows().size(), 1U);
}

TEST(SweepModel, WithoutAReceiverNothingBegins) {
    SweepModel model;
    EXPECT_FALSE(model.start(0.0).ok());
    EXPECT_FALSE(model.offer(3.57, "").ok());
    EXPECT_NE(model.state_words().find("receiver file"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::gui
