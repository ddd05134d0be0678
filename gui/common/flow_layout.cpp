#include "gui/common/flow_layout.h"

#include <QWidget>
#include <algorithm>

namespace skedlark::gui {

namespace {
constexpr int kApart = 10;
constexpr int kLinesApart = 4;
}  // namespace

QLayoutItem* FlowLayout::itemAt(int index) const {
    if (index < 0 || index >= count()) return nullptr;
    return items_[static_cast<std::size_t>(index)].get();
}

QLayoutItem* FlowLayout::takeAt(int index) {
    if (index < 0 || index >= count()) return nullptr;
    const auto at = items_.begin() + index;
    QLayoutItem* item = at->release();
    items_.erase(at);
    return item;
}

QSize FlowLayout::minimumSize() const {
    QSize size;
    for (const auto& item : items_)
        if (!item->isEmpty()) size = size.expandedTo(item->minimumSize());
    return size;
}

void FlowLayout::setGeometry(const QRect& area) {
    QLayout::setGeometry(area);
    lay(area, true);
}

int FlowLayout::lay(const QRect& area, bool move) const {
    int x = area.left();
    int y = area.top();
    int line_height = 0;
    std::vector<std::pair<QLayoutItem*, QRect>> line;
    // Of one line, all stand in its middle.
    const auto end_line = [&] {
        for (auto& [item, place] : line) {
            place.moveTop(y + (line_height - place.height()) / 2);
            if (move) item->setGeometry(place);
        }
        line.clear();
    };
    for (const auto& item : items_) {
        if (item->isEmpty()) continue;
        const QSize size = item->sizeHint();
        if (x > area.left() && x + size.width() > area.left() + area.width()) {
            end_line();
            x = area.left();
            y += line_height + kLinesApart;
            line_height = 0;
        }
        line.emplace_back(item.get(), QRect(QPoint(x, y), size));
        line_height = std::max(line_height, size.height());
        x += size.width() + kApart;
    }
    end_line();
    return y + line_height - area.top();
}

}  // namespace skedlark::gui
