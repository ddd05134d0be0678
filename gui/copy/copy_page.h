// The Copy page.
#pragma once

#include "gui/common/page.h"

namespace skedlark::gui {

class CopyPage : public Page {
    Q_OBJECT

 public:
    explicit CopyPage(DeskState& desk, QWidget* parent = nullptr);

    [[nodiscard]] QString title() const override { return tr("Copy"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
};

}  // namespace skedlark::gui
