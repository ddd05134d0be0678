// The Copy page: the ruled page, the text beside it, and what can be done with both.
//
// Stage:   gui/copy. In: the hub's audio through a CopyUser. Out: text; the operator's corrections.
// Shape:   the page paints and wires; what it knows stands in CopyModel.
// Errors:  in place: a line under the text for notes, in the panels for theirs.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QTabWidget>
#include <functional>
#include <memory>

#include "gui/common/page.h"
#include "gui/copy/again_panel.h"
#include "gui/copy/copy_model.h"
#include "gui/copy/listen_panel.h"
#include "gui/copy/ruled_page.h"
#include "gui/copy/save_panel.h"

namespace skedlark::gui {

class CopyPage : public Page {
    Q_OBJECT

 public:
    explicit CopyPage(DeskState& desk, QWidget* parent = nullptr);
    ~CopyPage() override;

    // The sound output, where there is one.
    std::function<void(std::vector<float> audio)> on_play;

    [[nodiscard]] QString title() const override { return tr("Copy"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
    [[nodiscard]] const CopyModel& model() const { return model_; }

 private:
    void build();
    QWidget* make_left();
    QWidget* make_right();
    QScrollArea* add_tab(QWidget* panel, const QString& name);
    void wire();
    void apply_settings();
    void show_text();
    void show_tones();
    void show_pointed();
    void show_marked();
    [[nodiscard]] std::size_t groups_in_a_row() const;
    void correct();
    void follow_row();
    void set_sending(bool sending);
    void offer_file();

    std::shared_ptr<CopyUser> user_;
    CopyModel model_;
    QSplitter* halves_ = nullptr;
    RuledPage* page_ = nullptr;
    QLabel* readings_ = nullptr;
    QLineEdit* correction_ = nullptr;
    QPushButton* sending_ = nullptr;
    QLabel* numbers_ = nullptr;
    QPlainTextEdit* text_ = nullptr;
    QLabel* count_ = nullptr;
    QTabWidget* tabs_ = nullptr;
    QPlainTextEdit* doubtful_ = nullptr;
    QLineEdit* request_ = nullptr;
    QListWidget* tones_ = nullptr;
    QPlainTextEdit* notes_ = nullptr;
    ListenPanel* listen_ = nullptr;
    AgainPanel* again_ = nullptr;
    SavePanel* save_ = nullptr;
    QScrollArea* again_area_ = nullptr;
    QScrollArea* save_area_ = nullptr;
    std::uint64_t shown_revision_ = ~std::uint64_t{0};
    int shown_input_ = 0;
    int shown_tone_ = 0;
    int refreshes_ = 0;
};

}  // namespace skedlark::gui
