// The fields of the chosen test.
//
// Stage:   gui/bench. In: a kind and its texts. Out: what was typed.
// Errors:  none: what is wrong in a field the model says.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QWidget>
#include <map>
#include <string>

#include "gui/bench/bench_kinds.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class TestFields : public QWidget {
    Q_OBJECT

 public:
    explicit TestFields(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    // Makes the fields anew where the test is another one.
    void show_fields(const BenchKind& kind, const FieldTexts& texts);
    void set_open(bool open);

 signals:
    void edited(const QString& key, const QString& text);

 private:
    void make(const BenchKind& kind);
    void show_texts(const FieldTexts& texts);

    struct Shown {
        BenchField field;
        QWidget* pair = nullptr;
        QWidget* control = nullptr;
    };
    std::string test_;
    std::vector<Shown> shown_;
    Theme theme_;
};

}  // namespace skedlark::gui
