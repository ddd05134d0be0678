// Results of the bench, made small by hand.
#pragma once

#include <string>

namespace skedlark::gui {

inline const std::string kBenchResult =
    R"({"event":"input","name":"/r/tone.wav","sample_rate_hz":48000.0,"seconds":10.0}
{"event":"measurement","test":"tone","name":"sinad_db","what":"tone over noise and distortion","value":14.25,"uncertainty_95":0.15,"known":"value","limit":12.0,"limit_kind":"min","limit_from":"project","pass":true,"sure":true,"chain":"lead A"}
{"event":"measurement","test":"tone","name":"thd_percent","what":"distortion","value":11.2,"uncertainty_95":1.4,"known":"value","limit":10.0,"limit_kind":"max","limit_from":"file","pass":false,"sure":false,"chain":"lead A"}
{"event":"measurement","test":"tone","name":"harmonic_2_db","what":"harmonic 2","value":-19.5,"uncertainty_95":0.5,"known":"value","limit":null,"pass":null,"chain":"lead A"}
{"event":"measurement","test":"tone","name":"harmonic_3_db","what":"harmonic 3","value":-48.0,"uncertainty_95":null,"known":"at_most","limit":null,"pass":null,"chain":"lead A"}
{"event":"note","at_s":10.0,"text":"Clipped once."}
{"event":"bench","test":"tone","seconds":10.0,"chain":"lead A","pass":false}
{"event":"input","name":"cold.flac","sample_rate_hz":8000.0,"seconds":600.0}
{"event":"measurement","test":"drift","name":"wander_hz","at":"1 s","what":"change from one stretch to the next","value":0.2,"uncertainty_95":0.05,"known":"value","limit":null,"pass":null}
{"event":"measurement","test":"drift","name":"jumps","what":"jumps of the pitch","value":0.0,"uncertainty_95":0.0,"known":"value","limit":0.0,"limit_kind":"max","limit_from":"project","pass":true,"sure":true}
{"event":"occurrence","test":"drift","kind":"jump","at_s":80.0,"length_s":1.0,"depth_db":null,"said":"pitch jumps by +2.00 Hz"}
{"event":"curve","test":"drift","name":"pitch","what":"pitch against time","x":"time_min","y":"pitch_hz","points":[[0.5,700.0,0.1],[1.5,690.0,0.1],[2.5,686.0,0.2]]}
{"event":"bench","test":"drift","seconds":600.0,"chain":null,"pass":true}
)";

// The same receiver before: distortion within both uncertainties, SINAD far off, one figure less.
inline const std::string kBenchBefore =
    R"({"event":"measurement","test":"tone","name":"sinad_db","value":9.0,"uncertainty_95":0.2,"known":"value","limit":null,"pass":null}
{"event":"measurement","test":"tone","name":"thd_percent","value":12.0,"uncertainty_95":1.0,"known":"value","limit":null,"pass":null}
{"event":"measurement","test":"tone","name":"harmonic_3_db","value":-50.0,"uncertainty_95":0.5,"known":"value","limit":null,"pass":null}
{"event":"curve","test":"drift","name":"pitch","what":"pitch against time","x":"time_min","y":"pitch_hz","points":[[0.5,710.0,0.1],[1.5,670.0,0.1]]}
{"event":"bench","test":"drift","seconds":600.0,"chain":null,"pass":true}
)";

}  // namespace skedlark::gui
