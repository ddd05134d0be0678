// Sending: the text shown, the key listened to at a sound input, graded at its end.
#include <fmt/format.h>

#include <cmath>

#include "cli/drill.h"
#include "cli/drill_log.h"
#include "cli/fist_view.h"
#include "cli/key_reader.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"
#include "dsp/core/units.h"
#include "dsp/fist/key_line.h"
#include "dsp/log/sending_entry.h"
#include "dsp/morse/code_table.h"

namespace skedlark::cli {

namespace {

constexpr double kLongestS = 3600.0;
// Of a line or sidetone without noise, by the tests of key_line.
constexpr double kLineEdgeSdS = 0.0003;

struct HeardKey {
    std::vector<float> audio;
    std::vector<fist::LostStretch> lost;
    std::optional<Error> failure;
};

// Until Return, Ctrl-C, or the input's end.
HeardKey listen(audio::WorkRateSource& source) {
    HeardKey out;
    const StopOnSignal stopping(source);
    KeyReader keys(0);
    std::vector<float> block(static_cast<std::size_t>(kWorkRateHz));
    while (static_cast<double>(out.audio.size()) < kLongestS * kWorkRateHz) {
        const auto key = keys.poll();
        if (key && (*key == '\n' || *key == '\r')) break;
        const auto read = source.read(block);
        if (!read) {
            out.failure = read.error();
            break;
        }
        const auto from = static_cast<FrameIndex>(out.audio.size());
        out.audio.insert(out.audio.end(), block.begin(), block.begin() + read->frames);
        if (read->lost && read->frames > 0) out.lost.push_back({from, from + read->frames});
        if (read->end || stop_signal_seen()) break;
    }
    return out;
}

// A key line or sidetone by its two levels; where there are none, a received tone.
Result<fist::Grade> graded(const HeardKey& heard, const fist::GradeOptions& options) {
    const auto marks = fist::key_marks(heard.audio);
    if (marks) {
        auto by_key = fist::grade_key(fist::keying_of(*marks, kLineEdgeSdS), options);
        if (by_key) return by_key;
    }
    return fist::grade(heard.audio, options);
}

}  // namespace

ExitStatus send_live(const DrillOptions& options) {
    Output out(1);
    Output side(2);
    auto made = new_exercise(options, false, side);
    if (!made) return fail_drill(made.error());
    InputOptions from;
    from.live = true;
    from.device = options.input_device;
    auto input = open_input(from, "", {});
    if (!input) return fail_drill(input.error());
    out.write(options.json ? json_line(made->exercise) : exercise_lines(made->exercise.text));
    if (!out.flush()) return deliver(out, kDone);
    side.write("-- send it; Return or Ctrl-C ends\n");
    side.flush();
    HeardKey heard = listen(*input->source);
    fist::GradeOptions how;
    const auto text = morse::symbols_from_text(made->exercise.text);
    if (!text) return fail_drill(text.error());
    how.text = *text;
    how.lost = heard.lost;
    auto grade = graded(heard, how);
    if (!grade) {
        print_error("drill", grade.error().message);
        return heard.failure ? exit_status(heard.failure->code) : kAnswerNo;
    }
    const bool right = grade->right();
    const log::Entry entry =
        log::sending_entry(*grade, *text, {utc_now(), options.who, input->line.name, ""});
    const GradedSending result{std::move(*grade), *text, {}};
    out.write(options.json ? fist_json(result) : fist_text(result));
    const ExitStatus status = deliver(out, right ? kDone : kAnswerNo);
    if (!options.who.empty()) {
        if (const Status kept = keep_exercise(options.log_file, entry); !kept) {
            print_error("drill", "graded, but not logged: " + kept.error().message);
        }
    }
    return heard.failure ? exit_status(heard.failure->code) : status;
}

}  // namespace skedlark::cli
