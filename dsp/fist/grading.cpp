#include "dsp/fist/grading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "dsp/tone/finder.h"

namespace skedlark::fist {
namespace {

// The finder wants some seconds to be sure: a short sending is played to it again and again.
constexpr double kLongEnoughForFinderS = 20.0;
constexpr std::size_t kBlock = 4000;
// Of a long one every other forty seconds will do: tones that are there at all are there in these.
constexpr double kLongS = 180.0;
constexpr double kEveryOtherS = 40.0;
// A tone that is not known to be keyed may be one where no other is.
constexpr double kLeastSnrDb = -15.0;
// Below, marks are no longer cut out one by one.
constexpr double kTooWeakDb = 0.0;

Result<HeardTone> choose(const std::vector<HeardTone>& tones, const GradeOptions& options) {
    if (tones.empty()) {
        return Error{ErrorCode::not_found, "no keyed tone is in it"};
    }
    if (!options.pitch_hz) return tones.front();
    const auto nearest =
        std::min_element(tones.begin(), tones.end(), [&](const HeardTone& a, const HeardTone& b) {
            return std::abs(a.pitch_hz - *options.pitch_hz) <
                   std::abs(b.pitch_hz - *options.pitch_hz);
        });
    if (std::abs(nearest->pitch_hz - *options.pitch_hz) <= kPitchReachHz) return *nearest;
    return Error{ErrorCode::not_found,
                 fmt::format("no keyed tone is within {:.0f} Hz of {:.0f} Hz; the nearest is at "
                             "{:.0f} Hz",
                             kPitchReachHz, *options.pitch_hz, nearest->pitch_hz)};
}

double drift_hz_per_min(std::span<const tone::BasebandFrame> track) {
    double n = 0.0, st = 0.0, sp = 0.0, stt = 0.0, stp = 0.0;
    for (const tone::BasebandFrame& frame : track) {
        const double t = seconds_from_frames(frame.at_frame) / 60.0;
        const double p = static_cast<double>(frame.pitch_hz);
        n += 1.0;
        st += t;
        sp += p;
        stt += t * t;
        stp += t * p;
    }
    const double spread = n * stt - st * st;
    return spread > 0.0 ? (n * stp - st * sp) / spread : 0.0;
}

double sent_s(const Keying& keying, const Kinds& kinds) {
    double out = keying.marks.back().off_s - keying.marks.front().on_s;
    for (std::size_t i = 0; i < kinds.pauses.size(); ++i) {
        if (kinds.pauses[i] != 0) out -= keying.gap_s(i);
    }
    return out;
}

double readable_share(const Grade& grade) {
    if (grade.alignment) {
        return static_cast<double>(grade.alignment->right) /
               static_cast<double>(std::max<std::size_t>(1, grade.alignment->meant));
    }
    std::size_t readable = 0;
    for (const SentCharacter& one : grade.sending.characters) readable += one.text == "_" ? 0 : 1;
    return static_cast<double>(readable) /
           static_cast<double>(std::max<std::size_t>(1, grade.sending.characters.size()));
}

// All that follows from the marks. tone: null where there is none. of_key: they are the key's own.
Status judge(const GradeOptions& options, const FineBaseband* tone, bool of_key, Grade& out) {
    const auto hand = find_hand(out.keying, options.speed_wpm);
    if (!hand) return hand.error();
    LengthModels models{};
    if (options.text.empty()) {
        out.sending = read_sending(out.keying, probable_kinds(out.keying, *hand));
        models = measured_models(out.keying, *hand);
    } else {
        auto aligned = align(out.keying, *hand, options.text);
        if (!aligned) return aligned.error();
        out.alignment = std::move(*aligned);
        out.sending = out.alignment->sending;
        models = measured_models(out.keying, out.sending);
    }
    out.statistics = statistics_of(out.keying, out.sending);
    out.faults = find_faults({out.keying, out.sending, out.statistics, tone,
                              out.alignment ? &*out.alignment : nullptr, of_key});
    out.score = score_of(models, readable_share(out));
    out.sent_s = sent_s(out.keying, out.sending.kinds);
    for (const double odds : out.sending.kinds.gap_odds) {
        out.certainty += odds / static_cast<double>(out.sending.kinds.gap_odds.size());
    }
    return Done{};
}

}  // namespace

std::vector<HeardTone> keyed_tones(std::span<const float> audio) {
    auto finder = tone::Finder::create({});
    if (!finder || audio.empty()) return {};
    const auto wanted =
        static_cast<std::size_t>(skedlark::frames_from_seconds(kLongEnoughForFinderS));
    const bool is_long = static_cast<double>(audio.size()) > kLongS * kWorkRateHz;
    std::map<int, ToneEvent> tones;
    std::vector<Event> events;
    for (std::size_t fed = 0; fed < std::max(wanted, audio.size());) {
        const std::size_t from = fed % audio.size();
        const std::size_t count = std::min(kBlock, audio.size() - from);
        const auto part = static_cast<std::size_t>(
            seconds_from_frames(static_cast<FrameIndex>(from)) / kEveryOtherS);
        if (!is_long || part % 2 == 0) finder->process(audio.subspan(from, count), events);
        fed += count;
    }
    for (const Event& event : events) {
        if (const auto* tone = std::get_if<ToneEvent>(&event)) {
            tones.insert_or_assign(tone->tone, *tone);
        }
    }
    std::vector<HeardTone> keyed, unknown;
    for (const auto& [number, tone] : tones) {
        const HeardTone heard{tone.pitch_hz, tone.snr_2500hz_db};
        if (tone.keyed.value_or(false)) keyed.push_back(heard);
        if (!tone.keyed && tone.snr_2500hz_db > kLeastSnrDb) unknown.push_back(heard);
    }
    std::vector<HeardTone> out = keyed.empty() ? unknown : keyed;
    std::stable_sort(out.begin(), out.end(), [](const HeardTone& a, const HeardTone& b) {
        return a.snr_2500hz_db > b.snr_2500hz_db;
    });
    return out;
}

Result<Grade> grade(std::span<const float> audio, const GradeOptions& options) {
    const std::vector<HeardTone> tones = keyed_tones(audio);
    const auto chosen = choose(tones, options);
    if (!chosen) return chosen.error();
    const auto track = follow_tone(audio, chosen->pitch_hz, options.lost);
    if (!track) return track.error();
    Grade out;
    out.seconds = static_cast<double>(audio.size()) / kWorkRateHz;
    out.pitch_hz = track->empty() ? chosen->pitch_hz : static_cast<double>(track->back().pitch_hz);
    out.pitch_drift_hz_per_min = drift_hz_per_min(*track);
    // What drifts or is knocked is found again where it went: that is no one else.
    double lowest_hz = chosen->pitch_hz;
    double highest_hz = chosen->pitch_hz;
    for (const tone::BasebandFrame& frame : *track) {
        lowest_hz = std::min(lowest_hz, static_cast<double>(frame.pitch_hz));
        highest_hz = std::max(highest_hz, static_cast<double>(frame.pitch_hz));
    }
    for (const HeardTone& tone : tones) {
        if ((tone.pitch_hz < lowest_hz - kAnotherSenderHz ||
             tone.pitch_hz > highest_hz + kAnotherSenderHz) &&
            tone.snr_2500hz_db > chosen->snr_2500hz_db - kAnotherSenderDb) {
            out.others.push_back(tone);
        }
    }
    const FineBaseband tone = bring_down(audio, *track);
    out.keying = measure_edges(tone, find_marks(tone));
    const Status judged = judge(options, &tone, false, out);
    if (!judged && chosen->snr_2500hz_db < kTooWeakDb) {
        return Error{
            ErrorCode::not_found,
            fmt::format("the tone at {:.0f} Hz is too weak to be graded: {:.0f} dB in 2500 "
                        "Hz, some {:.0f} dB are needed",
                        chosen->pitch_hz, chosen->snr_2500hz_db, kTooWeakDb)};
    }
    if (!judged) return judged.error();
    return out;
}

Result<Grade> grade_marks(Keying keying, const GradeOptions& options) {
    Grade out;
    out.keying = std::move(keying);
    if (!out.keying.marks.empty()) out.seconds = out.keying.marks.back().off_s;
    if (const Status judged = judge(options, nullptr, false, out); !judged) return judged.error();
    return out;
}

Result<Grade> grade_key(Keying keying, const GradeOptions& options) {
    Grade out;
    out.pitch_hz = out.pitch_drift_hz_per_min = std::numeric_limits<double>::quiet_NaN();
    out.keying = std::move(keying);
    if (!out.keying.marks.empty()) out.seconds = out.keying.marks.back().off_s;
    if (const Status judged = judge(options, nullptr, true, out); !judged) return judged.error();
    // There is no transmitter: what looks like one is the hand's unevenness.
    std::erase_if(out.faults, [](const Fault& fault) {
        return fault.kind == FaultKind::dots_clipped || fault.kind == FaultKind::first_late;
    });
    return out;
}

}  // namespace skedlark::fist
