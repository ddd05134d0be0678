// The Plan page.
#pragma once

#include "gui/common/page.h"

namespace skedlark::gui {

class PlanPage : public Page {
    Q_OBJECT

 public:
    explicit PlanPage(DeskState& desk, QWidget* parent = nullptr);

    [[nodiscard]] QString title() const override { return tr("Plan"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
};

}  // namespace skedlark::gui
