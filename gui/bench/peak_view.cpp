#include "gui/bench/peak_view.h"

#include <QFontMetrics>
#include <QPainter>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

QString words_of(bench::Trend trend) {
    switch (trend) {
        case bench::Trend::rising:
            return QString::fromUtf8("\u25b2 rising");
        case bench::Trend::falling:
            return QString::fromUtf8("\u25bc falling");
        case bench::Trend::steady:
            break;
    }
    return QString::fromUtf8("\u25a0 steady");
}

}  // namespace

PeakView::PeakView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Peak meter"));
    show_peak(std::nullopt);
}

void PeakView::restyle(const Theme& theme) {
    theme_ = theme;
    update();
}

void PeakView::show_peak(const std::optional<PeakHeard>& peak) {
    peak_ = peak;
    if (!peak) {
        number_ = QString::fromUtf8("\u2013");
        trend_.clear();
        words_ = tr("F5 begins. The number is how far the level lies below the highest so far.");
    } else {
        const double below = std::max(0.0, peak->reading.below_db());
        number_ =
            below < 0.05 ? QString("0.0") : QString::fromUtf8("\u2212%1").arg(below, 0, 'f', 1);
        trend_ = words_of(peak->now);
        if (peak->now == bench::Trend::steady && peak->last != bench::Trend::steady)
            trend_ += tr(", last %1").arg(words_of(peak->last));
        words_ = tr("dB below the highest, %1 dBFS; now %2 dBFS")
                     .arg(peak->reading.held_dbfs, 0, 'f', 1)
                     .arg(peak->reading.level_dbfs, 0, 'f', 1);
        if (peak->reading.clipped)
            words_ += tr("; CLIPS: turn the level down, the peak means nothing");
    }
    const QString told = QString("%1 dB %2").arg(number_, trend_);
    if (accessibleDescription() != told) setAccessibleDescription(told);
    update();
}

void PeakView::paintEvent(QPaintEvent*) {
    QPainter paint(this);
    paint.setPen(theme_.ink());
    const int line = QFontMetrics(theme_.body()).height();
    const int bar_height = std::max(18, height() / 8);
    const int number_height = height() - bar_height - 2 * line - 12;
    // As large as the room allows, in both directions.
    QFont large = theme_.readout();
    large.setPixelSize(std::max(20, number_height * 9 / 10));
    while (large.pixelSize() > 20 &&
           QFontMetrics(large).horizontalAdvance("-88.8 dB") > width() * 6 / 10)
        large.setPixelSize(large.pixelSize() * 9 / 10);
    paint.setFont(large);
    const QString shown = peak_ ? number_ + " dB" : number_;
    paint.drawText(QRect(8, 0, width() * 6 / 10, number_height), Qt::AlignVCenter | Qt::AlignLeft,
                   shown);
    QFont middle = theme_.figures();
    paint.setFont(middle);
    paint.drawText(QRect(width() * 6 / 10, 0, width() * 4 / 10 - 8, number_height),
                   Qt::AlignVCenter | Qt::AlignRight | Qt::TextWordWrap, trend_);
    const QRect bar(8, number_height + 4, width() - 24, bar_height);
    paint.setPen(theme_.ink(Theme::kFaint));
    paint.drawRect(bar);
    for (int db = 1; db < static_cast<int>(kBarDb); ++db) {
        const int x = bar.left() + static_cast<int>(bar.width() * db / kBarDb);
        paint.drawLine(x, bar.bottom() - (db % 5 == 0 ? 10 : 5), x, bar.bottom());
    }
    if (peak_) {
        const double below = std::clamp(peak_->reading.below_db(), 0.0, kBarDb);
        const int x = static_cast<int>(std::lround(bar.width() * (1.0 - below / kBarDb)));
        paint.fillRect(QRect(bar.left() + 1, bar.top() + 3, x, bar.height() - 12), theme_.ink(0.8));
        // The highest so far: a mark beyond the bar's end.
        paint.setBrush(theme_.ink());
        const int end = bar.right();
        paint.drawPolygon(QPolygon({QPoint(end, bar.top()), QPoint(end + 12, bar.top() - 3),
                                    QPoint(end + 12, bar.top() + 9)}));
    }
    paint.setPen(theme_.ink());
    paint.setFont(theme_.body());
    paint.drawText(QRect(8, bar.bottom() + 4, width() - 16, 2 * line),
                   Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap, words_);
}

}  // namespace skedlark::gui
