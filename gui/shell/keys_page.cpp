#include "gui/shell/keys_page.h"

#include <QGridLayout>
#include <QLabel>

namespace skedlark::gui {

KeysPage::KeysPage(const std::vector<Part>& parts, QWidget* parent) : QScrollArea(parent) {
    auto* inside = new QWidget(this);
    auto* rows = new QGridLayout(inside);
    rows->setColumnStretch(1, 1);
    rows->setHorizontalSpacing(24);
    int row = 0;
    for (const auto& [heading, keys] : parts) {
        auto* title = new QLabel(QString("<b>%1</b>").arg(heading.toHtmlEscaped()), inside);
        rows->addWidget(title, row++, 0, 1, 2);
        for (const KeyLine& line : keys) {
            rows->addWidget(new QLabel(line.keys, inside), row, 0);
            auto* does = new QLabel(line.does, inside);
            does->setWordWrap(true);
            rows->addWidget(does, row++, 1);
        }
    }
    rows->setRowStretch(row, 1);
    setWidget(inside);
    setWidgetResizable(true);
    setFrameShape(QFrame::NoFrame);
    setAccessibleName(tr("Page of keys"));
    setFocusPolicy(Qt::StrongFocus);
}

}  // namespace skedlark::gui
