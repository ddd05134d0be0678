// Results of contacts, drift, ring, passband, dial and run-down as reports that can be shown and judged.
//
// Stage:   bench. In: results. Out: Report.
// Units:   in the names of the measurements (limits.cpp).
// Shape:   none.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  none.
// Checked: tests/dsp/bench/event_reports_test.cpp
#pragma once

#include "dsp/bench/contacts.h"
#include "dsp/bench/dial_check.h"
#include "dsp/bench/drift.h"
#include "dsp/bench/passband.h"
#include "dsp/bench/report.h"
#include "dsp/bench/ring.h"
#include "dsp/bench/run_down.h"

namespace skedlark::bench {

[[nodiscard]] Report contacts_report(const Contacts& contacts);
[[nodiscard]] Report drift_report(const Drift& drift, const DriftConfig& config);
[[nodiscard]] Report ring_report(const Ring& ring);
[[nodiscard]] Report passband_report(const Passband& band, const PassbandConfig& config);
[[nodiscard]] Report dial_report(const DialCheck& check, const DialCheckConfig& config);
[[nodiscard]] Report run_down_report(const RunDown& run, const RunDownConfig& config);

}  // namespace skedlark::bench
