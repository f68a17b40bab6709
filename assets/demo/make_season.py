#!/usr/bin/env python3
"""A season of invented training: 20 athletes, 40 sessions, thousands of attempts.

    python3 assets/demo/make_season.py FOLDER [--halfturn PROGRAM] [--seed N]

writes FOLDER/season.csv, which `halfturn attempt import FOLDER/season.csv --add-athletes` reads, and a plan per ladder.
With --halfturn it runs the commands itself and leaves a logbook, FOLDER/season.db. Names, numbers and days are invented;
the same seed gives the same season.
"""
import argparse
import csv
import datetime
import pathlib
import random
import subprocess

NAMES = ("Abel", "Bine", "Cosmo", "Dunja", "Emre", "Fanny", "Gil", "Hanako", "Ivo", "Jula", "Kwame", "Lotte", "Mio", "Nadja",
         "Odin", "Pia", "Quentin", "Rosa", "Sami", "Tove")
# Plan: base, target, step, options of the ladder, values of the base in the logbook.
LADDERS = (
    ("full", "back flip", 360, 90, (), {"surface": "sprung floor"}),
    ("trampoline full", "back flip", 360, 180, ("--surface", "trampoline"), {"surface": "trampoline"}),
    ("double full", "back flip", 720, 180, (), {"surface": "sprung floor"}),
)
SESSIONS = 40
FIRST_DAY = datetime.datetime(2026, 1, 12, 17, 0)


class Athlete:
    """Learns: the chance of a controlled landing on a rung grows with every attempt there, and starts lower higher up."""

    def __init__(self, name, number, luck):
        self.name = name
        self.ladder = LADDERS[number % len(LADDERS)]
        self.side = "right" if number % 4 == 3 else "left"
        self.talent = luck.uniform(0.8, 1.2)
        self.air_s = luck.gauss(0.85, 0.04)
        self.rung = 0
        self.tries = {}
        self.row = self.misses = 0

    def steps(self):
        return self.ladder[2] // self.ladder[3]

    def attempt(self, luck, moment):
        step = self.ladder[3]
        tries = self.tries[self.rung] = self.tries.get(self.rung, 0) + 1
        skill = min(0.95, self.talent * (0.55 - 0.07 * self.rung + 0.03 * tries))
        draw = luck.random()
        grain = 15 if luck.random() < 0.5 else 30
        error = 0
        if draw < skill:
            outcome = "in hand"
            error = luck.choice((0, 0, 0, -15, 15))
        elif draw < skill + 0.6 * (1 - skill):
            outcome = luck.choice(("in hand", "controlled", "on feet", "on feet"))
            error = grain * luck.choice((-4, -3, -2, -2, -1, 1, 2))
        elif draw < 0.985:
            outcome = luck.choice(("hand down", "planned stop", "stop", "on feet"))
            error = None if outcome in ("stop", "planned stop") else grain * luck.choice((-3, -2, 2))
        else:
            outcome, error = "fall", None
        row = {
            "athlete": self.name, "session": moment.date().isoformat(), "time": moment.isoformat() + "Z",
            "skill": self.ladder[1], "twist_deg": self.rung * step, "side": self.side, "outcome": outcome,
            "heading_error_deg": "" if error is None else error, "surface": self.ladder[5]["surface"],
            "air_time_s": f"{luck.gauss(self.air_s, 0.03):.2f}" if luck.random() < 0.3 else "",
        }
        self.move(outcome, error)
        return row

    def move(self, outcome, error):
        """Where the coach goes next; the gate itself is the program's."""
        if outcome == "planned stop":
            return
        good = outcome == "in hand" and abs(error) <= min(30, self.ladder[3] / 2)
        self.row = self.row + 1 if good else 0
        self.misses = 0 if good else self.misses + 1
        if outcome == "fall":
            self.rung, self.row, self.misses = max(0, self.rung - 1), 0, 0
        elif self.row >= 3:
            self.rung, self.row = min(self.steps(), self.rung + 1), 0
        elif self.misses >= 4:
            self.rung, self.misses = max(0, self.rung - 1), 0


def season(seed):
    luck = random.Random(seed)
    athletes = [Athlete(name, number, luck) for number, name in enumerate(NAMES)]
    rows = []
    for number in range(SESSIONS):
        moment = FIRST_DAY + datetime.timedelta(days=7 * (number // 2) + 3 * (number % 2))
        there = [athlete for athlete in athletes if luck.random() < 0.85]
        for _ in range(luck.randint(8, 12)):
            for athlete in there:
                moment += datetime.timedelta(seconds=luck.randint(20, 50))
                rows.append(athlete.attempt(luck, moment))
    return athletes, rows


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("folder", type=pathlib.Path)
    arguments.add_argument("--halfturn", help="the program; then a logbook is made as well")
    arguments.add_argument("--seed", type=int, default=1)
    given = arguments.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    athletes, rows = season(given.seed)
    table = given.folder / "season.csv"
    with open(table, "w", newline="") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    if not given.halfturn:
        print(f"{table}: {len(rows)} attempts")
        return
    book = str(given.folder / "season.db")

    def run(*words):
        subprocess.run([given.halfturn, *map(str, words)], check=True, stdout=subprocess.DEVNULL)

    for athlete in athletes:
        title, base, target, step, more, _ = athlete.ladder
        plan = given.folder / f"{title}, {athlete.side}.json"
        if not plan.exists():
            run("ladder", "--base", base, "--to", target, "--step", step, "--side", athlete.side, *more, "-o", plan)
        run("athlete", "add", athlete.name, "--side", athlete.side, "--plan", plan, "--logbook", book)
    run("attempt", "import", table, "--logbook", book)
    print(f"{book}: {len(athletes)} athletes, {SESSIONS} sessions, {len(rows)} attempts")


if __name__ == "__main__":
    main()
