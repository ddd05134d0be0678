// The page of keys: what every key does, page by page.
//
// Stage:   gui/shell. In: the pages' KeyLines. Out: a list.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QScrollArea>
#include <utility>

#include "gui/common/page.h"

namespace skedlark::gui {

class KeysPage : public QScrollArea {
    Q_OBJECT

 public:
    using Part = std::pair<QString, std::vector<KeyLine>>;  // heading, its keys

    explicit KeysPage(const std::vector<Part>& parts, QWidget* parent = nullptr);
};

}  // namespace skedlark::gui
