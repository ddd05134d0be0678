#include "gui/shell/level_bar.h"

#include <QFontMetrics>
#include <QPainter>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr double kLowDbfs = -70.0;

double share(double dbfs) { return std::clamp((dbfs - kLowDbfs) / -kLowDbfs, 0.0, 1.0); }

}  // namespace

const char* word_of(audio::LevelVerdict verdict) {
    switch (verdict) {
        case audio::LevelVerdict::no_signal:
            return "no signal";
        case audio::LevelVerdict::too_low:
            return "too low";
        case audio::LevelVerdict::good:
            return "good";
        case audio::LevelVerdict::clipping:
            return "clipping";
    }
    return "";
}

LevelBar::LevelBar(QWidget* parent) : QWidget(parent) {
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Preferred);
    show_level({}, false);
}

void LevelBar::show_level(const Level& level, bool heard) {
    const bool same = heard == heard_ && level.verdict == level_.verdict &&
                      std::abs(level.peak_dbfs - level_.peak_dbfs) < 0.25;
    if (same && !accessibleName().isEmpty()) return;
    level_ = level;
    heard_ = heard;
    const QString said = heard ? tr("%1, %2 dBFS")
                                     .arg(word_of(level.verdict))
                                     .arg(std::max(level.peak_dbfs, -99.0), 0, 'f', 0)
                               : tr("not listening");
    setAccessibleName(tr("Level: %1").arg(said));
    setToolTip(said);
    update();
}

void LevelBar::restyle(const Theme& theme) {
    theme_ = theme;
    updateGeometry();
    update();
}

QSize LevelBar::sizeHint() const {
    const QFontMetrics metrics(theme_.body());
    return {metrics.horizontalAdvance("no signal") * 3, metrics.height() + 10};
}

void LevelBar::paintEvent(QPaintEvent*) {
    QPainter paint(this);
    paint.setFont(theme_.body());
    const QFontMetrics metrics(theme_.body());
    const int words = metrics.horizontalAdvance("no signal") + 8;
    const QRect bar(1, height() / 4, width() - words - 6, height() / 2);
    paint.setPen(theme_.ink(Theme::kFaint));
    paint.drawRect(bar);
    const auto x_of = [&](double dbfs) {
        return bar.left() + static_cast<int>(std::lround(share(dbfs) * bar.width()));
    };
    if (heard_) {
        paint.fillRect(QRect(bar.left() + 1, bar.top() + 1, x_of(level_.peak_dbfs) - bar.left(),
                             bar.height() - 1),
                       theme_.ink(0.8));
    }
    // Two notches bound what is good.
    paint.setPen(theme_.ink());
    for (const double dbfs : {audio::kTooLowDbfs, audio::kNearlyFullDbfs}) {
        paint.drawLine(x_of(dbfs), bar.top() - 3, x_of(dbfs), bar.bottom() + 3);
    }
    paint.drawText(QRect(width() - words, 0, words, height()), Qt::AlignVCenter | Qt::AlignLeft,
                   heard_ ? word_of(level_.verdict) : "");
}

}  // namespace skedlark::gui
