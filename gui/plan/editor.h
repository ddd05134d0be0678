// Edits a plan or receiver file: its entries in a list, the chosen one's fields in a form.
//
// Stage:   gui/plan. In: a file's text, keys. Out: the text to save; a draft beside the settings.
// Shape:   each field is checked as it is typed; what is wrong stands below it. What is not saved is
//          called so, and kept as a draft until it is saved or thrown away.
// Errors:  shown in place.
// Threads: the window's.
// Checked: tests/desk/plan/editor_test.cpp
#pragma once

#include <QFormLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QScrollArea>
#include <QTimer>
#include <QWidget>
#include <optional>
#include <vector>

#include "gui/plan/document.h"
#include "gui/plan/file_line.h"

namespace skedlark::gui {

class Editor : public QWidget {
    Q_OBJECT

 public:
    // draft: where what is not saved is kept.
    Editor(const Schema& schema, const QString& draft, QWidget* parent = nullptr);
    ~Editor() override;

    [[nodiscard]] FileLine& file() { return *file_; }
    // Takes the text of a file up; false, and says why, where it is no TOML.
    bool load(const std::string& toml, const QString& path);
    [[nodiscard]] std::string text() const { return toml_of(schema_, document_); }
    [[nodiscard]] bool unsaved() const { return unsaved_; }
    void set_saved();

 signals:
    void changed();

 protected:
    void resizeEvent(QResizeEvent* event) override;

 private:
    struct Removed {
        std::size_t place;
        Document entries;
    };
    struct FieldRow {
        std::string key;
        QLabel* problem;
    };
    QWidget* make_side();
    void add_buttons();
    QWidget* make_offer();
    void show_offer();
    void fit_form();
    void fill_list(std::size_t choose);
    void fill_form();
    QWidget* make_field(const FieldInfo& field);
    void edit(const std::string& key, const QString& text);
    void check();
    void add_entry(std::size_t section);
    void remove_entry();
    void undo();
    void touched();
    void keep_draft();
    void take_draft();
    void drop_draft();
    [[nodiscard]] std::size_t chosen() const;

    const Schema& schema_;
    const QString draft_;
    Document document_;
    bool unsaved_ = false;
    bool filling_ = false;
    std::optional<Removed> removed_;
    std::vector<FieldRow> rows_;
    QTimer draft_timer_;

    FileLine* file_;
    QListWidget* list_;
    QPushButton* remove_;
    QPushButton* undo_;
    QScrollArea* scroll_;
    QLabel* summary_;
    QWidget* offer_;
    QLabel* offer_text_;
};

}  // namespace skedlark::gui
