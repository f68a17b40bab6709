"""The page on a phone in headless Chromium, touched by fingers; what it shows is checked against the command line."""
import json
import re
import math
import os
import pathlib
import subprocess
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "cli"))
from chromium import Browser, pixels_of  # noqa: E402
from program import ProgramTest, halfturn, main  # noqa: E402

READY = "window.halfturn"
PORTRAIT, LANDSCAPE, TABLE = (360, 640), (640, 360), (1280, 800)
YELLOW = (0xF0, 0xE4, 0x42)  # the way the chest points, and nothing else: ../shared/look
HOSTILE = '</script><script>document.title="owned"</script><img src=x onerror="document.title=\'owned\'"> <!-- & "quoted" \' @PLAN@'


def count_colour(rows, colour, off=6):
    return sum(all(abs(row[i + k] - colour[k]) <= off for k in range(3)) for row in rows for i in range(0, len(row), 3))


def turned_on(q, omega, time_s):
    """q exp(omega time): the rotation of a constant rate in body axes, written out."""
    rate = math.sqrt(sum(w * w for w in omega))
    c, s = math.cos(rate * time_s / 2), math.sin(rate * time_s / 2)
    x, y, z = (s * w / rate for w in omega) if rate else (0, 0, 0)
    a, b, d, e = q
    return [a * c - b * x - d * y - e * z, a * x + b * c + d * z - e * y, a * y - b * z + d * c + e * x, a * z + b * y - d * x + e * c]


def turned_apart(p, q):
    """Angle between two orientations, rad, accurate near 0: from the chord, of q or -q the nearer."""
    chord = min(math.dist(p, q), math.dist(p, [-v for v in q]))
    return 4 * math.asin(min(1.0, chord / 2))


def leave_picture(name, png):
    folder = os.environ.get("HALFTURN_PAGE_PICTURES")
    if folder:
        (pathlib.Path(folder) / name).write_bytes(png)


class Page(ProgramTest):
    @classmethod
    def setUpClass(cls):
        cls.browser = Browser()

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()

    def page(self, *arguments):
        path = self.folder / "page.html"
        made = halfturn("share", *(arguments or ["--demo"]), "-o", path)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertEqual(made.stderr, "")
        return path

    def rungs(self, *arguments):
        return json.loads(halfturn("ladder", *(arguments or ["--demo"]), "--json").stdout)["rungs"]

    def open(self, *arguments, size=PORTRAIT):
        path = self.page(*arguments)
        self.browser.size(*size)
        self.browser.open(path.as_uri(), READY)
        self.browser.value("localStorage.clear()")
        if self.state()["playing"]:
            self.browser.tap("#play")
            self.browser.until("!halfturn.state().playing")
        return path

    def state(self):
        return self.browser.value("halfturn.state()")

    def pick(self, rung):
        self.browser.tap(f'[data-rung="{rung}"]')
        self.browser.until(f"halfturn.state().rung === {rung}")

    def test_it_opens_with_nothing_from_the_network(self):
        path = self.open()
        self.assertLess(path.stat().st_size, 2_000_000)
        asked = [e["params"]["request"]["url"] for e in self.browser.events if e["method"] == "Network.requestWillBeSent"]
        self.assertEqual([url for url in asked if not url.startswith(("data:", "blob:"))], [path.as_uri()])
        self.assertFalse([e for e in self.browser.events if e["method"] == "Runtime.exceptionThrown"])
        marks = self.browser.value("performance.getEntriesByType('mark').map(m => [m.name, Math.round(m.startTime)])")
        print(f"page {path.stat().st_size} bytes, ms: {marks}", file=sys.stderr)
        width, height, rows, _ = self.browser.picture()
        self.assertEqual((width, height), PORTRAIT)
        # The sign of the wall, the chest and the beads.
        self.assertGreater(count_colour(rows, YELLOW), 1500)
        self.assertFalse(self.browser.value("getComputedStyle(document.getElementById('text')).display !== 'none'"))

    def test_every_rung_faces_where_the_command_line_says(self):
        self.open()
        rungs = self.rungs()
        self.assertEqual(self.browser.value("halfturn.climb.rungs.length"), len(rungs))
        for rung in rungs:
            self.pick(rung["index"])
            # To the landing, by the end of the arc.
            x, y, width, _ = self.browser.middle("#arc")
            self.browser.drag(((x, y), (x + width / 2 - 4, y)))
            self.browser.until("halfturn.state().share === 1")
            state = self.state()
            faced = rung["start"]["heading_deg"] + state["turned_deg"] + rung["foot_turn_deg"]
            self.assertAlmostEqual((faced - rung["landing"]["heading_deg"] + 180) % 360 - 180, 0, 9)
            self.assertEqual(self.browser.value(f"halfturn.climb.rungs[{rung['index']}].heading_deg"), rung["landing"]["heading_deg"])
            walls = {0: "front wall", 90: "left wall", 180: "back wall", -180: "back wall", -90: "right wall"}
            self.assertEqual(self.browser.value("document.getElementById('wall').textContent"), walls[round(rung["landing"]["heading_deg"])])

    def test_fingers_scrub_orbit_and_zoom(self):
        self.open()
        x, y, width, _ = self.browser.middle("#arc")
        for share in (0.25, 0.8, 0.5):
            self.browser.drag(((x, y), (x - width / 2 + 22 + share * (width - 44), y + 10)))
            self.browser.until(f"Math.abs(halfturn.state().share - {share}) < 0.01")
        before = self.browser.value("document.getElementById('picture').toDataURL()")
        # One finger across the stage is time too.
        sx, sy, sw, _ = self.browser.middle("#stage")
        self.browser.drag(((sx, sy + 20), (sx + 0.2 * sw, sy + 20)))
        self.browser.until("halfturn.state().share > 0.6")
        self.assertNotEqual(self.browser.value("document.getElementById('picture').toDataURL()"), before)
        share = self.state()["share"]
        self.browser.drag(((sx - 30, sy), (sx - 70, sy)), ((sx + 30, sy), (sx + 70, sy)))
        self.browser.until("halfturn.state().zoom > 1.5")
        self.assertLess(abs(self.state()["yaw_deg"]), 8)
        self.browser.drag(((sx - 40, sy), (sx + 10, sy)), ((sx + 40, sy), (sx + 90, sy)))
        self.browser.until("halfturn.state().yaw_deg < -20")
        self.assertEqual(self.state()["share"], share)
        self.browser.tap("#on")
        self.browser.until(f"halfturn.state().share > {share}")
        for camera in (1, 2, 3, 0):
            self.browser.tap("#camera")
            self.browser.until(f"halfturn.state().camera === {camera}")

    def test_it_plays_and_stops_at_the_speed_chosen(self):
        self.open()
        self.assertEqual(self.browser.value("document.getElementById('rate').textContent"), "1/4")
        self.browser.tap("#rate")
        self.browser.until("halfturn.state().rate === 0.125")
        self.browser.tap("#play")
        self.browser.until("halfturn.state().playing")
        first = self.state()["t"]
        self.browser.until(f"halfturn.state().t !== {first}")

    def test_a_lost_context_is_drawn_anew(self):
        self.open()
        time.sleep(0.5)
        count = lambda: count_colour([row[:] for row in self.browser.picture()[2][:330]], YELLOW)
        before = count()
        self.browser.value("window.lose = document.getElementById('picture').getContext('webgl2').getExtension('WEBGL_lose_context'); lose.loseContext()")
        time.sleep(0.3)
        self.browser.tap("#on")
        self.browser.value("lose.restoreContext()")
        time.sleep(1)
        self.assertGreater(count(), 0.7 * before)

    def test_two_stages_beside_each_other(self):
        self.open()
        rungs = self.rungs()
        self.pick(1)
        self.browser.tap('[data-tab="compare"]')
        self.browser.until("halfturn.state().stages === 2")
        compared = self.browser.value("halfturn.compared()")
        self.assertEqual([s["heading_deg"] for s in compared["stages"]], [rungs[1]["landing"]["heading_deg"], rungs[2]["landing"]["heading_deg"]])
        self.browser.tap('[data-pair="sides"]')
        self.browser.until("halfturn.compared().pairing === 'sides'")
        left, right = self.browser.value("halfturn.compared()")["stages"]
        self.assertEqual((left["turn_deg"], left["side"]), (-right["turn_deg"], "left"))
        self.assertEqual(right["side"], "right")
        time.sleep(0.4)
        # Each half shows a figure of its own: yellow on both.
        _, _, rows, _ = self.browser.picture()
        stage = [row for row in rows[60:280]]
        for half in (slice(0, 3 * 180), slice(3 * 180, 3 * 360)):
            self.assertGreater(count_colour([row[half] for row in stage], YELLOW), 150)
        self.browser.tap('[data-tab="climb"]')
        self.browser.until("halfturn.state().stages === 0")

    def test_four_stages_where_the_screen_is_wide(self):
        self.open(size=(1024, 768))
        self.pick(1)
        self.browser.tap('[data-tab="compare"]')
        self.browser.until("halfturn.state().stages === 2")
        for count in (3, 4):
            self.browser.tap('[data-stages="more"]')
            self.browser.until(f"halfturn.state().stages === {count}")
        self.assertTrue(self.browser.value("document.querySelector('[data-stages=more]').disabled"))
        self.assertEqual(self.browser.value("document.querySelectorAll('#panes .pane').length"), 4)
        time.sleep(0.6)
        _, _, rows, png = self.browser.picture()
        leave_picture("four-stages.png", png)
        width = round(self.browser.value("document.getElementById('stage').clientWidth"))
        for k in range(4):
            part = slice(3 * (k * width // 4), 3 * ((k + 1) * width // 4))
            self.assertGreater(count_colour([row[part] for row in rows[120:700]], YELLOW), 100, k)
        # Held upright there is room for two.
        self.browser.size(768, 1024)
        self.browser.until("halfturn.state().stages === 2")

    def test_simulated_flights_are_those_of_the_desktop(self):
        path = self.open("--demo", "--simulated")
        self.assertLess(path.stat().st_size, 2_000_000)
        marks = self.browser.value("performance.getEntriesByType('mark').map(m => [m.name, Math.round(m.startTime)])")
        print(f"simulated page {path.stat().st_size} bytes, ms: {marks}", file=sys.stderr)
        for rung in (1, 4):
            self.pick(rung)
            self.assertEqual(self.browser.value("document.getElementById('maker').textContent"), "simulated, an average adult")
            table = self.folder / "flight.csv"
            made = halfturn("export", "--demo", "--simulated", "--rung", rung, "--hz", 2000, "-o", table)
            self.assertEqual(made.returncode, 0, made.stderr)
            rows = [[float(cell) for cell in line.split(",")] for line in table.read_text().splitlines()[1:]]
            x, y, width, _ = self.browser.middle("#arc")
            for share in (0.13, 0.37, 0.5, 0.71, 0.93):
                self.browser.drag(((x, y), (x - width / 2 + 22 + share * (width - 44), y + 10)))
                self.browser.until(f"Math.abs(halfturn.state().share - {share}) < 0.01")
                state, shown = self.browser.value("[halfturn.state(), halfturn.orientation()]")
                self.assertAlmostEqual(state["duration"], rows[-1][0], places=5)
                # Nearest row, then on at the page's own rate: half a millisecond is up to 8 mrad.
                row = min(rows, key=lambda r: abs(r[0] - state["t"]))
                self.assertLess(turned_apart(turned_on(row[1:5], row[5:8], state["t"] - row[0]), shown[:4]), 1e-3, (rung, share))
        # Beside another rung of the climb both are simulated.
        self.pick(1)
        self.browser.tap('[data-tab="compare"]')
        self.browser.until("halfturn.state().stages === 2")
        self.assertEqual([s["made"] for s in self.browser.value("halfturn.compared()")["stages"]], ["simulated", "simulated"])
        self.browser.tap('[data-tab="more"]')
        self.browser.until("halfturn.state().stages === 0")
        self.assertIn("an average adult", self.browser.value("halfturn.notes().finish_source"))
        self.assertNotIn("drawn", self.browser.value("document.getElementById('more').textContent"))
        text = self.browser.value("document.getElementById('text').textContent")
        self.assertIn("flights are simulated", text)
        self.assertNotIn("not simulated", text)

    def test_a_page_without_the_choice_says_drawn(self):
        self.open()
        self.assertEqual(self.browser.value("document.getElementById('maker').textContent"), "drawn, not simulated")
        self.assertIn("not simulated", self.browser.value("document.querySelector('#text > .caution:last-child').textContent"))

    def test_no_body_is_told(self):
        athlete = self.folder / "ana.json"
        athlete.write_text(json.dumps({"format": "halfturn-athlete", "version": 1, "name": "Ana Maria Lopez", "height_m": 1.637, "mass_kg": 54.321, "segment_table": "female", "twisting_side": "left"}))
        made = self.folder / "own.html"
        self.assertEqual(halfturn("share", "--demo", "--athlete", athlete, "-o", made).returncode, 0)
        text = made.read_text()
        before_code = text.split('id="code"')[0]
        for told in ("Lopez", "height_m", "mass_kg"):
            self.assertFalse(told in before_code, told)
        # As numbers of their own: among thousands of others the same digits may begin a longer one.
        for told in (r"1\.637", r"54\.321"):
            self.assertIsNone(re.search(rf"(?<![\d.]){told}(?!\d)", before_code), told)
        self.browser.size(*PORTRAIT)
        self.browser.open(made.as_uri(), READY)
        makers = set()
        for rung in range(self.browser.value("halfturn.climb.rungs.length")):
            self.pick(rung)
            makers.add(self.browser.value("document.getElementById('maker').textContent"))
        self.assertIn("simulated, this athlete's body", makers)

    def test_a_rung_that_nobody_flies_says_why(self):
        athlete = self.folder / "short.json"
        athlete.write_text(json.dumps({"format": "halfturn-athlete", "version": 1, "name": "Bo", "height_m": 1.8, "mass_kg": 70, "segment_table": "male", "twisting_side": "left", "air_time_s": 0.5}))
        made = self.folder / "short.html"
        shared = halfturn("share", "--demo", "--athlete", athlete, "-o", made)
        self.assertEqual(shared.returncode, 0, shared.stderr)
        self.browser.size(*PORTRAIT)
        self.browser.open(made.as_uri(), READY)
        top = self.browser.value("halfturn.climb.rungs.length") - 1
        self.pick(top)
        maker = self.browser.value("document.getElementById('maker').textContent")
        self.assertTrue(maker.startswith("drawn: "), maker)
        title = self.browser.value(f"halfturn.climb.rungs[{top}].title")
        self.assertIn(f"{title}: {maker}", shared.stderr)
        leave_picture("short.png", self.browser.picture()[3])

    def test_flights_that_cannot_be_read_fall_back_to_drawn(self):
        page = self.page("--demo", "--simulated")
        whole = page.read_text()
        for found, put in (('"version":1,"whose"', '"version":9,"whose"'), ('"orientation":[', '"orientation":["x",'), ('{"format":"halfturn-flights"', "")):
            self.assertIn(found, whole)
            page.write_text(whole.replace(found, put, 1))
            self.browser.size(*PORTRAIT)
            self.browser.open(page.as_uri() + f"?{len(put)}", READY)
            self.assertEqual(self.browser.value("document.getElementById('maker').textContent"),
                             "drawn, not simulated; the simulated flights of this page cannot be read")
            self.browser.tap('[data-tab="more"]')
            self.browser.until("document.getElementById('more').textContent.includes('flights')")
            self.assertIn("cannot be read (flights", self.browser.value("document.getElementById('more').textContent"))

    def test_attempts_by_thumb_go_into_the_logbook_once(self):
        self.open()
        downloads = self.folder / "downloads"
        self.browser.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(downloads))
        self.pick(0)
        self.browser.tap('[data-tab="log"]')
        self.browser.value("(() => { const name = document.getElementById('athlete'); name.value = ''; name.dispatchEvent(new Event('input')); })()")
        logged = "document.getElementById('logged').textContent"
        self.browser.tap('[data-tap="in hand"]')
        self.browser.until(f"{logged}.includes('name')")
        self.browser.value("(() => { const name = document.getElementById('athlete'); name.value = 'Ada'; name.dispatchEvent(new Event('input')); })()")
        for k in range(3):
            self.browser.tap('[data-tap="in hand"]')
            self.browser.until("!!document.querySelector('[data-tap=\"on plan\"]')")
            self.browser.tap('[data-tap="on plan"]')
            self.browser.until(f"{logged}.startsWith('{k + 1} logged')")
        gates = self.browser.value("halfturn.gates()")
        self.assertTrue(gates[0]["passed"])
        self.assertFalse(gates[1]["passed"])
        self.browser.tap('[data-tap="fall"]')
        self.browser.until(f"{logged}.includes('Crashes 1 (the aim is 0)')")
        self.assertFalse(self.browser.value("halfturn.gates()")[0]["passed"])
        self.browser.tap('[data-tap="on feet"]')
        self.browser.until("!!document.querySelector('[data-tap=\"30 short\"]')")
        self.browser.tap('[data-tap="30 short"]')
        self.browser.until(f"{logged}.startsWith('5 logged')")
        self.browser.tap("#undo")
        self.browser.until(f"{logged}.startsWith('4 logged')")
        self.browser.tap("#save")
        end = time.monotonic() + 20
        while not (files := [f for f in downloads.glob("*.json")] if downloads.exists() else []):
            self.assertLess(time.monotonic(), end, "nothing was saved")
            time.sleep(0.1)
        attempts = json.loads(files[0].read_text())
        self.assertEqual([(a["athlete"], a["outcome"], a.get("heading_error_deg")) for a in attempts["attempts"]],
                         [("Ada", "in hand", 0)] * 3 + [("Ada", "fall", None)])
        logbook = self.folder / "logbook.db"
        merge = lambda: json.loads(halfturn("attempt", "--merge", files[0], "--add-athletes", "--logbook", logbook, "--json").stdout)
        first, second = merge(), merge()
        self.assertEqual((first["added"], first["known"]), (4, 0))
        self.assertEqual((second["added"], second["known"]), (0, 4))

    def test_two_pages_keep_each_others_attempts(self):
        """What another page put on the shelf stays there, an undo takes only the athlete's own last, and for good."""
        self.open()
        self.pick(0)
        self.browser.tap('[data-tab="log"]')
        self.browser.value("(() => { const name = document.getElementById('athlete'); name.value = 'Ada'; name.dispatchEvent(new Event('input')); })()")
        shelf = lambda: self.browser.value("JSON.parse(localStorage.getItem('halfturn-attempts'))")
        other = {"id": "other-page-1", "athlete": "Bo", "time": "2099-01-01T00:00:00.000Z", "skill": "back flip", "twist_deg": 90, "outcome": "fall"}
        self.browser.value(f"localStorage.setItem('halfturn-attempts', {json.dumps(json.dumps([other]))})")
        self.browser.tap('[data-tap="fall"]')
        self.browser.until("JSON.parse(localStorage.getItem('halfturn-attempts')).length === 2")
        self.assertEqual({a["athlete"] for a in shelf()}, {"Ada", "Bo"})
        mine = next(a for a in shelf() if a["athlete"] == "Ada")
        self.browser.tap("#undo")
        self.browser.until("JSON.parse(localStorage.getItem('halfturn-attempts')).length === 1")
        # A page that still knows the attempt writes it again: taken back is taken back.
        self.browser.value(f"localStorage.setItem('halfturn-attempts', {json.dumps(json.dumps([other, mine]))})")
        self.browser.tap('[data-tap="stop"]')
        self.browser.until("JSON.parse(localStorage.getItem('halfturn-attempts')).some(a => a.outcome === 'stop')")
        self.assertEqual(sorted((a["athlete"], a["outcome"]) for a in shelf()), [("Ada", "stop"), ("Bo", "fall")])

    def test_a_program_that_does_not_start_leaves_the_text_with_the_reason(self):
        path = self.page()
        text = path.read_text()
        at = text.index(">", text.index('id="code"')) + 20000
        path.write_text(text[:at] + "A" * 400 + text[at + 400:])
        self.browser.size(*PORTRAIT)
        self.browser.open(path.as_uri(), "!document.getElementById('why_text').hidden")
        self.assertIn("cannot be drawn here (", self.browser.value("document.getElementById('why_text').textContent"))
        self.assertTrue(self.browser.value("document.getElementById('viewer').hidden"))

    def test_names_are_text(self):
        plan = self.folder / "plan.json"
        halfturn("ladder", "--demo", "-o", plan)
        content = json.loads(plan.read_text())
        content["title"], content["athlete"] = HOSTILE, HOSTILE[:100]
        for wall in content["walls"]:
            content["walls"][wall] = HOSTILE[:56] + wall[0]
        content["rungs"][1]["cue"] = HOSTILE
        plan.write_text(json.dumps(content))
        self.open(plan)
        self.pick(1)
        self.browser.tap('[data-tab="more"]')
        self.browser.until("document.getElementById('more').textContent.includes('owned')")
        self.assertNotEqual(self.browser.value("document.title"), "owned")
        self.assertEqual(self.browser.value("document.querySelectorAll('#viewer img, #viewer script, main script').length"), 0)
        self.assertEqual(self.browser.value("document.querySelectorAll('script').length"), 5)
        self.assertTrue(self.browser.value("document.getElementById('wall').textContent").startswith("</script>"))
        self.assertEqual(self.browser.value("document.getElementById('athlete').value"), HOSTILE[:100])

    def test_everything_is_large_enough_and_inside(self):
        self.open()
        for size in (PORTRAIT, LANDSCAPE, (390, 844), (412, 915), (1024, 768), TABLE):
            self.browser.size(*size)
            time.sleep(0.5)
            for tab in ("climb", "compare", "log", "more"):
                self.browser.tap(f'[data-tab="{tab}"]')
                time.sleep(0.3)
                with self.subTest(size=size, tab=tab):
                    self.assertTrue(self.browser.value("document.documentElement.scrollWidth <= innerWidth"))
                    small = self.browser.value("""[...document.querySelectorAll('#viewer button, #viewer input')].filter(b => b.getClientRects().length)
                        .filter(b => { const r = b.getBoundingClientRect(); return r.height < 48 || r.width < 48 || r.left < 0 || r.right > innerWidth; }).map(b => b.outerHTML.slice(0, 80))""")
                    self.assertEqual(small, [])
                    tiny = self.browser.value("""[...document.querySelectorAll('#viewer *')].filter(e => e.getClientRects().length && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
                        .filter(e => parseFloat(getComputedStyle(e).fontSize) < 16).map(e => e.outerHTML.slice(0, 80))""")
                    self.assertEqual(tiny, [])
                    cut = self.browser.value("[...document.querySelectorAll('#viewer button')].filter(b => b.scrollWidth > b.clientWidth + 1).map(b => b.textContent)")
                    self.assertEqual(cut, [])
                leave_picture(f"{size[0]}x{size[1]}-{tab}.png", self.browser.picture()[3])


class WithoutWebGL(ProgramTest):
    def test_text_and_pictures_stand_for_themselves(self):
        path = self.folder / "page.html"
        halfturn("share", "--demo", "-o", path)
        browser = Browser("--disable-3d-apis")
        self.addCleanup(browser.close)
        browser.size(*PORTRAIT)
        browser.open(path.as_uri(), "!document.getElementById('why_text').hidden")
        self.assertIn("WebGL", browser.value("document.getElementById('why_text').textContent"))
        self.assertTrue(browser.value("document.getElementById('viewer').hidden"))
        text = browser.value("document.getElementById('text').innerText")
        for rung in json.loads(halfturn("ladder", "--demo", "--json").stdout)["rungs"]:
            self.assertIn(rung["floor_walk"], text)
        self.assertIn("Teach under a qualified coach", text)
        pictures = "[...document.querySelectorAll('#text img')]"
        browser.value(f"{pictures}.forEach(i => i.loading = 'eager')")
        browser.until(f"{pictures}.length === 5 && {pictures}.every(i => i.complete && i.naturalWidth > 300)")


main()
