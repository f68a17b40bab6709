// A logbook of 200,000 attempts: opening it, and each question a screen asks.
#include <benchmark/benchmark.h>
#include <stdlib.h>

#include <filesystem>
#include <string>

#include "format/vocabulary_file.hpp"
#include "ladder/progress.hpp"
#include "logbook/logbook.hpp"

using namespace halfturn;

namespace {

constexpr int athlete_count = 40, attempt_count = 200'000, session_count = 200;

const Ladder& ladder() {
  static const Ladder made = [] {
    Plan plan;
    plan.steps.assign(4, Step{.twist_deg = 180});
    return make_ladder(plan, built_in_vocabulary(), built_in_difficulty()).value();
  }();
  return made;
}

/// Made once, removed at the end of the program.
struct Big {
  std::string folder = "/tmp/halfturn-benchmark-XXXXXX", path;
  std::int64_t athlete = 0;
  Big() {
    HT_EXPECT(mkdtemp(folder.data()) != nullptr);
    path = folder + "/logbook.db";
    Logbook logbook = Logbook::open(path, Logbook::Mode::write).value();
    std::vector<std::int64_t> ids;
    for (int i = 0; i < athlete_count; ++i) {
      AthleteProfile profile;
      profile.name = "Athlete " + std::to_string(i);
      ids.push_back(logbook.add_athlete(profile, 0)->id);
    }
    std::vector<NewAttempt> attempts;
    for (int i = 0; i < attempt_count; ++i) {
      AttemptRecord r;
      r.rung = rung_key(ladder(), static_cast<std::size_t>(i / 40 % 5));
      r.time_ms = std::int64_t{i} * 60'000;
      r.outcome = static_cast<AttemptOutcome>(i * 7 % 11 % 7);
      r.heading_error_deg = 15 * (i % 5 - 2);
      r.air_time_s = 0.8;
      attempts.push_back({ids[static_cast<std::size_t>(i % athlete_count)],
                          "session " + std::to_string(i / (attempt_count / session_count)), "", r});
    }
    HT_EXPECT(logbook.add_attempts(attempts).ok());
    athlete = ids[7];
  }
  ~Big() {
    std::error_code error;
    std::filesystem::remove_all(folder, error);
  }
};
Big& big() {
  static Big made;
  return made;
}

void open_logbook(benchmark::State& state) {
  const std::string& path = big().path;
  for (auto _ : state) {
    const Result<Logbook> logbook =
        Logbook::open(path, state.range(0) != 0 ? Logbook::Mode::write : Logbook::Mode::read);
    HT_EXPECT(logbook.ok());
  }
}
BENCHMARK(open_logbook)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

void gates_of_an_athlete(benchmark::State& state) {
  const Logbook logbook = Logbook::open(big().path, Logbook::Mode::read).value();
  for (auto _ : state) {
    const auto records = logbook.records(big().athlete);
    benchmark::DoNotOptimize(gates(ladder(), *records, *logbook.decisions(big().athlete)));
  }
}
BENCHMARK(gates_of_an_athlete)->Unit(benchmark::kMillisecond);

void progress_of_an_athlete(benchmark::State& state) {
  const Logbook logbook = Logbook::open(big().path, Logbook::Mode::read).value();
  for (auto _ : state) {
    const auto attempts = logbook.attempts({.athlete_id = big().athlete});
    std::vector<AttemptRecord> records;
    std::vector<std::string> sessions;
    for (const AttemptEntry& entry : *attempts) {
      records.push_back(entry.record);
      sessions.push_back(entry.session);
    }
    for (const auto& judged : judged_by_rung(ladder(), records, sessions))
      benchmark::DoNotOptimize(rung_progress(judged));
  }
}
BENCHMARK(progress_of_an_athlete)->Unit(benchmark::kMillisecond);

void list_of_athletes(benchmark::State& state) {
  const Logbook logbook = Logbook::open(big().path, Logbook::Mode::read).value();
  for (auto _ : state) benchmark::DoNotOptimize(logbook.athletes());
}
BENCHMARK(list_of_athletes)->Unit(benchmark::kMillisecond);

void last_fifty_attempts(benchmark::State& state) {
  const Logbook logbook = Logbook::open(big().path, Logbook::Mode::read).value();
  for (auto _ : state) benchmark::DoNotOptimize(logbook.attempts({.newest = 50}));
}
BENCHMARK(last_fifty_attempts)->Unit(benchmark::kMillisecond);

void one_session(benchmark::State& state) {
  const Logbook logbook = Logbook::open(big().path, Logbook::Mode::read).value();
  for (auto _ : state) benchmark::DoNotOptimize(logbook.attempts({.session = "session 150"}));
}
BENCHMARK(one_session)->Unit(benchmark::kMillisecond);

void log_one_attempt(benchmark::State& state) {
  Logbook logbook = Logbook::open(big().path, Logbook::Mode::write).value();
  std::int64_t time_ms = std::int64_t{attempt_count} * 60'000;
  for (auto _ : state) {
    AttemptRecord r;
    r.rung = rung_key(ladder(), 1);
    r.time_ms = ++time_ms;
    const NewAttempt attempt{big().athlete, "today", "", r};
    HT_EXPECT(logbook.add_attempts({&attempt, 1}).ok());
  }
}
BENCHMARK(log_one_attempt)->Unit(benchmark::kMillisecond);

}  // namespace
