#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "inside.hpp"

namespace halfturn {

Result<std::int64_t> session_id(const Database& database, const std::string& name) {
  for (int round = 0; round < 2; ++round) {
    Statement find(database, "SELECT id FROM session WHERE name = ?");
    if (find.bind(name).step()) return find.integer(0);
    if (const Outcome problem = find.finish()) return *problem;
    Statement insert(database, "INSERT OR IGNORE INTO session (name) VALUES (?)");
    if (const Outcome problem = insert.bind(name).finish()) return *problem;
  }
  return Problem{database.path(), "session", "must have 1 to 100 letters"};
}

Result<std::int64_t> rung_id(const Database& database, const RungKey& key) {
  for (int round = 0; round < 2; ++round) {
    Statement find(
        database,
        "SELECT id FROM rung WHERE skill = ? AND twist_deg = ? AND side = ? AND takeoff = ? AND surface = ?"
        " AND setup = ? AND shape = ? AND early = ?");
    if (find.bind(key.skill, key.twist_deg, word(key.side), key.takeoff, key.surface, key.setup, key.shape,
                  key.early)
            .step()) {
      return find.integer(0);
    }
    if (const Outcome problem = find.finish()) return *problem;
    Statement insert(database,
                     "INSERT INTO rung (skill, twist_deg, side, takeoff, surface, setup, shape, early)"
                     " VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
    if (const Outcome problem = insert
                                    .bind(key.skill, key.twist_deg, word(key.side), key.takeoff, key.surface,
                                          key.setup, key.shape, key.early)
                                    .finish()) {
      return *problem;
    }
  }
  HT_EXPECT(false);
}

RungKey read_rung_key(const Statement& row, int c) {
  RungKey key;
  key.skill = row.text(c);
  key.twist_deg = row.real(c + 1);
  key.side = row.text(c + 2) == "right" ? Side::right : Side::left;
  key.takeoff = row.text(c + 3);
  key.surface = row.text(c + 4);
  key.setup = row.text(c + 5);
  key.shape = row.text(c + 6);
  key.early = row.integer(c + 7) != 0;
  return key;
}

AttemptRecord read_record(const Statement& row, int c) {
  AttemptRecord record;
  record.time_ms = row.integer(c);
  record.outcome = static_cast<AttemptOutcome>(row.integer(c + 1));
  record.heading_error_deg = row.optional_real(c + 2);
  record.heading_measured = row.integer(c + 3) != 0;
  record.upright_deg = row.optional_real(c + 4);
  record.upright_measured = row.integer(c + 5) != 0;
  record.air_time_s = row.optional_real(c + 6);
  record.note = row.text(c + 7);
  return record;
}

namespace {

/// Inside a transaction. `attempt_id`: the attempt that it came with.
Outcome insert_decision(const Database& database, std::int64_t athlete_id, const OverrideRecord& decision,
                        std::optional<std::int64_t> attempt_id) {
  const Result<std::int64_t> rung = rung_id(database, decision.rung);
  if (!rung) return rung.problem();
  Statement insert(database,
                   "INSERT INTO decision (athlete, rung, time_ms, decision, reason, attempt_uid)"
                   " VALUES (?, ?, ?, ?, ?, (SELECT uid FROM attempt WHERE id = ?))");
  return insert
      .bind(athlete_id, *rung, decision.time_ms, static_cast<std::int64_t>(decision.decision),
            decision.reason, attempt_id)
      .finish();
}

/// Inside a transaction.
Result<Added> insert_attempts(const Database& database, std::span<const NewAttempt> attempts) {
  for (const NewAttempt& attempt : attempts) {
    if (const auto complaint = attempt_complaint(attempt.record)) return Problem{"", "", *complaint};
  }
  Statement insert(database,
                   "INSERT INTO attempt (uid, athlete, session, rung, time_ms, outcome, heading_error_deg,"
                   " heading_measured, upright_deg, upright_measured, air_time_s, note)"
                   " VALUES (coalesce(?, lower(hex(randomblob(16)))), ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
                   " ON CONFLICT (uid) DO NOTHING");
  Added added;
  // Long imports name the same few sessions and rungs over and over.
  std::vector<std::pair<std::string, std::int64_t>> sessions;
  std::vector<std::pair<RungKey, std::int64_t>> rungs;
  const auto cached = [](auto& list, const auto& key, auto&& look_up) -> Result<std::int64_t> {
    const auto found =
        std::find_if(list.rbegin(), list.rend(), [&](const auto& entry) { return entry.first == key; });
    if (found != list.rend()) return found->second;
    Result<std::int64_t> id = look_up();
    if (id) list.emplace_back(key, *id);
    return id;
  };
  for (const NewAttempt& attempt : attempts) {
    const AttemptRecord& r = attempt.record;
    const Result<std::int64_t> session =
        cached(sessions, attempt.session, [&] { return session_id(database, attempt.session); });
    if (!session) return session.problem();
    const Result<std::int64_t> rung = cached(rungs, r.rung, [&] { return rung_id(database, r.rung); });
    if (!rung) return rung.problem();
    const std::optional<std::string> uid = attempt.uid.empty() ? std::nullopt : std::optional(attempt.uid);
    const int before = sqlite3_total_changes(database.handle());
    if (const Outcome problem =
            insert
                .bind(uid, attempt.athlete_id, *session, *rung, r.time_ms,
                      static_cast<std::int64_t>(r.outcome), r.heading_error_deg, r.heading_measured,
                      r.upright_deg, r.upright_measured, r.air_time_s, r.note)
                .finish()) {
      return *problem;
    }
    const bool is_new = sqlite3_total_changes(database.handle()) > before;
    ++(is_new ? added.added : added.known);
    const std::int64_t id = sqlite3_last_insert_rowid(database.handle());
    for (std::size_t k = 0; is_new && k < attempt.decisions.size(); ++k) {
      if (const Outcome problem = insert_decision(database, attempt.athlete_id, attempt.decisions[k], id))
        return *problem;
    }
  }
  return added;
}

}  // namespace

Result<Added> Logbook::add_attempts(std::span<const NewAttempt> attempts) {
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Transaction transaction(database);
  if (transaction.problem()) return *transaction.problem();
  const Result<Added> added = insert_attempts(database, attempts);
  if (!added) return added.problem();
  if (const Outcome problem = transaction.commit()) return *problem;
  return *added;
}

Result<Imported> Logbook::import_attempts(std::span<const NamedAttempt> attempts, bool add_athletes,
                                          std::int64_t now_ms) {
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Transaction transaction(database);
  if (transaction.problem()) return *transaction.problem();
  Imported imported;
  std::unordered_map<std::string, std::int64_t> ids;  // by the name as the file spells it
  Statement find(database, "SELECT id FROM athlete WHERE name = ?");
  std::vector<NewAttempt> all;
  all.reserve(attempts.size());
  for (const NamedAttempt& named : attempts) {
    std::int64_t& id = ids[named.athlete];
    if (id == 0) {
      if (find.bind(named.athlete).step()) id = find.integer(0);
      if (const Outcome problem = find.finish()) return *problem;
    }
    if (id == 0) {
      if (!add_athletes) {
        return Problem{path(), "athlete",
                       fmt::format("there is no athlete called \"{}\" in the logbook; nothing was imported",
                                   named.athlete)};
      }
      AthleteProfile profile;
      profile.name = named.athlete;
      const Result<std::int64_t> added = insert_athlete(database, profile, now_ms);
      if (!added) return added.problem();
      id = *added;
      ++imported.athletes;
    }
    all.push_back(named.attempt);
    all.back().athlete_id = id;
  }
  const Result<Added> added = insert_attempts(database, all);
  if (!added) return added.problem();
  if (const Outcome problem = transaction.commit()) return *problem;
  imported.attempts = *added;
  return imported;
}

namespace {

constexpr const char* entry_joins =
    " FROM attempt a JOIN rung r ON r.id = a.rung JOIN athlete p ON p.id = a.athlete JOIN session s ON s.id "
    "= "
    "a.session WHERE a.undone_ms IS NULL";

std::string entry_columns() {
  return fmt::format("a.id, a.uid, a.athlete, p.name, s.name, {}, {}", rung_columns, record_columns);
}

AttemptEntry read_entry(const Statement& row) {
  AttemptEntry entry;
  entry.id = row.integer(0);
  entry.uid = row.text(1);
  entry.athlete_id = row.integer(2);
  entry.athlete = row.text(3);
  entry.session = row.text(4);
  entry.record = read_record(row, 13);
  entry.record.rung = read_rung_key(row, 5);
  return entry;
}

}  // namespace

Result<std::optional<AttemptEntry>> Logbook::undo_last(std::optional<std::int64_t> athlete_id,
                                                       std::int64_t now_ms) {
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Transaction transaction(database);
  if (transaction.problem()) return *transaction.problem();
  Statement find(database, "SELECT " + entry_columns() + entry_joins +
                               (athlete_id ? " AND a.athlete = ?1 ORDER BY a.id DESC LIMIT 1"
                                           : " ORDER BY a.id DESC LIMIT 1"));
  if (athlete_id) find.bind(*athlete_id);
  std::optional<AttemptEntry> entry;
  if (find.step()) entry = read_entry(find);
  if (const Outcome problem = find.finish()) return *problem;
  if (!entry) return entry;
  Statement undo(database, "UPDATE attempt SET undone_ms = ? WHERE id = ?");
  if (const Outcome problem = undo.bind(now_ms, entry->id).finish()) return *problem;
  if (const Outcome problem = transaction.commit()) return *problem;
  return entry;
}

Result<std::vector<AttemptEntry>> Logbook::attempts(const AttemptFilter& filter) const {
  std::string sql = "SELECT " + entry_columns() + entry_joins;
  if (filter.athlete_id) sql += " AND a.athlete = ?1";
  if (!filter.session.empty()) sql += " AND s.name = ?2";
  if (filter.since_ms) sql += " AND a.time_ms >= ?3";
  sql += " ORDER BY a.time_ms DESC, a.id DESC LIMIT ?4";
  Statement statement(inside_->database, sql);
  statement.bind(filter.athlete_id, filter.session, filter.since_ms, filter.newest.value_or(-1));
  std::vector<AttemptEntry> all;
  while (statement.step()) all.push_back(read_entry(statement));
  if (const Outcome problem = statement.finish()) return *problem;
  std::reverse(all.begin(), all.end());
  return all;
}

Result<std::vector<AttemptRecord>> Logbook::records(std::int64_t athlete_id) const {
  // The few rungs are read once and joined here: their texts are not read again for every attempt.
  std::vector<std::pair<std::int64_t, RungKey>> rungs;
  Statement keys(inside_->database, fmt::format("SELECT r.id, {} FROM rung r ORDER BY r.id", rung_columns));
  while (keys.step()) rungs.emplace_back(keys.integer(0), read_rung_key(keys, 1));
  if (const Outcome problem = keys.finish()) return *problem;
  Statement statement(
      inside_->database,
      fmt::format("SELECT a.rung, {} FROM attempt a WHERE a.athlete = ? AND a.undone_ms IS NULL"
                  " ORDER BY a.time_ms, a.id",
                  record_columns));
  statement.bind(athlete_id);
  std::vector<AttemptRecord> all;
  while (statement.step()) {
    all.push_back(read_record(statement, 1));
    const auto rung = std::lower_bound(rungs.begin(), rungs.end(), statement.integer(0),
                                       [](const auto& entry, std::int64_t id) { return entry.first < id; });
    if (rung == rungs.end() || rung->first != statement.integer(0)) {
      all.pop_back();  // logged by another program since the rungs were read
      continue;
    }
    all.back().rung = rung->second;
  }
  if (const Outcome problem = statement.finish()) return *problem;
  return all;
}

Result<std::vector<OverrideRecord>> Logbook::decisions(std::int64_t athlete_id) const {
  Statement statement(
      inside_->database,
      fmt::format("SELECT {}, d.time_ms, d.decision, d.reason FROM decision d JOIN rung r ON r.id = d.rung"
                  " WHERE d.athlete = ? AND NOT EXISTS (SELECT 1 FROM attempt a WHERE a.uid = d.attempt_uid"
                  " AND a.undone_ms IS NOT NULL) ORDER BY d.time_ms, d.id",
                  rung_columns));
  statement.bind(athlete_id);
  std::vector<OverrideRecord> all;
  while (statement.step()) {
    all.push_back({read_rung_key(statement, 0), statement.integer(8),
                   static_cast<Suggestion>(statement.integer(9)), statement.text(10)});
  }
  if (const Outcome problem = statement.finish()) return *problem;
  return all;
}

Outcome Logbook::add_decision(std::int64_t athlete_id, const OverrideRecord& decision) {
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Transaction transaction(database);
  if (transaction.problem()) return transaction.problem();
  if (Outcome problem = insert_decision(database, athlete_id, decision, std::nullopt)) return problem;
  return transaction.commit();
}

Result<std::vector<Attendance>> Logbook::attendance(const std::string& session) const {
  Statement statement(
      inside_->database,
      "SELECT t.athlete, p.name, t.absent FROM attendance t JOIN athlete p ON p.id = t.athlete"
      " JOIN session s ON s.id = t.session WHERE s.name = ? ORDER BY t.place");
  statement.bind(session);
  std::vector<Attendance> all;
  while (statement.step())
    all.push_back({statement.integer(0), statement.text(1), statement.integer(2) != 0});
  if (const Outcome problem = statement.finish()) return *problem;
  return all;
}

Outcome Logbook::put_attendance(const std::string& session, std::span<const Attendance> all) {
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Transaction transaction(database);
  if (transaction.problem()) return transaction.problem();
  const Result<std::int64_t> id = session_id(database, session);
  if (!id) return id.problem();
  Statement clear(database, "DELETE FROM attendance WHERE session = ?");
  if (Outcome problem = clear.bind(*id).finish()) return problem;
  Statement insert(database, "INSERT INTO attendance (session, athlete, place, absent) VALUES (?, ?, ?, ?)");
  for (std::size_t place = 0; place < all.size(); ++place) {
    if (Outcome problem =
            insert.bind(*id, all[place].athlete_id, static_cast<std::int64_t>(place), all[place].absent)
                .finish()) {
      return problem;
    }
  }
  return transaction.commit();
}

}  // namespace halfturn
