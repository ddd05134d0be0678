#include "gui/copy/copy_page.h"

namespace skedlark::gui {

CopyPage::CopyPage(DeskState& desk, QWidget* parent) : Page(desk, parent) {}

std::vector<KeyLine> CopyPage::keys() const { return {}; }

void CopyPage::refresh(bool) {}

void CopyPage::restyle() {}

}  // namespace skedlark::gui
