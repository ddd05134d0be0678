#include "gui/sweep/sweep_page.h"

namespace skedlark::gui {

SweepPage::SweepPage(DeskState& desk, QWidget* parent) : Page(desk, parent) {}

std::vector<KeyLine> SweepPage::keys() const { return {}; }

void SweepPage::refresh(bool) {}

void SweepPage::restyle() {}

}  // namespace skedlark::gui
