#include "tests/dsp/tone/detection_theory.h"

#include <gtest/gtest.h>

namespace skedlark::test {
namespace {

struct Point {
    double detection, false_alarm;
    int looks;
    double albersheim_db, exact_db;
};

// Source: published check points of Albersheim's formula and of the exact noncentral chi-square.
TEST(DetectionTheory, AlbersheimAndSquareLawAgreeWithTheirTables) {
    for (const Point& point :
         {Point{.9, 1e-6, 1, 13.1145, 13.1835}, Point{.9, 1e-6, 10, 4.9904, 5.2675},
          Point{.9, 1e-4, 1, 11.6743, 11.7491}, Point{.5, 1e-3, 1, 8.0685, 8.0626},
          Point{.9, 1e-3, 100, -2.8540, -2.8596}}) {
        EXPECT_NEAR(albersheim_db(point.detection, point.false_alarm, point.looks),
                    point.albersheim_db, 1e-3);
        EXPECT_NEAR(square_law_snr_db(point.detection, point.false_alarm, point.looks),
                    point.exact_db, 1e-3);
    }
}

// Source: definition (Wolfram MarcumQ); values computed in double precision elsewhere.
TEST(DetectionTheory, MarcumQAgreesWithItsTable) {
    EXPECT_NEAR(marcum_q(1, 1, 1), .732880, 1e-6);
    EXPECT_NEAR(marcum_q(1, 1, 2), .269012, 1e-6);
    EXPECT_NEAR(marcum_q(1, 2, 1), .918108, 1e-6);
    EXPECT_NEAR(marcum_q(1, 3, 4), .196512, 1e-6);
    EXPECT_NEAR(marcum_q(1, 0, 2), .135335, 1e-6);
    EXPECT_NEAR(marcum_q(2, 2, 2), .782252, 1e-6);
    EXPECT_NEAR(marcum_q(4, 3, 5), .135112, 1e-6);
}

// Source: CA-CFAR threshold factors and detection (Gandhi and Kassam 1988; Skolnik).
TEST(DetectionTheory, CaCfarAgreesWithItsTable) {
    EXPECT_NEAR(ca_cfar_factor(1e-3, 16), 8.6388, 1e-3);
    EXPECT_NEAR(ca_cfar_factor(1e-4, 24), 11.2272, 1e-3);
    EXPECT_NEAR(ca_cfar_factor(1e-6, 32), 17.2776, 1e-3);
    EXPECT_NEAR(ca_cfar_detection(ca_cfar_factor(1e-4, 16), 16, std::pow(10.0, 1.5)), .68576, 1e-4);
}

// Source: Rife and Boorstyn 1974; 30 dB-Hz over 1 s and over 60 ms.
TEST(DetectionTheory, CramerRaoAgreesWithItsPoints) {
    EXPECT_NEAR(cramer_rao_hz(1000.0, 1.0), 0.01233, 1e-5);
    EXPECT_NEAR(cramer_rao_hz(1000.0, 0.06), 0.8388, 1e-4);
}

}  // namespace
}  // namespace skedlark::test
