#include "gui/sheet/json_view.h"

#include <cmath>
#include <limits>

namespace skedlark::gui {

using nlohmann::json;

const json* JsonView::find(const std::string& name) const {
    if (!json_->is_object()) wrong("an object");
    const auto found = json_->find(name);
    return found == json_->end() || found->is_null() ? nullptr : &*found;
}

JsonView JsonView::part(const json& inner, const std::string& name) const {
    JsonView view(inner, where_ + (inside_ ? "." : ": ") + name);
    view.inside_ = true;
    return view;
}

void JsonView::wrong(const std::string& wanted) const {
    std::string shown = json_->dump(-1, ' ', false, json::error_handler_t::replace);
    if (shown.size() > 40) shown = shown.substr(0, 37) + "...";
    refuse(shown + " where " + wanted + " is expected");
}

bool JsonView::has(const std::string& name) const { return find(name) != nullptr; }

double JsonView::as_number() const {
    if (json_->is_null()) return std::numeric_limits<double>::quiet_NaN();
    if (!json_->is_number()) wrong("a number or null");
    return json_->get<double>();
}

std::string JsonView::as_text() const {
    if (json_->is_null()) return "";
    if (!json_->is_string()) wrong("a text");
    return json_->get<std::string>();
}

double JsonView::number(const std::string& name) const {
    const json* found = find(name);
    return found == nullptr ? std::numeric_limits<double>::quiet_NaN()
                            : part(*found, name).as_number();
}

double JsonView::needed(const std::string& name) const {
    if (find(name) == nullptr) refuse("\"" + name + "\" is missing");
    return number(name);
}

std::string JsonView::text(const std::string& name) const {
    const json* found = find(name);
    return found == nullptr ? "" : part(*found, name).as_text();
}

std::string JsonView::needed_text(const std::string& name) const {
    if (find(name) == nullptr) refuse("\"" + name + "\" is missing");
    return text(name);
}

std::optional<bool> JsonView::truth(const std::string& name) const {
    const json* found = find(name);
    if (found == nullptr) return std::nullopt;
    if (!found->is_boolean()) part(*found, name).wrong("true, false or null");
    return found->get<bool>();
}

std::optional<JsonView> JsonView::object(const std::string& name) const {
    const json* found = find(name);
    if (found == nullptr) return std::nullopt;
    const JsonView view = part(*found, name);
    if (!found->is_object()) view.wrong("an object");
    return view;
}

std::vector<JsonView> JsonView::list(const std::string& name) const {
    std::vector<JsonView> items;
    const json* found = find(name);
    if (found == nullptr) return items;
    if (!found->is_array()) part(*found, name).wrong("a list");
    for (std::size_t i = 0; i < found->size(); ++i) {
        items.push_back(part((*found)[i], name + "[" + std::to_string(i) + "]"));
    }
    return items;
}

std::vector<std::pair<std::string, JsonView>> JsonView::members(const std::string& name) const {
    std::vector<std::pair<std::string, JsonView>> all;
    const auto inner = object(name);
    if (!inner) return all;
    for (const auto& [key, value] : inner->json_->items()) {
        all.emplace_back(key, inner->part(value, key));
    }
    return all;
}

double JsonView::number_at(std::size_t at) const {
    if (!json_->is_array() || at >= json_->size()) wrong("a list of " + std::to_string(at + 1));
    return part((*json_)[at], std::to_string(at)).as_number();
}

std::string JsonView::text_at(std::size_t at) const {
    if (!json_->is_array() || at >= json_->size()) wrong("a list of " + std::to_string(at + 1));
    return part((*json_)[at], std::to_string(at)).as_text();
}

}  // namespace skedlark::gui
