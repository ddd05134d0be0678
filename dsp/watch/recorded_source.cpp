#include "dsp/watch/recorded_source.h"

namespace skedlark::watch {

Result<audio::ReadResult> RecordedSource::do_read(std::span<float> out) {
    Result<audio::ReadResult> read = source_->read(out);
    if (read && read->frames > 0 && !read->lost) {
        recorder_.write(out.first(static_cast<std::size_t>(read->frames)), read->first_frame);
    }
    return read;
}

}  // namespace skedlark::watch
