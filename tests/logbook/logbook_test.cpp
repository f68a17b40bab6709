// What goes into the logbook comes out of it again, is undone, merged and deleted as asked.
#include <doctest/doctest.h>

#include <fstream>
#include <iterator>

#include "temporary.hpp"

using namespace halfturn;
using namespace halfturn::test;

namespace {

std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("a profile and a record come back as they were written") {
  const Folder folder;
  AthleteProfile profile;
  profile.name =
      "Z\xC3\xBC"
      "leyha O'Hara; DROP TABLE athlete";
  profile.height_m = 1.0 / 3.0 + 1;
  profile.mass_kg = 41.5;
  profile.table = SegmentTableKind::female;
  profile.side = Side::right;
  profile.surface = "trampoline";
  profile.air_time_s = 0.71;
  profile.air_time_spread_s = 0.03;
  profile.angular_momentum_kgm2_s = 31;
  profile.shoulder_half_width_m = 0.15;
  profile.skills = {"back flip", "aerial"};
  profile.note = "two\nlines";
  AttemptRecord r;
  r.rung = {"gainer", 360, Side::right, "one leg swinging through", "grass", "run", "straight", true};
  r.time_ms = 1'764'000'000'123;
  r.outcome = AttemptOutcome::hand_down;
  r.heading_error_deg = -22.75;
  r.heading_measured = true;
  r.upright_deg = 31.5;
  r.upright_measured = true;
  r.air_time_s = 0.1 + 0.2;
  r.note = "it's \"quoted\", \xE2\x9C\x93";
  {
    Logbook logbook = open(folder.file());
    const AthleteEntry added = take(logbook.add_athlete(profile, 77));
    CHECK(added.profile == profile);
    CHECK(added.added_ms == 77);
    log(logbook, added.id, r);
  }
  const Logbook logbook = open(folder.file(), Logbook::Mode::read);
  const AthleteEntry athlete = take(logbook.athlete(profile.name));
  CHECK(athlete.profile == profile);
  CHECK(athlete.attempts == 1);
  const std::vector<AttemptEntry> attempts = take(logbook.attempts({.athlete_id = athlete.id}));
  REQUIRE(attempts.size() == 1);
  CHECK(attempts[0].record == r);
  CHECK(attempts[0].session == "2026-11-25");
  CHECK(take(logbook.records(athlete.id)) == std::vector{r});
}

TEST_CASE("names are found whatever their case, and told when they are not there") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  CHECK(logbook.athlete("Ana").problem().text.find("no athlete yet") != std::string::npos);
  add_athlete(logbook, "Ana");
  CHECK(take(logbook.athlete("aNA")).profile.name == "Ana");
  CHECK(logbook.athlete("Bo").problem().text == "there is no athlete called \"Bo\"; there are: Ana");
  AthleteProfile again;
  again.name = "ANA";
  CHECK(logbook.add_athlete(again, 0).problem().place == "name");
  again.name = "";
  CHECK_FALSE(logbook.add_athlete(again, 0).ok());
  again.name = "Bo";
  again.mass_kg = 500;
  CHECK(logbook.add_athlete(again, 0).problem().place == "--mass");
  CHECK(take(logbook.athletes()).size() == 1);
}

TEST_CASE("attempts come in the order of time, and ties in the order of logging") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t ana = add_athlete(logbook, "Ana");
  log(logbook, ana, record(90, 300));
  log(logbook, ana, record(180, 100));
  log(logbook, ana, record(270, 300));
  const std::vector<AttemptRecord> records = take(logbook.records(ana));
  REQUIRE(records.size() == 3);
  CHECK(records[0].rung.twist_deg == 180);
  CHECK(records[1].rung.twist_deg == 90);
  CHECK(records[2].rung.twist_deg == 270);
  const auto newest = take(logbook.attempts({.newest = 2}));
  REQUIRE(newest.size() == 2);
  CHECK(newest[0].record.rung.twist_deg == 90);
  CHECK(take(logbook.attempts({.since_ms = 200})).size() == 2);
  CHECK(take(logbook.attempts({.session = "other day"})).empty());
}

TEST_CASE("undo takes back what was logged last, again and again") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t ana = add_athlete(logbook, "Ana");
  const std::int64_t bo = add_athlete(logbook, "Bo");
  log(logbook, ana, record(90, 300));
  log(logbook, bo, record(180, 100));  // logged later, of an earlier time
  CHECK(take(logbook.undo_last(ana, 500))->record.rung.twist_deg == 90);
  CHECK_FALSE(take(logbook.undo_last(ana, 500)));
  CHECK(take(logbook.undo_last(std::nullopt, 500))->athlete == "Bo");
  CHECK_FALSE(take(logbook.undo_last(std::nullopt, 500)));
  CHECK(take(logbook.attempts({})).empty());
}

TEST_CASE("an import is all or none, and an attempt is not taken twice") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t ana = add_athlete(logbook, "Ana");
  std::vector<NewAttempt> some{{ana, "s", "aa", record(90, 1)}, {ana, "s", "bb", record(90, 2)}};
  CHECK(take(logbook.add_attempts(some)).added == 2);
  some.push_back({ana, "s", "cc", record(90, 3)});
  const Added again = take(logbook.add_attempts(some));
  CHECK(again.added == 1);
  CHECK(again.known == 2);
  some = {{ana, "s", "dd", record(90, 4)}, {ana + 99, "s", "ee", record(90, 5)}};
  CHECK_FALSE(logbook.add_attempts(some).ok());  // there is no such athlete
  some[1] = {ana, "s", "ee", record(90, 5)};
  some[1].record.heading_error_deg = 7;  // not a step that an eye sees
  CHECK_FALSE(logbook.add_attempts(some).ok());
  CHECK(take(logbook.attempts({})).size() == 3);
}

TEST_CASE("decisions, plans and attendance are kept") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t ana = add_athlete(logbook, "Ana");
  const std::int64_t bo = add_athlete(logbook, "Bo");
  const OverrideRecord decision{record(90, 0).rung, 5, Suggestion::move_on, "seen on video"};
  REQUIRE_FALSE(logbook.add_decision(ana, decision));
  CHECK(take(logbook.decisions(ana)) == std::vector{decision});
  REQUIRE_FALSE(logbook.put_plan(ana, {"first", "{1}", 1}));
  REQUIRE_FALSE(logbook.put_plan(ana, {"second", "{2}", 2}));
  REQUIRE_FALSE(logbook.put_plan(ana, {"first", "{3}", 3}));
  const auto plans = take(logbook.plans(ana));
  REQUIRE(plans.size() == 2);
  CHECK(plans[0].title == "first");
  CHECK(plans[0].text == "{3}");
  const std::vector<Attendance> all{{bo, "Bo", true}, {ana, "Ana", false}};
  REQUIRE_FALSE(logbook.put_attendance("today", all));
  const auto back = take(logbook.attendance("today"));
  REQUIRE(back.size() == 2);
  CHECK(back[0].athlete == "Bo");
  CHECK(back[0].absent);
  CHECK_FALSE(back[1].absent);
}

TEST_CASE("a decision made by logging an attempt is kept and undone with it, and a merge knows") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t ana = add_athlete(logbook, "Ana");
  const OverrideRecord up{record(90, 0).rung, 5, Suggestion::move_on, "chosen on the class board"};
  // An attempt that is not taken leaves no decision either: a session needs a name.
  const NewAttempt nameless{ana, "", "", record(180, 5), {up}};
  REQUIRE_FALSE(logbook.add_attempts({&nameless, 1}).ok());
  CHECK(take(logbook.decisions(ana)).empty());
  const NewAttempt attempt{ana, "s", "one", record(180, 5), {up}};
  CHECK(take(logbook.add_attempts({&attempt, 1})).added == 1);
  CHECK(take(logbook.decisions(ana)).size() == 1);
  // A known attempt brings its decisions only once.
  CHECK(take(logbook.add_attempts({&attempt, 1})).known == 1);
  CHECK(take(logbook.decisions(ana)).size() == 1);
  Logbook other = open(folder.file("other.db"));
  static_cast<void>(take(other.merge(folder.file(), false)));
  const std::int64_t there = take(other.athlete("Ana")).id;
  CHECK(take(other.decisions(there)).size() == 1);
  CHECK(take(logbook.undo_last(ana, 9)).has_value());
  CHECK(take(logbook.decisions(ana)).empty());
  static_cast<void>(take(other.merge(folder.file(), false)));
  CHECK(take(other.decisions(there)).empty());
}

TEST_CASE("a merge counts the attempts that a list shows") {
  const Folder folder;
  {
    Logbook there = open(folder.file("there.db"));
    const std::int64_t ana = add_athlete(there, "Ana");
    for (int i = 0; i < 3; ++i) log(there, ana, record(90, i));
    CHECK(take(there.undo_last(ana, 9)).has_value());
  }
  Logbook here = open(folder.file("here.db"));
  CHECK(take(here.merge(folder.file("there.db"), false)).attempts.added == 2);
  CHECK(take(here.attempts({})).size() == 2);
  const Merged again = take(here.merge(folder.file("there.db"), false));
  CHECK(again.attempts.added == 0);
  CHECK(again.attempts.known == 2);
}

TEST_CASE("an import adds athletes and attempts together or nothing, and spells names as the table does") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  add_athlete(logbook, "Ana");
  const auto named = [](const char* name, int time, const char* session = "s") {
    return NamedAttempt{name, {0, session, "", record(90, time)}};
  };
  const std::vector<NamedAttempt> missing{named("ana", 1), named("Mia", 2)};
  const Result<Imported> refused = logbook.import_attempts(missing, false, 5);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.problem().place == "athlete");
  CHECK(take(logbook.attempts({})).empty());
  // The last row has no session: nobody before it stays.
  const std::vector<NamedAttempt> broken{named("Mia", 1), named("Zoe", 2, "")};
  REQUIRE_FALSE(logbook.import_attempts(broken, true, 5).ok());
  CHECK(take(logbook.athletes()).size() == 1);
  const std::vector<NamedAttempt> good{named("ANA", 1), named("Mia", 2), named("mia", 3)};
  const Imported imported = take(logbook.import_attempts(good, true, 5));
  CHECK(imported.athletes == 1);
  CHECK(imported.attempts.added == 3);
  CHECK(take(logbook.athlete("Mia")).attempts == 2);
}

TEST_CASE("a merge adds what is missing, once, and changes nothing here") {
  const Folder folder;
  Logbook here = open(folder.file("here.db"));
  const std::int64_t ana = add_athlete(here, "Ana");
  log(here, ana, record(90, 1));
  std::filesystem::copy_file(folder.file("here.db"), folder.file("there.db"));
  {
    // The copy was made while the log still held pages: let SQLite finish it first.
    Logbook fresh = open(folder.file("there2.db"));
    REQUIRE(take(fresh.merge(folder.file("here.db"), false)).attempts.added == 1);
    const std::int64_t same = take(fresh.athlete("Ana")).id;
    log(fresh, same, record(180, 2));
    const std::int64_t bo = add_athlete(fresh, "Bo");
    log(fresh, bo, record(90, 3));
  }
  const Merged merged = take(here.merge(folder.file("there2.db"), false));
  CHECK(merged.attempts.added == 2);
  CHECK(merged.attempts.known == 1);
  CHECK(merged.athletes.added == 1);
  CHECK(take(here.attempts({})).size() == 3);
  CHECK(take(here.athlete("Ana")).attempts == 2);
  CHECK(take(here.merge(folder.file("there2.db"), false)).attempts.added == 0);

  SUBCASE("an undo elsewhere holds here, an undo here holds against the other") {
    {
      Logbook there = open(folder.file("there2.db"));
      REQUIRE(take(there.undo_last(std::nullopt, 9)));  // Bo's
    }
    REQUIRE(take(here.undo_last(ana, 9)));  // Ana's at 180
    static_cast<void>(take(here.merge(folder.file("there2.db"), false)));
    CHECK(take(here.attempts({})).size() == 1);
  }
  SUBCASE("an athlete removed here does not come back") {
    static_cast<void>(take(here.remove_athlete(take(here.athlete("Bo")).id, false)));
    const Merged again = take(here.merge(folder.file("there2.db"), false));
    CHECK(again.left_out == 1);
    CHECK(again.attempts.added == 0);
    CHECK_FALSE(here.athlete("Bo").ok());
  }
  SUBCASE("two who share a name are one person only when the coach says so") {
    Logbook third = open(folder.file("third.db"));
    const std::int64_t other_ana = add_athlete(third, "Ana");
    log(third, other_ana, record(90, 50));
    CHECK(here.merge(folder.file("third.db"), false).problem().text.find("--same-names") !=
          std::string::npos);
    CHECK(take(here.athlete("Ana")).attempts == 2);
    CHECK(take(here.merge(folder.file("third.db"), true)).attempts.added == 1);
    CHECK(take(here.athlete("Ana")).attempts == 3);
  }
}

TEST_CASE("a removed athlete leaves no byte in the file, its log and its backups") {
  const Folder folder;
  const std::string name = "Quexalinda Vornholt", word = "Zanzibarwurf";
  Logbook logbook = open(folder.file());
  const std::int64_t other = add_athlete(logbook, "Bo");
  log(logbook, other, record(90, 1));
  const std::int64_t id = add_athlete(logbook, name);
  for (int i = 0; i < 300; ++i) {
    AttemptRecord r = record(90, i);
    r.note = word;
    log(logbook, id, r);
  }
  REQUIRE_FALSE(logbook.put_plan(id, {"plan of " + name, "{}", 1}));
  // The backup of the day was made before; one that knows the athlete is made by hand.
  REQUIRE(logbook.backups().size() == 1);
  std::filesystem::remove_all(folder.file() + ".backups");
  log(logbook, id, record(90, 999));
  REQUIRE(logbook.backups().size() == 1);
  const std::string backup = logbook.backups()[0];
  CHECK(bytes_of(backup).find(name) != std::string::npos);

  const Removal first = take(logbook.remove_athlete(id, true));
  CHECK_FALSE(first.in_use);
  CHECK(first.cleaned == std::vector{backup});
  CHECK(first.still_in.empty());
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder.path)) {
    if (!entry.is_regular_file()) continue;
    ++files;
    const std::string bytes = bytes_of(entry.path().string());
    for (const std::string& trace : {name, word})
      CHECK_MESSAGE(bytes.find(trace) == std::string::npos, entry.path());
  }
  CHECK(files >= 2);
  CHECK(take(logbook.attempts({})).size() == 1);
}

TEST_CASE("a backup that still holds a removed athlete is named") {
  const Folder folder;
  Logbook logbook = open(folder.file());
  const std::int64_t id = add_athlete(logbook, "Ana");
  log(logbook, id, record(90, 1));
  REQUIRE(logbook.backups().size() == 1);
  const Removal removal = take(logbook.remove_athlete(id, false));
  CHECK(removal.still_in == logbook.backups());
  CHECK(removal.cleaned.empty());
}
