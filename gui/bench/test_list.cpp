#include "gui/bench/test_list.h"

#include <QFontMetrics>
#include <algorithm>

namespace skedlark::gui {

TestList::TestList(QWidget* parent) : QListWidget(parent) {
    setAccessibleName(tr("Tests of the bench"));
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Expanding);
    for (const BenchKind& kind : bench_kinds()) {
        auto* item = new QListWidgetItem(QString::fromStdString(kind.title), this);
        item->setToolTip(QString::fromStdString(kind.does));
    }
    setCurrentRow(0);
    connect(this, &QListWidget::currentRowChanged, this, [this](int row) {
        if (row >= 0)
            emit chosen(QString::fromStdString(bench_kinds()[static_cast<std::size_t>(row)].name));
    });
}

void TestList::restyle(const Theme& theme) {
    setFont(theme.body());
    const int widest = QFontMetrics(theme.body()).horizontalAdvance("Battery run-down: under way");
    // With very large type the step has the room; what is cut is told by the tool tip.
    setMaximumWidth(widest + 16);
    setMinimumWidth(std::min(widest, 180));
    updateGeometry();
}

void TestList::show_model(const BenchModel& model) {
    int row = 0;
    for (const BenchKind& kind : bench_kinds()) {
        const std::string state = model.state_of(kind.name);
        const QString text =
            QString::fromStdString(state.empty() ? kind.title : kind.title + ": " + state);
        if (item(row)->text() != text) item(row)->setText(text);
        ++row;
    }
}

QSize TestList::sizeHint() const {
    const int line = QFontMetrics(font()).height() + 4;
    return {maximumWidth(), count() * line + 6};
}

}  // namespace skedlark::gui
