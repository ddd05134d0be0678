#include "gui/common/desk_state.h"

#include <chrono>
#include <utility>

#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"

namespace skedlark::gui {

DeskState::DeskState(AudioHub& hub, Settings& settings) : hub_(hub), settings_(settings) {}

Theme DeskState::theme() const {
    return {settings_.on("look/dark"), settings_.number("look/type_percent")};
}

UtcTime DeskState::now() const {
    return now_.value_or(
        std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now()));
}

Status DeskState::load_plan(const QString& path) {
    auto plan = station::read_plan(path.toStdString());
    if (!plan) return plan.error();
    set_plan(*std::move(plan));
    settings_.set("station/plan", path);
    return Done{};
}

Status DeskState::load_receiver(const QString& path) {
    auto receiver = dial::read_receiver(path.toStdString());
    if (!receiver) return receiver.error();
    set_receiver(*std::move(receiver), path);
    return Done{};
}

void DeskState::set_plan(station::Plan plan) {
    plan_ = std::move(plan);
    emit plan_changed();
}

void DeskState::set_receiver(dial::Receiver receiver, const QString& path) {
    receiver_ = std::move(receiver);
    known_.clear();
    settings_.set("station/receiver", path);
    emit receiver_changed();
}

void DeskState::set_known(std::vector<dial::KnownStation> known) {
    known_ = std::move(known);
    emit receiver_changed();
}

void DeskState::set_card(std::optional<station::ContactCard> card) {
    card_ = std::move(card);
    emit card_changed();
}

}  // namespace skedlark::gui
