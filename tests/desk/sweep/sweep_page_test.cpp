#include "gui/sweep/sweep_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QTemporaryDir>
#include <QTest>

namespace skedlark::gui {
namespace {

class SweepPageTest : public ::testing::Test {
 protected:
    void SetUp() override {
        settings_.set("input/live", false);
        settings_.set("input/pace", 0.0);
        ASSERT_TRUE(desk_.load_receiver(EXAMPLE_CHART).ok());
        station::ContactCard card;
        card.with.call = "QXB2";
        card.leg.receive_khz = 3765.0;
        card.leg.dial = station::DialSetting{"2", 43.0, 42.0, 44.0};
        desk_.set_card(card);
        page_.resize(1024, 560);
        page_.show();
        page_.refresh(true);
    }
    void open(double pace) {
        hub_.open({.live = false, .file = EXAMPLE_SWEEP, .pace = pace});
        ASSERT_TRUE(QTest::qWaitFor([&] { return !hub_.state().input.name.empty(); }, 5000));
        settings_.set("input/pace", pace);
    }
    template <typename Found>
    Found* named(const QString& name) {
        for (Found* one : page_.findChildren<Found*>())
            if (one->accessibleName() == name) return one;
        return nullptr;
    }
    bool until(const std::function<bool()>& done) {
        return QTest::qWaitFor(
            [&] {
                page_.refresh(true);
                return done();
            },
            30000);
    }

    QTemporaryDir folder_;
    Settings settings_{folder_.filePath("desk.ini")};
    AudioHub hub_;
    DeskState desk_{hub_, settings_};
    SweepPage page_{desk_};
};

TEST_F(SweepPageTest, WithoutAnInputItSaysSo) {
    QTest::keyClick(&page_, Qt::Key_S);
    EXPECT_TRUE(named<QLabel>("How the sweep goes")->text().startsWith("Input: none is open"));
}

TEST_F(SweepPageTest, SweepsAFileAndLeadsBackByKeys) {
    open(0.0);
    QTest::keyClick(&page_, Qt::Key_S);
    auto* table = named<QTableWidget>("Stations met");
    ASSERT_TRUE(until([&] {
        return named<QLabel>("How the sweep goes")->text().startsWith("Over: 4 stations");
    })) << named<QLabel>("How the sweep goes")->text().toStdString();
    EXPECT_EQ(table->rowCount(), 4);
    auto* picture = page_.findChild<SweepPicture*>();
    auto* curve = page_.findChild<WhereCurve*>();
    EXPECT_NEAR(curve->plot_area().left(), picture->picture_rect().left(), 1.5);
    EXPECT_NEAR(curve->plot_area().right(), picture->picture_rect().right(), 2.5);
    table->setFocus();
    table->selectRow(0);
    QTest::keyClick(table, Qt::Key_Down);
    EXPECT_EQ(table->currentRow(), 1);
    QTest::keyClick(table, Qt::Key_Return);
    auto* back = named<Readout>("Way back to the station");
    EXPECT_TRUE(back->isVisible());
    EXPECT_EQ(back->text().above, "turn slowly");
    EXPECT_TRUE(back->text().figures.startsWith("near 42.8")) << back->text().figures.toStdString();
    if (qEnvironmentVariableIsSet("SWEEP_SHOT")) page_.grab().save(qgetenv("SWEEP_SHOT"));
}

TEST_F(SweepPageTest, SpaceMarksDivisions) {
    open(8.0);
    named<QComboBox>("Way of the dial")->setCurrentIndex(1);
    QTest::keyClick(&page_, Qt::Key_S);
    auto* pace = named<Readout>("Where the dial should be");
    ASSERT_TRUE(until([&] { return pace->text().figures == "42"; }));
    QTest::keyClick(&page_, Qt::Key_Space);
    page_.refresh(true);
    EXPECT_EQ(pace->text().figures, "43");
    QTest::keyClick(&page_, Qt::Key_Backspace);
    page_.refresh(true);
    EXPECT_EQ(pace->text().figures, "42");
    QTest::keyClick(&page_, Qt::Key_S);
    EXPECT_TRUE(named<QLabel>("How the sweep goes")->text().startsWith("Over: fewer than two"));
}

}  // namespace
}  // namespace skedlark::gui
