"""The page without the viewer (share --still, or a build without Emscripten): read as markup by an independent parser;
where Chromium is installed, opened in it. The page with the viewer is tested in tests/browser."""
import base64
import html.parser
import json
import shutil
import subprocess

import program
from program import ProgramTest, halfturn, main

HOSTILE = '<script>document.title="owned"</script><img src=x onerror=alert(1)> </script> & "quoted" \' @DATA@'


class Page(html.parser.HTMLParser):
    """Elements, text and links of a page, and the data that its script reads."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.links, self.text, self.data, self.scripts = [], [], "", "", 0
        self.inside = None
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.elements.append(tag)
        attributes = dict(attributes)
        self.links += [attributes[key] for key in ("src", "href") if key in attributes]
        self.inside = None
        if tag == "script":
            self.scripts += 1
            self.inside = "data" if attributes.get("id") == "data" else "script"
        if tag == "style":
            self.inside = "style"

    def handle_endtag(self, tag):
        self.inside = None

    def handle_data(self, data):
        if self.inside == "data":
            self.data += data
        elif self.inside is None:
            self.text += data


class Share(ProgramTest):
    def page(self, *arguments):
        path = self.folder / "page.html"
        made = halfturn("share", *arguments, "--still", "-o", path)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def hostile_plan(self):
        path = self.folder / "plan.json"
        halfturn("ladder", "--demo", "-o", path)
        plan = json.loads(path.read_text())
        plan["title"] = plan["athlete"] = HOSTILE[:100]
        plan["walls"]["back"] = HOSTILE[:60]
        plan["rungs"][1]["cue"] = HOSTILE
        path.write_text(json.dumps(plan))
        return path

    def test_the_ladder_stands_there_as_text_and_pictures(self):
        path = self.page("--demo")
        page = Page(path.read_text())
        text = " ".join(page.text.split())
        rungs = json.loads(halfturn("ladder", "--demo", "--json").stdout)["rungs"]
        self.assertEqual(page.elements.count("article"), len(rungs))
        self.assertEqual(page.elements.count("img"), len(rungs))
        for rung in rungs:
            self.assertIn(rung["floor_walk"], text)
            self.assertIn(rung["start"]["stance"], text)
            self.assertIn(f"air usually from {rung['air_time_needed_s']:.2f} s (an estimate)", text)
        self.assertIn("Teach under a qualified coach", text)
        # Nothing is fetched: every picture lies in the page.
        for link in page.links:
            self.assertTrue(link.startswith("data:image/png;base64,"), link[:60])
            self.assertEqual(base64.b64decode(link.split(",")[1])[:8], b"\x89PNG\r\n\x1a\n")
        self.assertNotIn("http:", path.read_text().replace("http://www.w3.org/2000/svg", ""))
        self.assertLess(path.stat().st_size, 2_000_000)

    def test_without_a_viewer_the_page_has_pictures_and_that_is_said(self):
        # The viewer lies beside the program; a program alone has none.
        alone = self.folder / "halfturn"
        shutil.copy(program.BINARY, alone)
        path = self.folder / "page.html"
        made = subprocess.run([alone, "share", "--demo", "-o", path], capture_output=True, text=True, timeout=120)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertEqual(len(made.stderr.splitlines()), 1)
        self.assertIn("no viewer for browsers", made.stderr)
        self.assertEqual(path.read_text(), self.page("--demo").read_text())

    def test_data_agrees_with_the_ladder(self):
        data = json.loads(Page(self.page("--demo").read_text()).data)
        rungs = json.loads(halfturn("ladder", "--demo", "--json").stdout)["rungs"]
        self.assertEqual([r["landing_heading_deg"] for r in data["rungs"]], [r["landing"]["heading_deg"] for r in rungs])
        self.assertEqual([r["turn_deg"] for r in data["rungs"]], [r["turn_deg"] for r in rungs])
        for rung in data["rungs"]:
            for view in rung["views"]:
                self.assertGreater(len(view["frames"]), 10)
                for frame in view["frames"]:
                    self.assertGreater(len(frame["limbs"]), 30)

    def test_names_are_data(self):
        plan = self.hostile_plan()
        page = Page(self.page(plan).read_text())
        self.assertEqual(page.scripts, 2)
        self.assertIn("owned", page.text)
        self.assertTrue(all(link.startswith("data:image/png") for link in page.links))
        self.assertEqual(json.loads(page.data)["athlete"], HOSTILE[:100])

    def test_in_a_browser(self):
        chromium = shutil.which("chromium")
        if not chromium:
            self.skipTest("Chromium is not installed; the page was not opened in a browser")
        plan = self.hostile_plan()
        path = self.page(plan)
        # Drives the page as a thumb would and leaves what it saw in the title for --dump-dom.
        probe = """<script>addEventListener("load", () => setTimeout(() => {
          const seen = {ready: document.body.dataset.ready, heading: [], frames: []};
          for (const button of document.querySelectorAll("#rungs button")) { button.click(); seen.heading.push([Number(button.dataset.rung), Number(document.body.dataset.heading)]); }
          const stage = document.getElementById("stage"), box = stage.getBoundingClientRect();
          const touch = (kind, x) => stage.dispatchEvent(new PointerEvent(kind, {pointerId: 1, pointerType: "touch", clientX: x, clientY: box.top + 9, bubbles: true}));
          stage.setPointerCapture = () => {};
          for (const x of [0.1, 0.5, 0.9]) { touch("pointerdown", box.left + box.width * 0.5); touch("pointermove", box.left + box.width * x); touch("pointerup", box.left); seen.frames.push(Number(document.body.dataset.frame)); }
          for (const outcome of ["in hand", "fall"]) document.querySelector(`[data-outcome="${outcome}"]`).click();
          document.getElementById("save").click();
          seen.saved = JSON.parse(document.body.dataset.saved);
          seen.wide = document.documentElement.scrollWidth <= innerWidth;
          const output = document.createElement("pre"); output.id = "seen"; output.textContent = JSON.stringify(seen); document.body.append(output);
        }, 300));</script>"""
        path.write_text(path.read_text().replace("</body>", probe + "</body>"))
        shown = subprocess.run(
            [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync", f"--user-data-dir={self.folder / 'profile'}", "--window-size=360,740",
             "--virtual-time-budget=4000", "--dump-dom", path.as_uri()], capture_output=True, text=True, timeout=100)
        self.assertEqual(shown.returncode, 0, shown.stderr)
        seen = json.loads(html.unescape(shown.stdout.split('<pre id="seen">')[1].split("</pre>")[0]))
        self.assertEqual(seen["ready"], "yes")
        rungs = json.loads(halfturn("ladder", plan, "--json").stdout)["rungs"]
        self.assertEqual(sorted(map(tuple, seen["heading"])), [(r["index"], r["landing"]["heading_deg"]) for r in rungs])
        self.assertLess(seen["frames"][0], seen["frames"][2])
        self.assertTrue(seen["wide"])
        self.assertNotIn("<title>owned", shown.stdout)
        attempts = seen["saved"]
        self.assertEqual([a["outcome"] for a in attempts["attempts"]], ["in hand", "fall"])
        self.assertEqual(len({a["id"] for a in attempts["attempts"]}), 2)
        schema = __import__("pathlib").Path(__file__).parents[2] / "assets" / "schema" / "halfturn-attempts.schema.json"
        if schema.exists():
            import jsonschema
            jsonschema.Draft202012Validator(json.loads(schema.read_text())).validate(attempts)


main()
