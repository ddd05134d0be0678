#include "gui/fist/chart_look.h"

#include <QChart>
#include <QGraphicsLayout>
#include <QLegend>

namespace skedlark::gui {

void prepare_chart(QChartView& view) {
    view.setFocusPolicy(Qt::NoFocus);
    view.setFrameShape(QFrame::NoFrame);
    view.setRenderHint(QPainter::Antialiasing);
    view.chart()->legend()->hide();
    view.chart()->setMargins({2, 2, 6, 2});
    view.chart()->setBackgroundRoundness(0);
    view.chart()->setAnimationOptions(QChart::NoAnimation);
    if (view.chart()->layout() != nullptr) view.chart()->layout()->setContentsMargins(0, 0, 0, 0);
}

void style_chart(QChartView& view, const Theme& theme) {
    view.setBackgroundBrush(theme.paper());
    view.chart()->setBackgroundBrush(theme.paper());
    view.chart()->setBackgroundPen(Qt::NoPen);
}

void style_axis(QAbstractAxis& axis, const Theme& theme, const QString& title) {
    axis.setLinePen(QPen(theme.ink(Theme::kFaint)));
    axis.setGridLinePen(QPen(theme.ink(Theme::kRule)));
    axis.setLabelsBrush(theme.ink());
    axis.setLabelsFont(theme.body());
    axis.setTitleBrush(theme.ink());
    axis.setTitleFont(theme.body());
    axis.setTitleText(title);
}

}  // namespace skedlark::gui
