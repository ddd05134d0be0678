// Results as skedlark prints them, made small by hand.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "gui/sheet/make_sheet.h"

namespace skedlark::gui {

inline Results results_of(const std::string& text) {
    auto lines = parse_result_lines(text, "a.json");
    EXPECT_TRUE(lines) << (lines ? "" : lines.error().message);
    auto results = sorted_results(std::move(*lines), "a.json");
    EXPECT_TRUE(results) << (results ? "" : results.error().message);
    return *results;
}
inline Sheet sheet_of(const std::string& text) {
    auto sheet = make_sheet(results_of(text), {});
    EXPECT_TRUE(sheet) << (sheet ? "" : sheet.error().message);
    return sheet ? *sheet : Sheet{};
}
inline std::string problem_of(const std::string& text) {
    const auto sheet = make_sheet(results_of(text), {});
    return sheet ? "" : sheet.error().message;
}

// All words of a sheet, a line each; cells of a row are parted by |.
inline std::string words_of(const Sheet& sheet) {
    std::string all = sheet.title + "\n";
    for (const auto& [name, value] : sheet.facts) all += name + ": " + value + "\n";
    for (const SheetPart& part : sheet.parts) {
        all += part.heading + "\n";
        for (const Block& block : part.blocks) {
            if (const auto* words = std::get_if<Words>(&block)) all += words->text + "\n";
            if (const auto* copied = std::get_if<CopiedWords>(&block)) {
                for (const CopiedRun& run : copied->runs)
                    all += run.doubtful ? "<" + run.text + ">" : run.text;
                all += "\n";
            }
            if (const auto* table = std::get_if<Table>(&block)) {
                all += table->caption + "\n";
                for (const auto& row : table->rows) {
                    for (const std::string& cell : row) all += "|" + cell;
                    all += "|\n";
                }
            }
            if (const auto* plot = std::get_if<Plot>(&block))
                all += plot->title + ": " + plot->said + "\n";
        }
    }
    return all;
}
inline bool has(const std::string& all, const std::string& part) {
    return all.find(part) != std::string::npos;
}
#define EXPECT_HAS(all, part) EXPECT_TRUE(has(all, part)) << (part) << "\nis not in\n" << (all)

inline const std::string kFistResult =
    R"({"event":"input","name":"/tmp/practice.wav","sample_rate_hz":8000.0,"seconds":10.0}
{"event":"keying","tone":1,"unit_ms":60.0,"lengths":[["dot",1.0,60.0],["element_gap",1.06,60.0],["dash",1.12,180.0],["character_gap",1.3,180.0],["dot",1.48,66.0],["word_gap",1.546,420.0],["dash",1.966,174.0]]}
{"event":"summary","seconds":10.0,"tones":[{"tone":1,"pitch_hz":700.12,"pitch_drift_hz_per_min":0.0,"snr_2500hz_db":14.92,"speed_wpm":20.0,"text":"A E T","mean_confidence":0.99,"timing":{"dot_ms":60.0,"dash_ms":180.0,"element_gap_ms":60.0,"character_gap_ms":180.0,"word_gap_ms":420.0,"dash_to_dot":3.0,"dot_cv":0.05,"dash_cv":null,"element_gap_cv":0.0,"character_gap_cv":0.0,"word_gap_cv":null,"weight":0.5,"marks":4},"overall_wpm":18.5,"drift_percent":1.25,"drift_percent_per_min":2.0,"rise_ms":5.0,"fall_ms":5.0,"rhythm":{"A":{"count":1,"units":[1.0,1.0,3.0],"off_standard":0.01},"N":{"count":2,"units":[3.4,1.0,1.0],"off_standard":0.125}}}],"faults":[{"kind":"dots_clipped","at_s":4.0,"said":"dots <lose> 20 ms","advice":"tune off the peak","of_hand":false}],"score":87.4,"score_parts":[{"name":"dots and dashes","kept":0.9,"misread":0.004,"machine":0.0}],"errors":[{"kind":"run_together","at_s":65.0,"meant":"AN","sent":"P","meant_at":4}],"characters":{"meant":4,"reached":4,"right":3,"corrections":0,"repeats":0,"longest_solid_counted":2}}
)";

inline const std::string kCopyResult =
    R"({"event":"input","name":"evening.flac","sample_rate_hz":8000.0,"seconds":30.0}
{"event":"char","tone":1,"from_s":1.0,"to_s":1.2,"char":"BT","confidence":0.99,"others":[],"procedure":true}
{"event":"char","tone":1,"from_s":1.2,"to_s":1.6,"char":" ","confidence":0.99,"others":[]}
{"event":"char","tone":1,"from_s":1.6,"to_s":1.8,"char":"K","confidence":0.99,"others":[["R",0.01]]}
{"event":"char","tone":1,"from_s":1.9,"to_s":2.1,"char":"S","confidence":0.71,"others":[["H",0.2],["5",0.06]]}
{"event":"char","tone":1,"from_s":2.2,"to_s":2.4,"char":"_","confidence":0.3,"others":[["A",0.3]]}
{"event":"char","tone":1,"from_s":2.4,"to_s":3.0,"char":" ","confidence":0.99,"others":[]}
{"event":"char","tone":1,"from_s":3.0,"to_s":3.2,"char":"A","confidence":0.97,"others":[]}
{"event":"char","tone":1,"from_s":3.2,"to_s":3.3,"char":"X","confidence":0.5,"others":[],"final":false}
{"event":"audio_lost","from_s":5.0,"to_s":6.0,"reason":"device"}
{"event":"summary","seconds":30.0,"tones":[{"tone":1,"pitch_hz":699.9,"pitch_drift_hz_per_min":0.1,"snr_2500hz_db":-3.25,"speed_wpm":15.0,"text":"[BT] KS_ A","mean_confidence":0.8,"timing":{}}]}
)";

inline const std::string kSweepResult =
    R"({"event":"input","name":"dial.flac","sample_rate_hz":8000.0,"seconds":60.0}
{"event":"station","div":42.125,"div_95":[42.05,42.2],"mhz":3.7853,"mhz_sd":0.0002,"zero_beat_s":21.5,"keyed":true,"broadcast":false,"snr_2500hz_db":-5.5,"rate_hz_per_s":800.0,"false_alarm_odds":0.001}
{"event":"station","div":43.5,"div_95":[43.4,43.6],"mhz":3.8,"mhz_sd":0.0002,"zero_beat_s":41.0,"keyed":false,"broadcast":true,"snr_2500hz_db":20.0,"rate_hz_per_s":800.0,"false_alarm_odds":0.0}
{"event":"sweep","seconds":60.0,"from_div":44.0,"to_div":42.0,"stations":2,"go_back_div":42.125,"go_back_listen_div":42.19,"map":{"mhz":3.785,"likeliest_div":42.1,"div_95":[42.0,42.3],"passes":1,"chance_so_far":0.75,"next":{"from_div":41.5,"to_div":42.0,"run_on_div":0.1,"div_per_min":0.5,"seconds":60.0,"chance":0.1},"density":[[42.0,0.2],[42.1,0.9],[42.2,0.1]]}}
)";

inline const std::string kDrillResult =
    R"({"event":"marked","answer":"t.txt","sent_file":"/x/ex.wav.txt","sent":10,"right":8,"wrong":1,"open":1,"missing":0,"extra":0,"right_share":0.8,"gaps":{"sent":1,"right":1,"extra":0},"pairs":[{"sent":"S","typed":"H","count":1}],"characters":[{"mark":"right","sent":"K","typed":"K"},{"mark":"wrong","sent":"S","typed":"H"},{"mark":"gap_right","sent":" ","typed":" "},{"mark":"open","sent":"S","typed":"_"},{"mark":"right","sent":"S","typed":"S"}],"speed_wpm":12.0,"speed_ratio":0.9,"next_wpm":10.8,"next_groups_a_minute":1.5}
{"event":"exercise","kind":"groups","count":2,"seed":7,"text":"KXQMV BTLWE","file":null,"text_file":null,"speed_wpm":null,"earlier":0}
)";

}  // namespace skedlark::gui
