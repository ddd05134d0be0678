#include "gui/copy/line_image.h"

#include <algorithm>

#include "gui/copy/page_layout.h"

namespace skedlark::gui {

InkTable ink_table(const Theme& theme) {
    InkTable inks{};
    for (std::size_t i = 0; i < inks.size(); ++i) {
        inks[i] = theme.ink(static_cast<double>(i) / 255.0).rgb();
    }
    return inks;
}

LineImage::LineImage(std::int64_t line, QSize size, const InkTable& inks)
    : line_(line), image_(size.expandedTo(QSize(1, 1)), QImage::Format_RGB32) {
    image_.fill(inks[0]);
}

std::pair<int, int> LineImage::draw(const RowRing& rows, const InkTable& inks) {
    const int width = image_.width(), height = image_.height();
    if (next_row_ < rows.begin_row()) next_row_ = rows.row_at(line_start(line_));
    int first = width, last = 0;
    for (; next_row_ < rows.end_row(); ++next_row_) {
        const PagePlace place = place_of(rows.info(next_row_).frame);
        if (place.line > line_) break;
        if (place.line < line_) continue;
        const int from = static_cast<int>(place.x * width);
        const int to = std::min(width, static_cast<int>((place.x + kRowHopS / kLineS) * width) + 1);
        const auto bytes = rows.bytes(next_row_);
        const int points = static_cast<int>(bytes.size());
        for (int y = 0; y < height; ++y) {
            // High pitches on top.
            const int low = (height - 1 - y) * points / height;
            const int high = std::max(low + 1, (height - y) * points / height);
            const std::uint8_t strongest =
                *std::max_element(bytes.begin() + low, bytes.begin() + high);
            auto* pixels = reinterpret_cast<QRgb*>(image_.scanLine(y));
            std::fill(pixels + from, pixels + to, inks[strongest]);
        }
        first = std::min(first, from);
        last = std::max(last, to);
    }
    return first < last ? std::pair(first, last) : std::pair(0, 0);
}

}  // namespace skedlark::gui
