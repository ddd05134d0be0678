#include "gui/shell/window.h"

#include <QApplication>

#include "gui/copy/copy_page.h"
#include "gui/plan/plan_page.h"
#include "gui/sweep/sweep_page.h"

namespace skedlark::gui {

namespace {
constexpr int kRefreshMs = 33;
}

Window::Window(DeskState& desk) : desk_(desk), stack_(new QStackedWidget(this)) {
    setWindowTitle("Skedlark");
    setCentralWidget(stack_);
    pages_ = {new PlanPage(desk), new SweepPage(desk), new CopyPage(desk)};
    for (Page* page : pages_) stack_->addWidget(page);
    connect(&desk_, &DeskState::page_wanted, this, &Window::show_page);
    connect(&timer_, &QTimer::timeout, this, &Window::refresh);
    restyle();
    timer_.start(kRefreshMs);
}

void Window::show_page(PageName page) { stack_->setCurrentWidget(&this->page(page)); }

void Window::refresh() {
    for (Page* page : pages_) page->refresh(page == stack_->currentWidget());
}

void Window::restyle() {
    const Theme theme = desk_.theme();
    QApplication::setPalette(theme.palette());
    QApplication::setFont(theme.body());
    qApp->setStyleSheet(theme.style_sheet());
    for (Page* page : pages_) page->restyle();
}

}  // namespace skedlark::gui
