#include "gui/copy/copy_page.h"

#include <QDir>
#include <QScrollBar>
#include <QStandardPaths>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr std::size_t kEarlierShown = 4000;  // characters
constexpr int kTextEvery = 6;                // refreshes: five times a second

std::string journal_folder() {
    const QString data = QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation);
    return QDir(data).filePath("skedlark").toStdString();
}

QString of(const std::string& text) { return QString::fromStdString(text); }

// Sets the text and leaves the view where the reader had it, or at the end if it was there.
void renew(QPlainTextEdit& view, const QString& text) {
    if (view.toPlainText() == text) return;
    QScrollBar& bar = *view.verticalScrollBar();
    const bool at_end = bar.value() >= bar.maximum() - 1;
    const int value = bar.value();
    view.setPlainText(text);
    bar.setValue(at_end ? bar.maximum() : value);
}

}  // namespace

CopyPage::CopyPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent), user_(std::make_shared<CopyUser>()), model_(journal_folder()) {
    build();
    wire();
    apply_settings();
    offer_file();
    restyle();
    this->desk().hub().join(user_);
}

CopyPage::~CopyPage() { desk().hub().leave(user_); }

void CopyPage::wire() {
    connect(page_, &RuledPage::pointed_changed, this, &CopyPage::show_pointed);
    connect(page_, &RuledPage::marked_changed, this, &CopyPage::show_marked);
    connect(page_, &RuledPage::correction_wanted, this, [this] {
        if (correction_->isEnabled()) correction_->setFocus();
        correction_->selectAll();
    });
    connect(correction_, &QLineEdit::returnPressed, this, &CopyPage::correct);
    connect(sending_, &QPushButton::toggled, this, &CopyPage::set_sending);
    connect(listen_, &ListenPanel::changed, this, &CopyPage::apply_settings);
    connect(tones_, &QListWidget::itemActivated, this, &CopyPage::follow_row);
    connect(&desk(), &DeskState::pitch_wanted, listen_, &ListenPanel::set_pitch);
    connect(&desk(), &DeskState::card_changed, this, &CopyPage::apply_settings);
    connect(again_, &AgainPanel::taken_over, this,
            [this](const Stretch& where, const QString& text) {
                model_.correct_stretch(where, text.toStdString());
                page_->update();
            });
    connect(again_, &AgainPanel::own_sending, this, [this](const Stretch& where) {
        model_.add_sending(where);
        page_->update();
    });
    again_->audio_of = [this](const Stretch& where) { return user_->audio(where.from, where.to); };
    save_->content = [this](SaveAs format) {
        const auto& card = desk().card();
        if (format == SaveAs::text) return model_.as_text();
        if (format == SaveAs::json) return model_.as_json();
        return model_.as_sheet(card ? card->own_call : "", card ? card->with.call : "",
                               listen_->in_fives());
    };
    connect(save_, &SavePanel::saved, this,
            [this](const QString& path) { desk().say(tr("Saved: %1").arg(path)); });
}

void CopyPage::apply_settings() {
    CopySettings settings = listen_->chosen();
    if (const auto& card = desk().card()) {
        for (const std::string& call : {card->with.call, card->own_call}) {
            if (!call.empty()) settings.watch.calls.push_back(call);
        }
    }
    user_->set(settings);
    shown_revision_ = ~std::uint64_t{0};
}

void CopyPage::offer_file() {
    const QString folder = QStandardPaths::writableLocation(QStandardPaths::DocumentsLocation);
    const QString stamp = of(utc_text(desk().now())).left(16).remove(':').remove('-');
    save_->offer(folder, "copy-" + stamp + "Z");
}

void CopyPage::refresh(bool shown) {
    model_.take(user_->news(), desk().now());
    again_->refresh();
    if (!shown) return;
    page_->refresh();
    if (static_cast<bool>(on_play) != static_cast<bool>(again_->on_play)) {
        again_->on_play = on_play;
        show_marked();
    }
    if (shown_input_ != model_.input()) {
        shown_input_ = model_.input();
        offer_file();
    }
    if (refreshes_++ % kTextEvery != 0) return;
    numbers_->setText(of(model_.numbers_in_words()));
    show_tones();
    QString notes;
    for (const std::string& note : model_.notes()) notes += of(note) + "\n";
    renew(*notes_, notes.isEmpty() ? tr("Nothing to note") : notes);
    const std::uint64_t revision = model_.text().revision();
    if (revision == shown_revision_ && shown_tone_ == model_.tone()) return;
    shown_revision_ = revision;
    shown_tone_ = model_.tone();
    show_text();
}

void CopyPage::show_text() {
    const CopiedMessage message = model_.message(listen_->in_fives());
    // Saved whole; beside the page its end will do.
    const std::string& earlier = model_.earlier();
    QString text = of(earlier.substr(earlier.size() - std::min(earlier.size(), kEarlierShown)));
    const auto characters = model_.text().of_tone(model_.tone());
    if (listen_->in_groups() && message.in_fives) {
        if (!message.preamble.empty()) text += of(message.preamble) + "\n";
        text += of(groups_in_rows(message, groups_in_a_row()));
    } else {
        text += of(text_as_taken(characters));
    }
    renew(*text_, text);
    count_->setText(message.groups.empty() ? tr("No group yet") : of(message.count_in_words()));
    QString doubtful;
    for (const std::size_t number : message.doubtful()) {
        const CopiedGroup& group = message.groups[number - 1];
        doubtful += tr("%1  %2: %3\n").arg(number).arg(of(group.text), of(group.doubt));
    }
    renew(*doubtful_, doubtful.isEmpty() ? tr("No doubtful group") : doubtful);
    const std::string request = message.request();
    const auto& card = desk().card();
    const QString head =
        card && !request.empty() ? of(card->with.call + " DE " + card->own_call + " ") : QString();
    request_->setText(request.empty() ? tr("nothing to ask for") : head + of(request));
}

void CopyPage::show_tones() {
    const auto rows = model_.other_tones();
    while (tones_->count() > static_cast<int>(rows.size())) delete tones_->takeItem(0);
    while (tones_->count() < static_cast<int>(rows.size())) tones_->addItem(QString());
    for (int i = 0; i < tones_->count(); ++i) {
        const OtherTone& row = rows[static_cast<std::size_t>(i)];
        tones_->item(i)->setText(of(row.words));
        tones_->item(i)->setData(Qt::UserRole, row.tone);
    }
    tabs_->setTabText(tabs_->indexOf(tones_),
                      rows.empty() ? tr("T&ones") : tr("T&ones %1").arg(rows.size()));
}

void CopyPage::show_pointed() {
    const auto one = page_->pointed();
    readings_->setText(one ? of(readings_of(*one))
                           : tr("Left and Right go through the characters; Return corrects one."));
    const bool can = one && one->read.final && !one->own;
    correction_->setEnabled(can);
    if (!correction_->hasFocus()) correction_->setText(one ? of(one->as_taken()) : QString());
}

void CopyPage::show_marked() {
    std::vector<Copied> inside;
    const auto marked = page_->marked();
    for (const Copied& one : model_.text().final_of(model_.tone())) {
        if (marked && one.read.from_frame >= marked->from && one.read.to_frame <= marked->to) {
            inside.push_back(one);
        }
    }
    again_->set_marked(marked, of(text_as_read(inside)),
                       model_.pitch_of(model_.tone()).value_or(0.0));
}

void CopyPage::correct() {
    const auto one = page_->pointed();
    if (!one) return;
    model_.correct(one->read.from_frame, correction_->text().trimmed().toUpper().toStdString());
    page_->setFocus();
    page_->refresh();
    page_->update();
    show_pointed();
}

void CopyPage::follow_row() {
    const QListWidgetItem* item = tones_->currentItem();
    if (item == nullptr) return;
    const int tone = item->data(Qt::UserRole).toInt();
    model_.choose(tone);
    // Where it is not copied yet, listening goes there.
    if (const auto pitch = model_.pitch_of(tone)) listen_->set_pitch(std::round(*pitch));
    page_->setFocus();
}

void CopyPage::set_sending(bool sending) {
    if (sending) {
        model_.send_from(model_.heard_to());
    } else {
        model_.send_until(model_.heard_to());
    }
    sending_->setText(sending ? tr("Sending: press when &done") : tr("I am &sending"));
    sending_->setAccessibleName(sending_->text().remove('&'));
    page_->update();
}

std::vector<KeyLine> CopyPage::keys() const {
    return {{tr("Left, Right"), tr("through the characters; other readings stand below the page")},
            {tr("Shift+Left, Shift+Right"), tr("mark a stretch")},
            {tr("Return"), tr("corrects the character pointed at")},
            {tr("Ctrl+Return"), tr("begins and ends own sending")},
            {tr("Ctrl+R"), tr("reads the marked stretch again")},
            {tr("Ctrl+P"), tr("plays the marked stretch")},
            {tr("Up, Down, PageUp, PageDown, Home, End"), tr("scroll the page")},
            {tr("Escape"), tr("takes the marks away")},
            {tr("Ctrl+S"), tr("goes to the name of the file to save")}};
}

}  // namespace skedlark::gui
