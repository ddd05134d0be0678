#include "dsp/fist/character_search.h"

#include <array>
#include <optional>

#include "tests/dsp/fist/keyed.h"

namespace skedlark::fist {
namespace {

// A few characters keyed by machine, so that every length is what the standard says.
class OneCharacter : public ::testing::Test {
 protected:
    // Costs of 1, 2, ... marks from the first on being `elements`; and how they came about.
    std::array<float, kMostMarks + 1> costs_of(std::string_view elements) {
        const auto hand = find_hand(keying_);
        EXPECT_TRUE(hand);
        odds_ = length_odds(keying_, *hand, probable_kinds(keying_, *hand));
        search_.emplace(odds_, elements);
        std::array<float, kMostMarks + 1> costs{};
        search_->run(0, costs);
        return costs;
    }

    Keying keying_ = keying_of(marks_of("RAN PARIS", "machine"));
    LengthOdds odds_;
    std::optional<CharacterSearch> search_;
};

TEST_F(OneCharacter, AsItIsCostsNothing) {
    const auto costs = costs_of(".-.");
    EXPECT_LT(costs[3], 0.1F);
    for (const ElementStep& step : search_->way(3)) EXPECT_EQ(step.fate, ElementFate::right);
    // Fewer marks must drop elements, more put some in.
    EXPECT_GT(costs[2], 3.0F);
    EXPECT_GT(costs[4], 3.0F);
}

TEST_F(OneCharacter, AnotherElementIsNamedWithItsPlace) {
    const auto costs = costs_of(".--");
    EXPECT_GT(costs[3], 3.0F);
    const auto way = search_->way(3);
    ASSERT_EQ(way.size(), 3U);
    EXPECT_EQ(way[0].fate, ElementFate::right);
    EXPECT_EQ(way[2].fate, ElementFate::other);
    EXPECT_TRUE(way[2].dash);  // as meant
}

TEST_F(OneCharacter, DroppedAndPutInElementsUseEveryMarkOnce) {
    for (const std::string_view elements : {".", ".-", ".-.-", "-----", "........"}) {
        static_cast<void>(costs_of(elements));
        for (std::size_t marks = 1; marks <= 5; ++marks) {
            std::size_t mark = 0;
            std::size_t meant = 0;
            for (const ElementStep& step : search_->way(marks)) {
                const bool sounded =
                    step.fate != ElementFate::dropped && step.fate != ElementFate::lost;
                if (sounded) {
                    EXPECT_EQ(step.mark, mark++);
                }
                meant += step.fate == ElementFate::put_in ? 0 : 1;
            }
            EXPECT_EQ(mark, marks) << elements;
            EXPECT_EQ(meant, elements.size()) << marks;
        }
    }
}

}  // namespace
}  // namespace skedlark::fist
