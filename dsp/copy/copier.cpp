#include "dsp/copy/copier.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "dsp/copy/consensus.h"
#include "dsp/copy/fine_pitch.h"
#include "dsp/copy/fist_tracker.h"
#include "dsp/copy/flush_denormals.h"
#include "dsp/copy/level_tracker.h"
#include "dsp/copy/path_sampler.h"
#include "dsp/copy/read_ahead.h"
#include "dsp/copy/scan_schedule.h"
#include "dsp/copy/speed_search.h"
#include "dsp/copy/text_record.h"
#include "dsp/copy/unaided.h"

namespace skedlark::copy {
namespace {

constexpr int kEvidenceFrames = 8192;  // 40 s
constexpr int kTrellisFrames = 4096;   // 20 s
// What is read less surely than this is doubtful.
constexpr double kDoubt = 0.85;
// A known speed is checked again: another must differ so much, and be so much better, to be taken.
constexpr double kOtherSpeed = 0.15;
constexpr double kOtherEvidence = 12.0;
constexpr double kScanWindowS = 12.0;
// The search begins at most this long before the scan that found the speed.
constexpr double kLookBackS = 30.0;
// Times the audio at hand is read before anything is said, to learn the hand.
constexpr int kLockPasses = 2;
constexpr double kHopS = 0.5;
constexpr double kHopDots = 6.0;
constexpr double kProvisionalHopS = 0.1;
constexpr int kPaths = 64;
constexpr int kProvisionalPaths = 16;
// Hands the search starts with.
constexpr std::size_t kHands = 7;
// A character of which more than this share was lost is not said.
constexpr double kMostLost = 0.4;
constexpr double kLagDots = 30.0;
// Text is agreed on with so much heard after it at least.
constexpr double kLeastAfterS = 1.0;
// Nothing in the code is longer, drawn out a little: 0 has 19.
constexpr double kLongestCharacterDots = 25.0;
// Readings that know of the text begin so far before the last final character: about a group.
constexpr double kTextBeforeDots = 80.0;

}  // namespace

struct Copier::Search {
    explicit Search(const CopierConfig& c)
        : config(c), evidence(kEvidenceFrames), reader(kTrellisFrames) {
        if (config.text != TextKind::none) {
            const TrafficOdds& odds = reader.trellis().odds();
            knowledge.emplace(config.text, CodeTree::standard(), odds.between_words());
        }
        reset();
    }

    CopierConfig config;
    MarkEvidence evidence;
    ReadAhead reader;
    PathSampler sampler;
    std::optional<TextKnowledge> knowledge;
    FistTracker fist;
    LevelTracker level;
    FinePitch fine;
    bool locked = false;
    std::int64_t unlocked_since = 0;
    ScanSchedule schedule;
    std::int64_t last_said = 0;
    std::int64_t next_hop = 0, next_provisional = 0;
    double committed = 0.0;  // end of the last final character, or start of the search
    double learned = 0.0;
    TextRecord record;

    void reset() {
        evidence.reset();
        evidence.mix = MarkMix{};
        sampler = PathSampler();
        fist.reset();
        level.reset();
        fine.reset();
        locked = false;
        unlocked_since = 0;
        last_said = 0;
        schedule.restart(0);
        committed = learned = 0.0;
        record = TextRecord(config.tone);
    }

    [[nodiscard]] double dot_frames() const { return fist.timing().dot.mean_frames; }
    [[nodiscard]] std::int64_t hop_frames() const {
        return std::max(tone::frames_from_seconds(kHopS),
                        static_cast<std::int64_t>(kHopDots * dot_frames()));
    }
    [[nodiscard]] std::int64_t lag_frames() const {
        return std::min<std::int64_t>(std::max(tone::frames_from_seconds(config.lag_s),
                                               static_cast<std::int64_t>(kLagDots * dot_frames())),
                                      kTrellisFrames / 2);
    }
    // A character waits up to a hop for its turn: with that it is final after the lag.
    [[nodiscard]] std::int64_t settle_frames() const { return lag_frames() - hop_frames(); }

    void take(const tone::BasebandFrame& frame, std::vector<Event>& out) {
        if (evidence.size() == 0) {
            record.set_origin(frame.at_frame);
        }
        evidence.append(fine.taken_out(frame), locked ? level.amplitude() : 1.0);
        if (locked) {
            carry_on(out);
        }
        if (schedule.due(evidence.size())) {
            schedule.plan(evidence.size(), standing());
            if (locked) {
                check_speed(out);
            } else {
                look_for_speed(out);
            }
        }
    }

    [[nodiscard]] Standing standing() const {
        return !locked                               ? Standing::unread
               : record.recent_confidence() > kDoubt ? Standing::sure
                                                     : Standing::doubtful;
    }

    // Was the speed taken wrong, or has it changed? Then the search begins anew after the last
    // final character.
    void check_speed(std::vector<Event>& out) {
        const std::int64_t now = evidence.size();
        const std::int64_t from =
            std::max(evidence.oldest(), now - tone::frames_from_seconds(kScanWindowS));
        const Timing current = fist.timing();
        const SpeedScan scan = scan_speeds(evidence, from, now, range(), &current);
        const SpeedScore& best = scan.scores.front();
        const bool other =
            std::abs(std::log(best.dot_frames / current.dot.mean_frames)) > kOtherSpeed;
        if (other && best.log_evidence > scan.current_evidence + kOtherEvidence &&
            is_sure(scan, now - from)) {
            const double amplitude = level.amplitude();
            lock(scan.scores, amplitude, std::max<std::int64_t>(from, std::llround(committed)),
                 out);
        }
    }

    [[nodiscard]] SpeedRange range() const {
        return config.speed_wpm > 0.0 ? SpeedRange::about(config.speed_wpm) : SpeedRange::all();
    }

    void carry_on(std::vector<Event>& out) {
        for (std::int64_t firm = reader.firm(); reader.advance(evidence); firm = reader.firm()) {
            fine.learn(reader.turn_lately(), reader.firm() - firm);
            if (reader.firm() >= next_hop) {
                next_hop = reader.firm() + hop_frames();
                settle_behind(out);
            }
        }
        if (config.provisional && evidence.size() >= next_provisional) {
            next_provisional = evidence.size() + tone::frames_from_seconds(kProvisionalHopS);
            reader.extend(evidence);
            show(out);
        }
    }

    // What lies so far behind that it is to become final.
    void settle_behind(std::vector<Event>& out) {
        const std::int64_t until = reader.now() - settle_frames();
        // With a long lag there is enough that is firm after it.
        if (reader.firm() - until < tone::frames_from_seconds(kLeastAfterS)) {
            reader.extend(evidence);
        }
        settle(until, out);
    }

    [[nodiscard]] double mean_power() const { return level.amplitude() * level.amplitude(); }

    void look_for_speed(std::vector<Event>& out) {
        const std::int64_t now = evidence.size();
        const std::int64_t from = std::max(
            {evidence.oldest(), unlocked_since, now - tone::frames_from_seconds(kScanWindowS)});
        const FoundSpeed found = find_speed(evidence, from, range());
        if (is_sure(found.scan, now - from)) {
            const std::int64_t begin = std::max(
                {evidence.oldest(), unlocked_since, now - tone::frames_from_seconds(kLookBackS)});
            lock(found.scan.scores, found.amplitude, begin, out);
        }
    }

    void lock(const std::vector<SpeedScore>& scores, double amplitude, std::int64_t from,
              std::vector<Event>& out) {
        level.start(amplitude);
        evidence.mix = level.mix();
        evidence.relevel(from, amplitude);
        std::vector<Timing> hands;
        for (std::size_t i = 0; i < scores.size() && hands.size() < kHands; ++i) {
            hands.push_back(scores[i].timing());
        }
        fist.start(hands.front());
        for (int pass = 0; pass < kLockPasses; ++pass) {
            rehearse(from, hands);
            hands = fist.proposals();
        }
        reader.begin(from, hands, mean_power());
        locked = true;
        schedule.found_speed();
        committed = std::max(committed, static_cast<double>(from));
        learned = committed;
        next_hop = from + tone::frames_from_seconds(kHopS);
        next_provisional = next_hop;
        carry_on(out);
    }

    // Reads all that is at hand once without saying anything, to learn the hand and the level.
    void rehearse(std::int64_t from, const std::vector<Timing>& hands) {
        reader.begin(from, hands, mean_power());
        reader.finish(evidence);
        const TextTrellis& trellis = reader.trellis();
        const std::int64_t oldest = trellis.oldest();
        const std::vector<SampledPath> paths =
            sampler.draw(trellis, evidence, oldest, kPaths, known());
        if (!paths.empty()) {
            const auto now = static_cast<double>(trellis.now());
            fist.relearn(paths, static_cast<double>(oldest), now);
            level.learn(paths, evidence, static_cast<double>(oldest), now);
            evidence.mix = level.mix();
            const double turn = reader.turn_since_begin();
            evidence.turn_back(from, turn);
            fine.add(turn, evidence.size() - from);
            evidence.relevel(from, level.amplitude());
            expect_confidence(paths, static_cast<double>(oldest));
        }
    }

    void expect_confidence(const std::vector<SampledPath>& paths, double since) {
        const std::vector<AgreedCharacter> agreed = agree(paths, since, consensus(paths.size()));
        double sum = 0.0;
        for (const AgreedCharacter& character : agreed) {
            sum += character.share;
        }
        if (!agreed.empty()) {
            record.expect(std::min(1.0, sum / static_cast<double>(agreed.size())));
        }
    }

    [[nodiscard]] ConsensusConfig consensus(std::size_t paths) const {
        ConsensusConfig settings;
        settings.dot_frames = dot_frames();
        settings.open_mark_below = config.open_mark_below;
        settings.paths = static_cast<int>(paths);
        return settings;
    }

    [[nodiscard]] const TextKnowledge* known() const { return knowledge ? &*knowledge : nullptr; }

    [[nodiscard]] std::vector<AgreedCharacter> read(int paths, const TextKnowledge* with,
                                                    std::vector<SampledPath>& drawn) {
        // The gap before the first open character must be seen: go back over the last final one.
        const double back = with == nullptr ? 2.0 : kTextBeforeDots;
        const auto stop = std::max(reader.trellis().oldest(),
                                   static_cast<std::int64_t>(committed - back * dot_frames()));
        drawn = sampler.draw(reader.trellis(), evidence, stop, paths, with);
        leave_out_lost(drawn);
        const double since = !record.empty() ? committed + 0.5 * dot_frames() : committed;
        return drawn.empty() ? std::vector<AgreedCharacter>{}
                             : agree(drawn, since, consensus(drawn.size()));
    }

    // Where no audio was, the odds of traffic alone would go on sending: none of that is heard.
    void leave_out_lost(std::vector<SampledPath>& paths) const {
        for (SampledPath& path : paths) {
            std::erase_if(path, [&](const SampledCharacter& character) {
                return character.from() >= evidence.oldest() &&
                       evidence.lost_share(character.from(), character.to()) > kMostLost;
            });
        }
    }

    // Makes final what ended before `until`.
    void settle(std::int64_t until, std::vector<Event>& out) {
        std::vector<SampledPath> paths;
        const std::vector<AgreedCharacter> agreed = read(kPaths, known(), paths);
        if (paths.empty()) {
            return;
        }
        std::vector<AgreedCharacter> alone;
        if (knowledge) {
            std::vector<SampledPath> unaided;
            alone = read(kPaths, nullptr, unaided);
        }
        for (const AgreedCharacter& character : agreed) {
            if (character.to > static_cast<double>(until)) {
                break;
            }
            record.settle(character, static_cast<int>(paths.size()), out,
                          knowledge ? unaided_reading(character, alone) : std::nullopt);
            committed = character.to;
            last_said = evidence.size();
        }
        // Sent too fast or too slow for the hands at hand, it is taken for keying without Morse
        // lengths and nothing is said: that, too, is a doubt.
        if (evidence.size() - last_said > tone::frames_from_seconds(kCheckDoubtS)) {
            schedule.doubt();
        }
        const auto horizon = static_cast<double>(until);
        if (horizon > learned) {
            fist.learn(paths, learned, horizon);
            level.learn(paths, evidence, learned, horizon);
            learned = horizon;
            evidence.mix = level.mix();
            reader.follow(fist.proposals(), mean_power());
        }
        // Whatever ended before the horizon has been said, or there was nothing to say.
        committed = std::max({committed, static_cast<double>(reader.trellis().oldest()),
                              horizon - kLongestCharacterDots * dot_frames()});
    }

    // Shows what was heard since the last final character; may still change.
    void show(std::vector<Event>& out) {
        std::vector<SampledPath> paths;
        const std::vector<AgreedCharacter> agreed = read(kProvisionalPaths, known(), paths);
        record.show(agreed, static_cast<int>(paths.size()), out);
    }

    void finish(std::vector<Event>& out) {
        if (!locked) {
            if (evidence.size() > unlocked_since) {
                look_for_speed(out);
            }
        }
        if (locked) {
            reader.finish(evidence);
            settle(evidence.size(), out);
        }
    }
};

Result<Copier> Copier::create(const CopierConfig& config) {
    if (const auto fault = fault_of(config)) {
        return *fault;
    }
    return Copier(std::make_unique<Search>(config));
}

Copier::Copier(std::unique_ptr<Search> search) : search_(std::move(search)) {}
Copier::Copier(Copier&&) noexcept = default;
Copier& Copier::operator=(Copier&&) noexcept = default;
Copier::~Copier() = default;

void Copier::process(std::span<const tone::BasebandFrame> frames, std::vector<Event>& out) {
    const FlushDenormals guard;
    for (const tone::BasebandFrame& frame : frames) {
        search_->take(frame, out);
    }
}

void Copier::finish(std::vector<Event>& out) {
    const FlushDenormals guard;
    search_->finish(out);
}

void Copier::reset() { search_->reset(); }

ToneSummary Copier::summary() const {
    ToneSummary out;
    out.tone = search_->config.tone;
    out.text = search_->record.text();
    out.timing = search_->fist.totals();
    if (!search_->record.empty()) {
        out.mean_confidence = search_->record.mean_confidence();
        out.snr_2500hz_db = search_->level.snr_2500hz_db();
        // Dot and gap together, so that heavy or light keying does not look like another speed.
        const double unit_s = std::isnan(out.timing.element_gap_s)
                                  ? out.timing.dot_s
                                  : 0.5 * (out.timing.dot_s + out.timing.element_gap_s);
        out.speed_wpm = unit_s > 0.0 ? speed_wpm(unit_s) : 0.0;
    }
    return out;
}

}  // namespace skedlark::copy
