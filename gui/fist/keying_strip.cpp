#include "gui/fist/keying_strip.h"

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr double kSame = 1e-6;

const std::vector<fist::MeasuredMark>& marks_of(const fist::Grade& grade) {
    return grade.keying.marks;
}

// The first mark that ends after this moment.
std::size_t mark_at(const fist::Grade& grade, double at_s) {
    const auto& marks = marks_of(grade);
    const auto found = std::find_if(marks.begin(), marks.end(),
                                    [&](const auto& mark) { return mark.off_s > at_s + kSame; });
    return static_cast<std::size_t>(found - marks.begin());
}

Place of_marks(const fist::Grade& grade, std::size_t first, std::size_t count) {
    const auto& marks = marks_of(grade);
    if (first >= marks.size()) return {};
    const std::size_t last = std::min(first + std::max<std::size_t>(1, count), marks.size()) - 1;
    return {marks[first].on_s, marks[last].off_s, false};
}

Place of_gap_before(const fist::Grade& grade, std::size_t mark) {
    const auto& marks = marks_of(grade);
    if (marks.empty()) return {};
    if (mark == 0) return {marks[0].on_s - 0.1, marks[0].on_s, true};
    if (mark >= marks.size()) return {marks.back().off_s, marks.back().off_s + 0.2, true};
    return {marks[mark - 1].off_s, marks[mark].on_s, true};
}

std::string shown(const fist::SentCharacter& character) { return fist::name_of(character); }

}  // namespace

Place place_of(const fist::Grade& grade, const fist::Fault& fault) {
    const auto& marks = marks_of(grade);
    const std::size_t next = mark_at(grade, fault.at_s);
    const bool at_end_of_mark =
        next > 0 && next <= marks.size() && std::abs(marks[next - 1].off_s - fault.at_s) < kSame;
    if (at_end_of_mark) return of_gap_before(grade, next);
    // What is of the whole sending shows on its first characters.
    const bool whole = fault.kind == fist::FaultKind::speed_runs_away ||
                       fault.kind == fist::FaultKind::chirp || fault.kind == fist::FaultKind::hum;
    return of_marks(grade, next, whole ? 6 : 1);
}

Place place_of(const fist::Grade& grade, const fist::TextError& error) {
    const auto elements = static_cast<std::size_t>(std::count_if(
        error.elements.begin(), error.elements.end(), [](char c) { return c != ' '; }));
    const std::size_t first = mark_at(grade, error.at_s);
    if (elements == 0) return of_gap_before(grade, first);
    return of_marks(grade, first, elements);
}

KeyingStrip strip_about(const fist::Grade& grade, const Place* place) {
    KeyingStrip out;
    const auto& marks = marks_of(grade);
    if (marks.empty()) return out;
    const double begin_s = marks.front().on_s - 0.5;
    double wide_s = kStripS;
    out.from_s = begin_s;
    if (place != nullptr) {
        out.place = *place;
        out.has_place = true;
        wide_s = std::max(kStripS, place->to_s - place->from_s + 2.0 * kHeardBesideS);
        out.from_s = std::max(begin_s, 0.5 * (place->from_s + place->to_s) - 0.5 * wide_s);
    }
    out.to_s = out.from_s + wide_s;
    if (std::isfinite(grade.statistics.unit_s)) out.unit_s = grade.statistics.unit_s;
    for (std::size_t i = 0; i < marks.size(); ++i) {
        if (marks[i].off_s < out.from_s || marks[i].on_s > out.to_s) continue;
        StripMark one{marks[i].on_s, marks[i].off_s, false, false};
        one.dash = i < grade.sending.kinds.marks.size() &&
                   grade.sending.kinds.marks[i] == morse::ElementKind::dash;
        one.faulty = out.has_place && !out.place.gap && one.to_s > out.place.from_s + kSame &&
                     one.from_s < out.place.to_s - kSame;
        out.marks.push_back(one);
    }
    for (const fist::SentCharacter& one : grade.sending.characters) {
        const double from_s = marks[one.first_mark].on_s;
        const double to_s = marks[one.first_mark + one.marks - 1].off_s;
        if (to_s < out.from_s || from_s > out.to_s) continue;
        out.characters.push_back({from_s, to_s, shown(one)});
    }
    return out;
}

}  // namespace skedlark::gui
