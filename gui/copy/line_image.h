// The picture of one line of the page, drawn column by column as rows come.
//
// Stage:   gui/copy. In: rows of the ring. Out: a QImage of ink on paper.
// Units:   pixels of the screen.
// Shape:   a column holds until the next row, so that no gap shows; the strongest point of each pixel
//          counts, so that a thin tone stays as dark however small the picture is.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QImage>
#include <array>
#include <utility>

#include "gui/common/theme.h"
#include "gui/copy/row_ring.h"

namespace skedlark::gui {

// Ink of each byte.
using InkTable = std::array<QRgb, 256>;
[[nodiscard]] InkTable ink_table(const Theme& theme);

class LineImage {
 public:
    LineImage() = default;
    LineImage(std::int64_t line, QSize size, const InkTable& inks);

    // Draws what the ring holds of the line and is not drawn yet; gives the columns that changed,
    // from and to (to is one behind); equal: none.
    std::pair<int, int> draw(const RowRing& rows, const InkTable& inks);
    [[nodiscard]] const QImage& image() const { return image_; }
    [[nodiscard]] std::int64_t line() const { return line_; }

 private:
    std::int64_t line_ = 0;
    std::int64_t next_row_ = -1;
    QImage image_;
};

}  // namespace skedlark::gui
