// Widgets in lines, as words are: what has no room in a line goes into the next, so that large type
// makes more lines and no wider window.
//
// Stage:   gui/common. In: widgets. Out: their places.
// Units:   pixels.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QLayout>
#include <memory>
#include <vector>

namespace skedlark::gui {

class FlowLayout : public QLayout {
 public:
    using QLayout::QLayout;

    void addItem(QLayoutItem* item) override { items_.emplace_back(item); }
    [[nodiscard]] int count() const override { return static_cast<int>(items_.size()); }
    [[nodiscard]] QLayoutItem* itemAt(int index) const override;
    QLayoutItem* takeAt(int index) override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override {
        return lay({0, 0, width, 0}, false);
    }
    [[nodiscard]] QSize minimumSize() const override;
    [[nodiscard]] QSize sizeHint() const override { return minimumSize(); }
    void setGeometry(const QRect& area) override;

 private:
    // The height it takes; moves the widgets only where asked to.
    int lay(const QRect& area, bool move) const;

    std::vector<std::unique_ptr<QLayoutItem>> items_;
};

}  // namespace skedlark::gui
