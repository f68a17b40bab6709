#include "format/attempt_file.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <ctime>

#include "format/csv.hpp"
#include "format/time_text.hpp"
#include "format/vocabulary_file.hpp"

using namespace halfturn;

namespace {

AttemptRow full_row() {
  AttemptRow row;
  row.id = "0a1b";
  row.athlete =
      "Z\xC3\xBC"
      "leyha, \"Zu\"";
  row.session = "2026-11-25; camp";
  row.record.rung = {"gainer", 22.5, Side::right, "one leg swinging through", "grass", "run", "tuck", true};
  row.record.time_ms = 1'764'000'000'123;
  row.record.outcome = AttemptOutcome::planned_stop;
  row.record.heading_error_deg = -1.0 / 3.0;
  row.record.heading_measured = true;
  row.record.upright_deg = 30;
  row.record.air_time_s = 0.1 + 0.2;
  row.record.note = "two\nlines, \"quoted\"";
  return row;
}

}  // namespace

TEST_CASE("words from others are no formulas in a spreadsheet, and come back as they were") {
  // The characters are those of OWASP's page "CSV Injection".
  for (const std::string text : {"=1+1", "+1", "-x", "@SUM(A1)", "\tx", "\rx", "\nx"}) {
    CAPTURE(text);
    const std::string cell = csv_text_cell(text);
    CHECK((cell.starts_with("'") || cell.starts_with("\"'")));
  }
  CHECK(csv_text_cell("Ana-Bo") == "Ana-Bo");
  CHECK(csv_text_cell("'n Ana") == "'n Ana");
  std::vector<AttemptRow> rows;
  for (const char* text : {"=1+1", "'=1+1", "''=1", "'", "'n", "-5", "plain", "@a,\"b\""}) {
    AttemptRow row = full_row();
    row.athlete = row.session = row.record.note = text;
    rows.push_back(row);
  }
  const std::string csv = write_attempts_csv(rows);
  // A number that is below 0 stays a number.
  CHECK(csv.find(",-0.3333") != std::string::npos);
  CHECK(csv.find(",=1+1") == std::string::npos);
  const auto read = read_attempts_csv(csv, "a.csv", built_in_vocabulary());
  REQUIRE_MESSAGE(read.ok(), (read.ok() ? "" : read.problem().message()));
  CHECK(*read == rows);
}

TEST_CASE("attempts come back from CSV and JSON as they were written") {
  AttemptRow plain;
  plain.athlete = "Bo";
  plain.record.rung = {"back flip",    180,        Side::left, "both feet",
                       "sprung floor", "standing", "straight", false};
  const std::vector<AttemptRow> rows{full_row(), plain};
  const Vocabulary& vocabulary = built_in_vocabulary();
  const auto csv = read_attempts_csv(write_attempts_csv(rows), "a.csv", vocabulary);
  REQUIRE_MESSAGE(csv.ok(), (csv.ok() ? "" : csv.problem().message()));
  CHECK(*csv == rows);
  const auto json = read_attempts_json(write_attempts_json(rows), "a.json", vocabulary);
  REQUIRE_MESSAGE(json.ok(), (json.ok() ? "" : json.problem().message()));
  CHECK(*json == rows);
}

TEST_CASE("times are told in UTC and read with and without it") {
  // 1764000000 s after 1970 is 2025-11-24 16:00:00 UTC (date -u -d @1764000000).
  CHECK(time_text(1'764'000'000'000) == "2025-11-24T16:00:00Z");
  CHECK(time_text(1'764'000'000'123) == "2025-11-24T16:00:00.123Z");
  CHECK(time_text(0) == "1970-01-01T00:00:00Z");
  CHECK(*parse_time("2025-11-24T16:00:00.123Z", "") == 1'764'000'000'123);
  CHECK(*parse_time("2025-11-24T16:00Z", "") == 1'764'000'000'000);
  setenv("TZ", "EST5", 1);
  tzset();
  CHECK(*parse_time("2025-11-24T11:00", "") == 1'764'000'000'000);
  CHECK(local_minute(1'764'000'000'000) == "2025-11-24 11:00");
  CHECK(local_day(1'764'000'000'000) == "2025-11-24");
  // A day alone is its noon, so that it stays the day whatever the zone of a reader.
  CHECK(*parse_time("2025-11-24", "") == 1'764'003'600'000);
  for (const char* wrong : {"", "today", "2025-02-29", "2025-13-01", "2025-1-1", "2025-11-24T25:00",
                            "2025-11-24T11", "2025-11-24T11:00x", "1969-12-31", "2025-11-24Z11:00"}) {
    CHECK_MESSAGE(!parse_time(wrong, "").ok(), wrong);
  }
  CHECK(parse_time("2024-02-29", "").ok());
}

TEST_CASE("CSV follows RFC 4180") {
  const auto rows = read_csv(
      "\xEF\xBB\xBF"
      "a,b\r\n\"x, \"\"y\"\"\",\"1\n2\"\r\n\r\n,\n",
      "f");
  REQUIRE(rows.ok());
  REQUIRE(rows->size() == 3);
  CHECK((*rows)[0].cells == std::vector<std::string>{"a", "b"});
  CHECK((*rows)[1].cells == std::vector<std::string>{"x, \"y\"", "1\n2"});
  CHECK((*rows)[2].cells == std::vector<std::string>{"", ""});
  CHECK((*rows)[2].line == 5);
  CHECK((*read_csv("a;b\n1;2\n", "f"))[1].cells.size() == 2);
  CHECK((*read_csv("a,b\n1;2,3\n", "f"))[1].cells[0] == "1;2");
  CHECK_FALSE(read_csv("a,\"b\n", "f").ok());
  CHECK_FALSE(read_csv("a,b\"c\"\n", "f").ok());
  CHECK(read_csv("", "f")->empty());
}
