// The card of one contact in large type.
//
// Stage:   gui/plan. In: CardWords. Out: labels that are read at arm's length.
// Shape:   the time to go largest; then what is set on receiver and transmitter; then the rest.
//          The type grows with the room there is, so that it is read from as far as it can be.
// Threads: the window's.
// Checked: tests/desk/plan/plan_page_test.cpp
#pragma once

#include <QLabel>
#include <QWidget>
#include <vector>

#include "gui/common/theme.h"
#include "gui/plan/card_words.h"

namespace skedlark::gui {

class ContactCardView : public QWidget {
    Q_OBJECT

 public:
    explicit ContactCardView(QWidget* parent = nullptr);

    void show_words(const CardWords& words);
    // Instead of a card: why there is none.
    void show_nothing(const QString& why);
    void show_conflicts(const QStringList& conflicts);
    void restyle(const Theme& theme);
    // The room there is for the card, scroll bar taken off: whether that bar is shown must not change
    // the type, or the two would drive each other.
    void fit(const QSize& room);

 private:
    struct Row {
        QLabel* caption;
        QLabel* value;
        bool large;
        std::string CardWords::*text;
    };
    QLabel* add_label(const char* name);
    void add_row(const QString& caption, const char* name, std::string CardWords::*text,
                 bool large);

    [[nodiscard]] double scale() const;
    void set_fonts();

    Theme theme_;
    QSize room_;
    double scale_ = 1.0;
    QWidget* body_;
    QLabel* nothing_;
    QLabel* to_go_;
    QLabel* to_go_of_;
    QLabel* stage_;
    QLabel* with_;
    QLabel* when_;
    QLabel* notes_;
    QLabel* conflicts_;
    std::vector<Row> rows_;
};

}  // namespace skedlark::gui
