// Runs the real program from a test: arguments, standard input, where its output goes, how it
// ended.
//
// Stage:   tests.
// Time:    a program that runs longer than timeout_s is ended by its id and reported with timed_out
//          = true.
// Threads: each call by itself.
#pragma once

#include <sys/types.h>

#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace skedlark::test {

struct ProgramOptions {
    std::string input{};        // given on standard input
    std::string output_to{};    // a file such as /dev/full; empty: captured
    bool close_output = false;  // standard output is closed before the program starts
    std::map<std::string, std::string> environment{};  // on top of the test's own
    double timeout_s = 60.0;
};

struct Ended {
    int status = -1;  // exit status; 128 + number where a signal ended it
    bool timed_out = false;
    std::string out;
    std::string error;
};

// Runs skedlark to its end.
[[nodiscard]] Ended run_skedlark(const std::vector<std::string>& arguments,
                                 const ProgramOptions& options = {});

// Runs a shell command line with $SKEDLARK set to the program's path.
[[nodiscard]] Ended run_shell(const std::string& command, const ProgramOptions& options = {});

// A program that goes on while the test does something; ended when this goes.
class Running {
 public:
    Running(const std::vector<std::string>& command, const ProgramOptions& options);
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    ~Running();

    void signal(int number) const;
    // Closes the reading end of its standard output.
    void stop_reading();
    // True once `text` stands in its output so far.
    [[nodiscard]] bool wait_for_output(const std::string& text, double timeout_s);
    [[nodiscard]] const std::string& output() const { return ended_.out; }
    [[nodiscard]] Ended wait();

 private:
    bool pump(int wait_ms);  // false: both outputs are closed

    ProgramOptions options_;
    pid_t process_ = -1;
    int in_ = -1;
    int out_ = -1;
    int error_ = -1;
    std::size_t in_sent_ = 0;
    Ended ended_;
};

[[nodiscard]] std::string skedlark_path();
// One parsed object a line.
[[nodiscard]] std::vector<nlohmann::json> json_lines(const std::string& text);
// Those whose "event" is `kind`.
[[nodiscard]] std::vector<nlohmann::json> events_of(const std::vector<nlohmann::json>& events,
                                                    const std::string& kind);

// A folder that is removed at the end.
class TempFolder {
 public:
    TempFolder();
    TempFolder(const TempFolder&) = delete;
    TempFolder& operator=(const TempFolder&) = delete;
    ~TempFolder();
    [[nodiscard]] std::string path(const std::string& name) const { return path_ + "/" + name; }
    // Writes a file there and returns its path.
    std::string put(const std::string& name, const std::string& content) const;

 private:
    std::string path_;
};

[[nodiscard]] std::string content_of(const std::string& path);

}  // namespace skedlark::test
