// The Sweep page.
#pragma once

#include "gui/common/page.h"

namespace skedlark::gui {

class SweepPage : public Page {
    Q_OBJECT

 public:
    explicit SweepPage(DeskState& desk, QWidget* parent = nullptr);

    [[nodiscard]] QString title() const override { return tr("Sweep"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
};

}  // namespace skedlark::gui
