#include "progress_line.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>

namespace halfturn {
namespace {

volatile std::sig_atomic_t asked_to_stop = 0;

void on_stop(int) {
  asked_to_stop = 1;
}

}  // namespace

ProgressLine::ProgressLine(std::string what, std::string unit, std::size_t total, bool for_program)
    : what_(std::move(what)),
      unit_(std::move(unit)),
      total_(total),
      for_program_(for_program),
      for_person_(!for_program && ::isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() {
  if (for_person_) fmt::print(stderr, "\r\x1b[K");
}

void ProgressLine::at(std::size_t done) {
  if ((!for_person_ && !for_program_) || total_ == 0) return;
  const int percent = static_cast<int>(100 * done / total_);
  if (percent == told_percent_) return;
  told_percent_ = percent;
  if (for_program_) {
    fmt::print(stderr, "progress {}\n", percent);
  } else {
    fmt::print(stderr, "\r{}: {:3} %, {} {} of {}, Ctrl-C cancels ", what_, percent, unit_, done, total_);
  }
  std::fflush(stderr);
}

CancelWatch::CancelWatch() {
  asked_to_stop = 0;
  before_interrupt_ = std::signal(SIGINT, on_stop);
  before_terminate_ = std::signal(SIGTERM, on_stop);
}

CancelWatch::~CancelWatch() {
  std::signal(SIGINT, before_interrupt_);
  std::signal(SIGTERM, before_terminate_);
}

bool CancelWatch::cancelled() const {
  return asked_to_stop != 0;
}

}  // namespace halfturn
