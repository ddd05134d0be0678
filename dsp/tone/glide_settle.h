// Which of the paths found in a stretch of a sweep are stations.
//
// Stage:   tone. In: finds, clearest first. Out: stations in order of zero beat.
// Units:   seconds, hertz, dB.
// Shape:   a handful of finds.
// Time:    none.
// Errors:  none.
// Threads: one thread per instance.
// Source:  what a clear station puts beside itself is no station: another path to the same zero
//          beat, key clicks close to its own track, the side bands of a broadcast. What does not
//          glide shows the same power whichever way it is brought to rest.
// Checked: tests/dsp/tone/glide_settle_test.cpp
#pragma once

#include <vector>

#include "dsp/tone/glide_finder.h"
#include "dsp/tone/glide_looks.h"
#include "dsp/tone/glide_path.h"
#include "dsp/tone/glide_track.h"
#include "dsp/tone/glide_verdict.h"

namespace skedlark::tone {

struct GlideFind {
    GlideStation station;
    GlideTrack track;
    GlideVerdict verdict;
    double score = 0.0;
    double contrast = 1.0;       // see glide_contrast()
    double side_likeness = 0.0;  // see side_likeness()
};

// Power over the noise along the path when brought to rest the wrong way, as part of that the right
// way: small for a glide, about 1 for what stands still or cracks.
[[nodiscard]] double glide_contrast(const GlideLooks& looks, const GlidePath& path);

// How alike the two sides of the track are, 100 to 2000 Hz from it, look by look: the side bands of
// amplitude modulation are mirror images. A correlation in standard deviations of noise.
[[nodiscard]] double side_likeness(const GlideLooks& looks, const GlideTrack& track, double low_hz,
                                   double high_hz);

class GlideSettle {
 public:
    GlideSettle(double low_hz, double high_hz) : low_hz_(low_hz), high_hz_(high_hz) {}
    void add(const GlideFind& find);
    [[nodiscard]] std::vector<GlideStation> stations() const;

 private:
    [[nodiscard]] bool stands(const GlideFind& find) const;

    double low_hz_;
    double high_hz_;
    std::vector<GlideFind> finds_;  // those that stand
};

}  // namespace skedlark::tone
