#include "gui/sheet/json_view.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

namespace skedlark::gui {
namespace {

const nlohmann::json kLine = nlohmann::json::parse(
    R"({"a":1.5,"b":null,"c":"x","d":true,"e":[1,null,"y"],"f":{"g":2,"h":{"i":"deep"}}})");

std::string refusal(const std::function<void(const JsonView&)>& ask) {
    try {
        ask(JsonView(kLine, "r.json:3"));
    } catch (const BadResult& bad) {
        return bad.what();
    }
    return "";
}

TEST(JsonView, WhatIsThere) {
    const JsonView view(kLine, "r.json:3");
    EXPECT_EQ(view.needed("a"), 1.5);
    EXPECT_TRUE(std::isnan(view.number("b")));
    EXPECT_TRUE(std::isnan(view.number("none")));
    EXPECT_EQ(view.text("c"), "x");
    EXPECT_EQ(view.text("none"), "");
    EXPECT_EQ(view.truth("d"), true);
    EXPECT_FALSE(view.truth("b"));
    EXPECT_TRUE(view.has("a"));
    EXPECT_FALSE(view.has("b"));
    ASSERT_EQ(view.list("e").size(), 3U);
    EXPECT_EQ(view.list("e")[0].as_number(), 1.0);
    EXPECT_TRUE(std::isnan(view.list("e")[1].as_number()));
    EXPECT_TRUE(view.list("none").empty());
    EXPECT_EQ(view.object("f")->object("h")->text("i"), "deep");
    ASSERT_EQ(view.members("f").size(), 2U);
    EXPECT_EQ(view.members("f")[0].first, "g");
}

TEST(JsonView, WhatIsWrongIsNamedWithItsPlace) {
    EXPECT_EQ(refusal([](const JsonView& v) { (void)v.needed("b"); }),
              "r.json:3: \"b\" is missing");
    EXPECT_EQ(refusal([](const JsonView& v) { (void)v.number("c"); }),
              "r.json:3: c: \"x\" where a number or null is expected");
    EXPECT_EQ(refusal([](const JsonView& v) { (void)v.list("e")[2].as_number(); }),
              "r.json:3: e[2]: \"y\" where a number or null is expected");
    EXPECT_EQ(refusal([](const JsonView& v) { (void)v.object("f")->object("h")->number("i"); }),
              "r.json:3: f.h.i: \"deep\" where a number or null is expected");
    EXPECT_NE(refusal([](const JsonView& v) { (void)v.object("a"); }).find("an object"),
              std::string::npos);
    EXPECT_NE(refusal([](const JsonView& v) { (void)v.list("a"); }).find("a list"),
              std::string::npos);
    EXPECT_NE(refusal([](const JsonView& v) { (void)v.truth("a"); }).find("true, false"),
              std::string::npos);
    EXPECT_NE(refusal([](const JsonView& v) { (void)v.list("e")[0].number_at(0); }).find("a list"),
              std::string::npos);
}

}  // namespace
}  // namespace skedlark::gui
