#include "gui/plan/plan_page.h"

namespace skedlark::gui {

PlanPage::PlanPage(DeskState& desk, QWidget* parent) : Page(desk, parent) {}

std::vector<KeyLine> PlanPage::keys() const { return {}; }

void PlanPage::refresh(bool) {}

void PlanPage::restyle() {}

}  // namespace skedlark::gui
