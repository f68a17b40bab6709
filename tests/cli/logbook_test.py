"""`halfturn athlete`, `attempt`, `progress`: a coach's way through them, files in and out, bad input, exit codes."""
import csv
import datetime
import io
import json
import os
import shutil
import sqlite3

import jsonschema

from program import PROJECT, ProgramTest, halfturn, main


class Logbook(ProgramTest):
    def setUp(self):
        super().setUp()
        self.book = self.folder / "club.db"
        self.plan = self.folder / "plan.json"
        result = halfturn("ladder", "--base", "back flip", "--to", 360, "--step", 90, "-o", self.plan)
        self.assertEqual(result.returncode, 0, result.stderr)

    def run_ok(self, *arguments, code=0):
        result = halfturn(*arguments, "--logbook", self.book)
        self.assertEqual(result.returncode, code, result.stderr)
        return result.stdout

    def run_json(self, *arguments, code=0):
        return json.loads(self.run_ok(*arguments, "--json", code=code))

    def refuse(self, code, words, *arguments):
        self.refused(code, words, *arguments, "--logbook", self.book)

    def ana(self, *more):
        self.run_ok("athlete", "add", "Ana", "--plan", self.plan, *more)

    def test_the_gate_by_hand(self):
        """Three controlled landings in a row pass a rung; a miss begins anew; a crash leads back (hand-worked)."""
        self.ana()
        log = lambda rung, outcome, *how: self.run_json("attempt", "add", "Ana", outcome, "--rung", rung, *how)
        for _ in range(3):
            answer = log(0, "in hand", "--on-plan")
        self.assertTrue(answer["gate"]["passed"])
        self.assertEqual(answer["suggested_rung"], 1)
        self.assertEqual(log(1, "in-hand", "--short", 30)["gate"]["reason"], "1 of 3 in a row")
        self.assertEqual(log(1, "in hand", "--long", 15)["gate"]["reason"], "2 of 3 in a row; next one decides")
        self.assertEqual(log(1, "in hand", "--short", 45)["gate"]["controlled_in_a_row"], 0)
        self.assertEqual(log(1, "hand down", "--short", 60)["gate"]["suggestion"], "split")
        answer = log(1, "fall")
        self.assertEqual(answer["gate"]["suggestion"], "back")
        self.assertEqual((answer["suggested_rung"], answer["crashes"]), (0, 1))
        # Rung 1 is planned to touch down at 90: a heading of 75 is 15 short.
        self.assertEqual(log(1, "in hand", "--contact-heading", 75)["attempt"]["heading_error_deg"], -15)
        self.assertEqual(self.run_json("progress", "Ana", "--rung", 0)["rungs"][0]["gate"]["passed"], True)
        self.run_ok("progress", "Ana", "--rung", 1, code=1)
        undone = self.run_json("attempt", "undo")["undone"]
        self.assertEqual(undone["heading_error_deg"], -15)
        self.run_ok("attempt", "undo", "Ana")
        self.assertEqual(self.run_json("progress", "Ana")["crashes"], 0)

    def test_a_backup_that_cannot_be_made_is_told_and_the_change_is_kept(self):
        self.ana()
        backups = self.folder / "club.db.backups"
        if backups.exists():
            shutil.rmtree(backups)
        backups.write_text("a file where the folder should be")
        saved = self.folder / "attempts.json"
        self.assertEqual(halfturn("attempt", "export", "-o", saved, "--logbook", self.book).returncode, 0)
        changes = [("attempt", "add", "Ana", "in hand", "--rung", 1), ("attempt", "undo"), ("attempt", "import", saved),
                   ("attempt", "decide", "Ana", "repeat", "--rung", 1), ("athlete", "change", "Ana", "--mass", 40),
                   ("athlete", "add", "Bo")]
        for change in changes:
            with self.subTest(change[:2]):
                result = halfturn(*change, "--logbook", self.book)
                self.assertEqual(result.returncode, 0, result.stderr)
                self.assertIn("the change is kept, but the backup of today could not be made: " + str(backups), result.stderr)
        self.assertEqual(self.run_json("attempt", "list")["attempts"], [])
        self.assertEqual([a["name"] for a in self.run_json("athlete", "list")["athletes"]], ["Ana", "Bo"])

    def test_words_for_a_person(self):
        self.ana()
        text = self.run_ok("attempt", "add", "ana", "in hand", "--rung", 1, "--on-plan")
        self.assertIn("1 of 3 in a row", text)
        self.assertIn("crashes 0 (the aim is 0)", text)
        self.assertIn("on plan", self.run_ok("attempt", "list"))
        self.assertIn("1 of 1", self.run_ok("progress", "Ana", "--intervals"))
        self.assertIn("Ana", self.run_ok("athlete", "list"))
        for command in ("athlete", "attempt", "progress"):
            self.assertEqual(halfturn(command, "--help").returncode, 0)

    def test_a_decision_is_kept(self):
        self.ana()
        self.run_ok("attempt", "add", "Ana", "in hand", "--rung", 0, "--on-plan")
        kept = self.run_json("attempt", "decide", "Ana", "move on", "--rung", 0, "--reason", "owns it")
        self.assertEqual(kept["gate"]["decided"]["reason"], "owns it")
        self.assertFalse(kept["gate"]["passed"])
        self.assertEqual(kept["suggested_rung"], 1)

    def test_the_ladder_shows_the_gate(self):
        self.ana()
        for _ in range(3):
            self.run_ok("attempt", "add", "Ana", "in hand", "--rung", 1, "--on-plan")
        answer = json.loads(self.run_ok("ladder", self.plan, "--athlete-name", "Ana", "--json"))
        self.assertEqual([r["gate"]["passed"] for r in answer["rungs"]], [False, True, False, False, False])
        self.assertEqual(answer["rungs"][0]["gate"]["reason"], "no attempts yet")
        # The same rung on the trampoline is another gate.
        answer = json.loads(self.run_ok("ladder", "--base", "back flip", "--to", 360, "--step", 90, "--surface", "trampoline",
                                        "--athlete-name", "Ana", "--json"))
        self.assertFalse(answer["rungs"][1]["gate"]["passed"])
        self.refuse(2, 'no athlete called "Bo"', "ladder", self.plan, "--athlete-name", "Bo")

    def test_rules_of_the_plan(self):
        plan = json.loads(self.plan.read_text()) | {"gate": {"needed": 1}}
        self.plan.write_text(json.dumps(plan))
        self.ana()
        self.assertTrue(self.run_json("attempt", "add", "Ana", "in hand", "--rung", 1, "--on-plan")["gate"]["passed"])
        changed = self.folder / "changed.json"
        self.assertEqual(halfturn("ladder", self.plan, "--gate", "attempts_cap=8,share_of_step=0.4", "-o", changed).returncode, 0)
        rules = json.loads(changed.read_text())["gate"]
        self.assertEqual((rules["needed"], rules["attempts_cap"], rules["share_of_step"]), (1, 8, 0.4))
        for wrong in ("needed", "needed=0", "needed=x", "wanted=3"):
            self.refused(2, "--gate", "ladder", self.plan, "--gate", wrong)
        self.plan.write_text(json.dumps(plan | {"gate": {"needed": 0}}))
        self.refused(2, "gate.needed", "ladder", self.plan)

    def test_out_and_in_again(self):
        self.ana()
        self.run_ok("attempt", "add", "Ana", "in hand", "--rung", 1, "--long", 15, "--air-time", 0.8, "--note", 'so "close", yes')
        self.run_ok("attempt", "add", "Ana", "fall", "--base", "gainer", "--twist", 360, "--side", "right")
        for name in ("all.csv", "all.json"):
            path = self.folder / name
            self.run_ok("attempt", "export", "-o", path)
            other = self.folder / f"{name}.db"
            result = halfturn("attempt", "import", path, "--logbook", other)
            self.assertEqual(result.returncode, 2)
            self.assertIn("--add-athletes", result.stderr)
            for added, known in ((2, 0), (0, 2)):
                result = halfturn("attempt", "import", path, "--add-athletes", "--logbook", other, "--json")
                answer = json.loads(result.stdout)
                self.assertEqual((answer["added"], answer["known"]), (added, known), result.stderr)
            read = lambda book: halfturn("attempt", "list", "--limit", "all", "--logbook", book, "--json").stdout
            self.assertEqual(read(other), read(self.book))
        rows = list(csv.DictReader(io.StringIO((self.folder / "all.csv").read_text())))
        self.assertEqual(rows[0]["note"], 'so "close", yes')
        self.assertEqual(rows[1]["skill"], "gainer")
        schema = json.loads((PROJECT / "assets/schema/halfturn-attempts.schema.json").read_text())
        jsonschema.Draft202012Validator(schema).validate(json.loads((self.folder / "all.json").read_text()))

    def test_hand_written_csv(self):
        path = self.folder / "mine.csv"
        path.write_text("athlete;time;skill;twist_deg;outcome;heading_error_deg\r\nBo;2026-11-25T17:30;back flip;180;in hand;-15\r\n")
        self.run_ok("attempt", "import", path, "--add-athletes")
        found = self.run_json("attempt", "list")["attempts"][0]
        self.assertEqual((found["takeoff"], found["surface"], found["shape"]), ("both feet", "sprung floor", "straight"))
        for bad, words in (("Bo,now,back flip,180,in hand", "time"), ("Bo,2026-11-25,back flop,180,in hand", "skill"),
                           ("Bo,2026-11-25,back flip,x,in hand", "twist_deg"), ("Bo,2026-11-25,back flip,180,great", "outcome"),
                           ("Bo,2026-02-30,back flip,180,fall", "time"), ("Bo,2026-11-25", "cells")):
            path.write_text("athlete,time,skill,twist_deg,outcome\n" + bad + "\n")
            self.refuse(2, words, "attempt", "import", path)
            self.refuse(2, "line 2", "attempt", "import", path)
        self.assertEqual(len(self.run_json("attempt", "list")["attempts"]), 1)

    def test_handed_over_without_mass_and_name(self):
        self.run_ok("athlete", "add", "Ana Quexalinda", "--mass", 41.5, "--plan", self.plan, "--note", "Quexalinda's note")
        self.run_ok("attempt", "add", "Ana Quexalinda", "in hand", "--rung", 1, "--note", "Quexalinda again")
        plain = self.run_ok("athlete", "export", "Ana Quexalinda")
        self.assertNotIn("mass", plain)
        self.assertNotIn("Quexalinda", plain)
        self.assertEqual(json.loads(plain)["athlete"]["name"], "AQ")
        everything = json.loads(self.run_ok("athlete", "export", "Ana Quexalinda", "--all"))
        self.assertEqual(everything["athlete"]["mass_kg"], 41.5)
        self.assertEqual(len(everything["attempts"]), 1)
        schema = json.loads((PROJECT / "assets/schema/halfturn-athlete-export.schema.json").read_text())
        for document in (json.loads(plain), everything):
            jsonschema.Draft202012Validator(schema).validate(document)

    def test_removal(self):
        self.run_ok("athlete", "add", "Quexalinda", "--plan", self.plan)
        self.run_ok("attempt", "add", "Quexalinda", "fall", "--rung", 1)
        self.refuse(2, "for good", "athlete", "remove", "Quexalinda")
        answer = self.run_json("athlete", "remove", "Quexalinda", "--yes", "--from-backups")
        self.assertEqual(len(answer["backups_cleaned"]), 1)
        for folder, _, files in os.walk(self.folder):
            for file in files:
                with open(os.path.join(folder, file), "rb") as opened:
                    self.assertNotIn(b"Quexalinda", opened.read(), file)
        self.assertEqual(self.run_json("athlete", "list"), {"athletes": []})

    def test_a_log_line_says_the_title_of_the_ladder(self):
        self.run_ok("athlete", "add", "Bo")
        add = lambda *more: self.run_ok("attempt", "add", "Bo", "crash", *more)
        # Names of the trade; a quarter, and degrees that are none, stand behind the stem as in a ladder.
        for base, twist, words in (("gainer", 90, "gainer quarter, left"), ("gainer", 360, "corkscrew, left"), ("back flip", 0, "back flip, left"),
                                   ("back flip", 30, "back 30\u00b0, left")):
            self.assertIn(words + ": fall", add("--base", base, "--twist", twist))
        kick = self.run_ok("attempt", "add", "Bo", "fall", "--base", "cheat kick", "--twist", 540)
        self.assertIn("540", kick.splitlines()[0])
        self.assertEqual([a["outcome"] for a in self.run_json("attempt", "list")["attempts"]], ["fall"] * 5)

    def test_an_attempt_is_not_of_the_future(self):
        self.ana()
        ahead = lambda hours: (datetime.datetime.now() + datetime.timedelta(hours=hours)).strftime("%Y-%m-%dT%H:%M")
        self.refuse(2, "more than a day in the future", "attempt", "add", "Ana", "fall", "--rung", 1, "--time", ahead(26))
        self.run_ok("attempt", "add", "Ana", "fall", "--rung", 1, "--time", ahead(22))

    def test_removal_that_a_backup_withstands(self):
        """What cannot be cleaned is named, with what to do, and the exit code says that not all was written."""
        self.run_ok("athlete", "add", "Quexalinda", "--plan", self.plan)
        self.run_ok("attempt", "add", "Quexalinda", "fall", "--rung", 1)
        spoilt = self.folder / "club.db.backups/2020-01-01T00-00-00Z.db"
        spoilt.write_text("Quexalinda " * 1000)
        result = halfturn("athlete", "remove", "Quexalinda", "--yes", "--from-backups", "--logbook", self.book)
        self.assertEqual(result.returncode, 3, result.stderr)
        self.assertIn(str(spoilt), result.stderr)
        self.assertIn("delete the file", result.stderr)
        self.assertIn("removed: Quexalinda", result.stdout)

    def test_import_with_one_name_in_two_spellings(self):
        path = self.folder / "in.csv"
        path.write_text("athlete,time,skill,twist_deg,outcome\nMia,2026-11-25,back flip,180,fall\nmia,2026-11-25,back flip,180,fall\n")
        self.assertEqual(self.run_json("attempt", "import", path, "--add-athletes"), {"added": 2, "known": 0, "athletes_added": 1})
        path.write_text("athlete,time,skill,twist_deg,outcome\nZoe,2026-11-25,back flip,180,fall\n" + "x" * 101 + ",2026-11-25,back flip,180,fall\n")
        self.refuse(2, "1 to 100 letters", "attempt", "import", path, "--add-athletes")
        self.assertEqual([entry["name"] for entry in self.run_json("athlete", "list")["athletes"]], ["Mia"])

    def test_merge(self):
        self.ana()
        other = self.folder / "other.db"
        halfturn("attempt", "--merge", self.book, "--logbook", other)
        halfturn("attempt", "add", "Ana", "in hand", "--rung", 2, "--plan", self.plan, "--logbook", other)
        answer = self.run_json("attempt", "--merge", other)
        self.assertEqual((answer["added"], answer["athletes_added"]), (1, 0))
        self.refuse(2, "there is no logbook yet", "attempt", "--merge", self.folder / "none.db")

    def test_a_plan_for_the_other_side_is_told(self):
        result = halfturn("athlete", "add", "Bo", "--side", "right", "--plan", self.plan, "--logbook", self.book)
        self.assertEqual(result.returncode, 0)
        self.assertIn("Bo twists right, the plan twists left", result.stderr)
        result = halfturn("athlete", "add", "Cy", "--side", "left", "--plan", self.plan, "--logbook", self.book)
        self.assertEqual(result.stderr, "")

    def test_merge_what_a_phone_has_saved(self):
        self.ana()
        saved = self.folder / "attempts.json"
        attempt = {"id": "phone-1", "athlete": "Ana", "time": "2026-11-25T18:00:00.000Z", "skill": "back flip", "twist_deg": 90,
                   "outcome": "in hand"}
        saved.write_text(json.dumps({"format": "halfturn-attempts", "version": 1,
                                     "attempts": [attempt, {**attempt, "id": "phone-2", "outcome": "fall"}]}))
        self.assertEqual(self.run_json("attempt", "--merge", saved), {"added": 2, "known": 0, "athletes_added": 0})
        self.assertEqual(self.run_json("attempt", "--merge", saved), {"added": 0, "known": 2, "athletes_added": 0})
        self.assertEqual(len(self.run_json("attempt", "list")["attempts"]), 2)
        saved.write_text(saved.read_text().replace('"Ana"', '"Bo"').replace("phone", "other"))
        self.refuse(2, '"Bo"', "attempt", "--merge", saved)
        self.assertEqual(self.run_json("attempt", "--merge", saved, "--add-athletes")["athletes_added"], 1)
        saved.write_text("{")
        self.refuse(2, "attempts.json", "attempt", "--merge", saved)

    def test_chart_and_csv(self):
        self.ana()
        for day in (20, 21):
            self.run_ok("attempt", "add", "Ana", "in hand", "--rung", 1, "--on-plan", "--time", f"2026-11-{day}T18:00")
            self.run_ok("attempt", "add", "Ana", "fall", "--rung", 2, "--time", f"2026-11-{day}T18:10")
        chart, table = self.folder / "wall.svg", self.folder / "wall.csv"
        progress = self.run_json("progress", "Ana", "--chart", chart, "--csv", table)
        self.assertEqual(progress["rungs"][1]["controlled"], 2)
        # Wilson's interval of 2 of 2: from n / (n + z^2) with z = 1.959964 to 1.
        low, high = progress["rungs"][1]["rate_interval_95"]
        self.assertAlmostEqual(low, 2 / (2 + 1.959963984540054**2), 12)
        self.assertEqual(high, 1)
        import xml.etree.ElementTree as tree

        words = "".join(tree.parse(chart).getroot().itertext())
        self.assertIn("crashes 2 (the aim is 0)", words)
        self.assertNotIn("Ana", words)
        self.run_ok("progress", "Ana", "--chart", chart, "--with-name")
        self.assertIn("Ana", "".join(tree.parse(chart).getroot().itertext()))
        rows = list(csv.DictReader(io.StringIO(table.read_text())))
        self.assertEqual([row["session"] for row in rows if row["rung"] == "1"], ["2026-11-20", "2026-11-21"])

    def test_bad_input(self):
        self.refuse(2, "there is no logbook yet", "athlete", "list")
        self.refuse(2, "there is no logbook yet", "progress", "Ana")
        self.ana()
        add = ("attempt", "add", "Ana")
        self.refuse(2, "is none of", *add, "great", "--rung", 1)
        self.refuse(2, "There are 0 back flip, 1 back quarter", *add, "fall")
        self.refuse(2, "there is no rung 9", *add, "fall", "--rung", 9)
        self.refuse(2, "give one of them", *add, "in hand", "--rung", 1, "--on-plan", "--short", 15)
        self.refuse(2, "cannot be seen by eye", *add, "in hand", "--rung", 1, "--short", 7)
        self.run_ok(*add, "in hand", "--rung", 1, "--short", 7, "--measured")
        self.refuse(2, "--air-time", *add, "in hand", "--rung", 1, "--air-time", "fast")
        self.refuse(2, "--time", *add, "in hand", "--rung", 1, "--time", "yesterday")
        self.refuse(2, 'there is no athlete called "Bo"; there are: Ana', "attempt", "add", "Bo", "fall", "--rung", 1)
        self.refuse(2, "already", "athlete", "add", "ANA")
        self.refuse(2, "--mass", "athlete", "add", "Cy", "--mass", 900)
        self.refuse(2, "bakc", *add, "fall", "--base", "bakc flip")
        self.refuse(2, "", "attempt")
        self.refused(2, "options go after", "attempt", "--logbook", self.book, "add", "Ana", "fall", "--rung", 1)
        self.refuse(2, "", "athlete")
        self.assertEqual(len(self.run_json("attempt", "list")["attempts"]), 1)

    def test_files_that_are_no_logbook(self):
        self.book.write_text("x" * 3000)
        self.refuse(2, "is no logbook", "athlete", "list")
        self.assertEqual(self.book.read_text(), "x" * 3000)
        self.book.unlink()
        self.ana()
        handle = sqlite3.connect(self.book)
        handle.execute("PRAGMA user_version = 7")
        handle.commit()
        handle.close()
        self.refuse(2, "newer halfturn", "athlete", "add", "Bo")
        self.refused(3, "none is not there; make it", "athlete", "add", "Bo", "--logbook", self.folder / "none" / "x.db")

    def test_default_place(self):
        environment = os.environ | {"XDG_DATA_HOME": str(self.folder / "data")}
        self.assertEqual(halfturn("athlete", "add", "Ana", env=environment).returncode, 0)
        self.assertTrue((self.folder / "data/halfturn/logbook.db").exists())


main()
