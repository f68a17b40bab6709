#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "base/result.hpp"
#include "body/segment_table.hpp"
#include "ladder/attempt_record.hpp"
#include "ladder/gate.hpp"

namespace halfturn {

/// What a coach keeps about an athlete. No birth date and no address: what is not kept cannot get out.
struct AthleteProfile {
  std::string name;  ///< display name or initials, 1 to 100 letters, unique
  std::optional<double> height_m, mass_kg;
  SegmentTableKind table = SegmentTableKind::male;
  Side side = Side::left;
  std::string surface;                                  ///< where the air time was measured
  std::optional<double> air_time_s, air_time_spread_s;  ///< mean and standard deviation
  std::optional<double> angular_momentum_kgm2_s, shoulder_half_width_m;
  std::vector<std::string> skills;  ///< owned
  std::string note;
  friend bool operator==(const AthleteProfile&, const AthleteProfile&) = default;
};
struct AthleteEntry {
  std::int64_t id = 0;
  std::string uid;  ///< the same in every logbook that knows this athlete
  std::int64_t added_ms = 0;
  AthleteProfile profile;
  std::int64_t attempts = 0;  ///< not undone
  std::int64_t crashes = 0;
};
struct PlanInWork {
  std::string title, text;  ///< text of a plan file
  std::int64_t saved_ms = 0;
};

struct AttemptEntry {
  std::int64_t id = 0;
  std::string uid;
  std::int64_t athlete_id = 0;
  std::string athlete, session;  ///< names
  AttemptRecord record;
};
/// An attempt to be logged. An empty uid gets a new one; a known uid is not logged twice.
struct NewAttempt {
  std::int64_t athlete_id = 0;
  std::string session, uid;
  AttemptRecord record;
  /// Of the same athlete, made by trying this at all: kept with the attempt and undone with it.
  std::vector<OverrideRecord> decisions = {};
};
struct AttemptFilter {
  std::optional<std::int64_t> athlete_id;
  std::string session;  ///< empty: all
  std::optional<std::int64_t> since_ms;
  std::optional<std::int64_t> newest;  ///< only so many, the latest; always given oldest first
};

struct Attendance {
  std::int64_t athlete_id = 0;
  std::string athlete;
  bool absent = false;
};

struct Added {
  std::int64_t added = 0, known = 0;
};
/// An attempt of whoever has that name; the id of the athlete is found by it.
struct NamedAttempt {
  std::string athlete;
  NewAttempt attempt;
};
struct Imported {
  Added attempts;
  std::int64_t athletes = 0;  ///< added
};
struct Merged {
  Added athletes, attempts, decisions;
  std::int64_t left_out = 0;  ///< athletes who were removed here
};
struct Removal {
  std::vector<std::string> cleaned, still_in;  ///< backups
  std::vector<Problem> not_cleaned;  ///< why a backup that was to be cleaned still holds the athlete
  bool in_use = false;               ///< another program holds the file open: its log keeps old pages
};

/// The logbook of a club in one SQLite file. Every change is one transaction that is on the disk when the
/// call returns. Problems whose place is "writing" say why nothing was written.
class Logbook {
 public:
  enum class Mode { read, write };
  /// Opens and checks: that it is a logbook, is whole and is not from a newer program. Write mode makes a
  /// missing file and brings older tables up to date. A read-only file can be read.
  [[nodiscard]] static Result<Logbook> open(const std::string& path, Mode mode);
  ~Logbook();
  Logbook(Logbook&&) noexcept;
  Logbook& operator=(Logbook&&) noexcept;

  [[nodiscard]] const std::string& path() const;
  /// Backups beside the file, newest first. One is made before the first change of a day, seven are kept.
  [[nodiscard]] std::vector<std::string> backups() const;
  /// Why the last backup could not be made, or empty. The change itself went ahead.
  [[nodiscard]] const std::string& backup_trouble() const;

  [[nodiscard]] Result<std::vector<AthleteEntry>> athletes() const;
  /// By name, case-insensitive; the problem names those there are.
  [[nodiscard]] Result<AthleteEntry> athlete(const std::string& name) const;
  [[nodiscard]] Result<AthleteEntry> add_athlete(const AthleteProfile& profile, std::int64_t now_ms);
  [[nodiscard]] Outcome change_athlete(std::int64_t id, const AthleteProfile& profile);
  /// Everything about an athlete goes for good from the file and, if asked, from its backups.
  [[nodiscard]] Result<Removal> remove_athlete(std::int64_t id, bool from_backups);

  /// Plans in work of an athlete, the last saved first.
  [[nodiscard]] Result<std::vector<PlanInWork>> plans(std::int64_t athlete_id) const;
  [[nodiscard]] Outcome put_plan(std::int64_t athlete_id, const PlanInWork& plan);

  /// All or none.
  [[nodiscard]] Result<Added> add_attempts(std::span<const NewAttempt> attempts);
  /// All or none, athletes too. Names are found as `athlete` finds them; who is missing is added if
  /// `add_athletes`, else the problem's place is "athlete".
  [[nodiscard]] Result<Imported> import_attempts(std::span<const NamedAttempt> attempts, bool add_athletes,
                                                 std::int64_t now_ms);
  /// Takes back the attempt logged last, of one athlete or of all, and the decisions that came with it; empty
  /// when there is none left.
  [[nodiscard]] Result<std::optional<AttemptEntry>> undo_last(std::optional<std::int64_t> athlete_id,
                                                              std::int64_t now_ms);
  /// In the order of time.
  [[nodiscard]] Result<std::vector<AttemptEntry>> attempts(const AttemptFilter& filter) const;
  /// The same without ids: what a gate reads.
  [[nodiscard]] Result<std::vector<AttemptRecord>> records(std::int64_t athlete_id) const;

  /// In the order of time, without those that came with an attempt that was undone.
  [[nodiscard]] Result<std::vector<OverrideRecord>> decisions(std::int64_t athlete_id) const;
  [[nodiscard]] Outcome add_decision(std::int64_t athlete_id, const OverrideRecord& decision);

  /// Who takes part in a session, in the order of turns.
  [[nodiscard]] Result<std::vector<Attendance>> attendance(const std::string& session) const;
  [[nodiscard]] Outcome put_attendance(const std::string& session, std::span<const Attendance> all);

  /// Adds what another logbook has and this one lacks; nothing here is changed or removed. Two athletes of
  /// one name are taken for one person only if `same_names`; otherwise that is a problem.
  [[nodiscard]] Result<Merged> merge(const std::string& other, bool same_names);

 private:
  struct Inside;
  explicit Logbook(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace halfturn
