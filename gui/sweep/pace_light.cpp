#include "gui/sweep/pace_light.h"

#include <QPainter>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

PaceLight::PaceLight(QWidget* parent) : QWidget(parent) {
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
}

void PaceLight::restyle(const Theme& theme) {
    theme_ = theme;
    updateGeometry();
    update();
}

void PaceLight::show_dial(const DialNow& dial, const QString& below) {
    const bool lit = since_beat_.isValid() && since_beat_.elapsed() < kBeatMs;
    const QString digits = QString::number(dial.div, 'f', 1);
    const bool moved = std::abs(dial.div - dial_.div) > 0.005;
    if (lit == lit_ && digits == digits_ && below == below_ && !moved) return;
    lit_ = lit;
    digits_ = digits;
    below_ = below;
    dial_ = dial;
    setAccessibleName(tr("Dial now at %1; %2").arg(digits, below));
    update();
}

void PaceLight::beat() { since_beat_.start(); }

QSize PaceLight::sizeHint() const {
    const QFontMetrics large(theme_.readout());
    return {large.horizontalAdvance("100.0") + 2 * large.height(),
            large.height() + QFontMetrics(theme_.body()).height() + 8};
}

QSize PaceLight::minimumSizeHint() const { return sizeHint(); }

void PaceLight::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const QFontMetricsF large(theme_.readout());
    const QFontMetricsF small(theme_.body());
    const double size = 0.7 * large.ascent();
    const double top = 0.5 * std::max(0.0, height() - large.height() - small.height());
    const QRectF light(8.0, top + 0.5 * (large.height() - size), size, size);
    painter.setPen(QPen(theme_.ink(), 3.0));
    painter.setBrush(lit_ ? QBrush(theme_.ink()) : QBrush(Qt::NoBrush));
    painter.drawEllipse(light);
    if (dial_.turning && dial_.next && !lit_) {
        const double left = std::clamp(std::abs(*dial_.next - dial_.div), 0.0, 1.0);
        painter.setBrush(theme_.ink(Theme::kFaint));
        painter.setPen(Qt::NoPen);
        painter.drawPie(light.adjusted(5, 5, -5, -5), 90 * 16, static_cast<int>(left * 360 * 16));
    }
    painter.setPen(theme_.ink());
    painter.setFont(theme_.readout());
    painter.drawText(QRectF(light.right() + 16.0, top, width(), large.height()),
                     Qt::AlignLeft | Qt::AlignVCenter, digits_);
    painter.setFont(theme_.body());
    painter.drawText(QRectF(8.0, top + large.height(), width() - 8.0, small.height()),
                     Qt::AlignLeft | Qt::AlignVCenter, below_);
}

}  // namespace skedlark::gui
