#pragma once

#include <cstddef>
#include <string>

namespace halfturn {

/// How far long work has come, on standard error: for a person at a terminal one line that is written over,
/// for a program that asks a line "progress 37" for every percent; else nothing.
class ProgressLine {
 public:
  /// `what` names the work, `unit` what is counted: "film", "frame".
  ProgressLine(std::string what, std::string unit, std::size_t total, bool for_program);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  /// `done` of the total, [0, total].
  void at(std::size_t done);

 private:
  std::string what_, unit_;
  std::size_t total_;
  bool for_program_, for_person_;
  int told_percent_ = -1;
};

/// Listens for Ctrl-C and for SIGTERM as long as it lives, so that cancelled work can clear up after itself.
class CancelWatch {
 public:
  CancelWatch();
  ~CancelWatch();
  CancelWatch(const CancelWatch&) = delete;
  CancelWatch& operator=(const CancelWatch&) = delete;
  [[nodiscard]] bool cancelled() const;

 private:
  using Handler = void (*)(int);
  Handler before_interrupt_, before_terminate_;
};

}  // namespace halfturn
