#include "tests/accuracy/fist/parts.h"

namespace skedlark::study {

Result<support::CsvTable> run_part(const std::string& name, const FistStudy& study) {
    if (name == "alignment") return alignment_table(study);
    if (name == "faults") return faults_table(study);
    if (name == "score") return score_table(study);
    if (name == "measure") return measure_table(study);
    if (name == "time") return time_table(study);
    return Error{ErrorCode::not_found,
                 "--part: \"" + name + "\", allowed alignment, faults, score, measure, time"};
}

}  // namespace skedlark::study
