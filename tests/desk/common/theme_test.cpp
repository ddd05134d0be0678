#include "gui/common/theme.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::gui {
namespace {

// Contrast as WCAG 2.1 defines it (W3C Recommendation, "relative luminance" and "contrast ratio").
double linear(double channel) {
    return channel <= 0.03928 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}
double luminance(const QColor& colour) {
    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) +
           0.0722 * linear(colour.blueF());
}
double contrast(const QColor& a, const QColor& b) {
    const double high = std::max(luminance(a), luminance(b));
    const double low = std::min(luminance(a), luminance(b));
    return (high + 0.05) / (low + 0.05);
}

class BothThemes : public ::testing::TestWithParam<bool> {};

TEST_P(BothThemes, WhatMustBeReadStandsOutFromThePaper) {
    const Theme theme(GetParam(), 100.0);
    EXPECT_GE(contrast(theme.ink(), theme.paper()), 7.0);               // WCAG 2.1, 1.4.6
    EXPECT_GE(contrast(theme.ink(Theme::kFaint), theme.paper()), 3.0);  // WCAG 2.1, 1.4.11
}

TEST_P(BothThemes, StrengthGoesFromPaperToInkWithoutTurningBack) {
    const Theme theme(GetParam(), 100.0);
    EXPECT_EQ(theme.ink(0.0), theme.paper());
    double last = 0.0;
    for (int step = 0; step <= 20; ++step) {
        const double now = contrast(theme.ink(step / 20.0), theme.paper());
        EXPECT_GE(now, last);
        last = now;
    }
}

TEST_P(BothThemes, TypeGrowsWithItsSetting) {
    EXPECT_DOUBLE_EQ(Theme(GetParam(), 200.0).body().pointSizeF(),
                     2.0 * Theme(GetParam(), 100.0).body().pointSizeF());
}

INSTANTIATE_TEST_SUITE_P(Desk, BothThemes, ::testing::Bool());

}  // namespace
}  // namespace skedlark::gui
