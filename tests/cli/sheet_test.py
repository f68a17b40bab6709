"""Sheets to print, read back by other programs: Poppler (text, fonts, pixels), QPDF, libxml2, librsvg."""
import json
import re
import subprocess

from program import ProgramTest, halfturn, main

YELLOW = (0xF0, 0xE4, 0x42)  # the palette's colour of the way the chest points


def run(*command):
    result = subprocess.run([str(part) for part in command], capture_output=True, timeout=120)
    assert result.returncode == 0, (command, result.stderr)
    return result.stdout


def words(text):
    return " ".join(text.split())


def pixels(png):
    """Width, height and RGB bytes of a picture, through ImageMagick."""
    width, height = map(int, run("identify", "-format", "%w %h", png).split())
    return width, height, run("convert", png, "-depth", "8", "rgb:-")


class Sheet(ProgramTest):
    def plan(self, base="back flip", to=360, step=90, *more):
        path = self.folder / "plan.json"
        made = halfturn("ladder", "--base", base, "--to", to, "--step", step, *more, "-o", path, "--json")
        self.assertIn(made.returncode, (0, 1), made.stderr)
        return path, json.loads(made.stdout)["rungs"]

    def sheet(self, plan, name, *more):
        path = self.folder / name
        made = halfturn("sheet", plan, "-o", path, *more)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def text(self, pdf):
        return words(run("pdftotext", "-raw", pdf, "-").decode())

    def test_all_that_a_rung_says_can_be_searched(self):
        for base, to, step in (("back flip", 360, 90), ("cheat kick", 900, 180), ("butterfly", 540, 180)):
            plan, rungs = self.plan(base, to, step)
            text = self.text(self.sheet(plan, "sheet.pdf"))
            for rung in rungs:
                with self.subTest(base=base, rung=rung["index"]):
                    self.assertIn(words(rung["floor_walk"]), text)
                    self.assertIn(f"air usually from {rung['air_time_needed_s']:.2f} s (an estimate)", text)
                    self.assertIn(rung["start"]["stance"], text)
                    self.assertIn(rung["name"] or "", text)
                    for line in rung["finish"]["lines"] if rung.get("finish") else []:
                        self.assertIn(words(line["text"]), text)
            self.assertIn("Teach under a qualified coach", text)

    def test_pdf_is_sound_tagged_and_carries_its_fonts(self):
        plan, _ = self.plan()
        for kind in ("ladder", "class", "wall"):
            with self.subTest(kind=kind):
                pdf = self.sheet(plan, f"{kind}.pdf", "--kind", kind)
                self.assertIn(b"No syntax or stream encoding errors", run("qpdf", "--check", pdf))
                fonts = run("pdffonts", pdf).decode().splitlines()[2:]
                self.assertGreater(len(fonts), 0)
                for font in fonts:
                    self.assertRegex(font, r"^[A-Z]{6}\+Inter-\S+ .* yes yes yes ")  # embedded, subset, unicode
                parts = run("qpdf", "--qdf", "--object-streams=disable", pdf, "-")
                self.assertIn(b"/StructTreeRoot", parts)
                for part in (b"/S /H1", b"/S /P"):
                    self.assertIn(part, parts)

    def test_paper(self):
        plan, _ = self.plan()
        # ISO 216: 210 x 297 mm; ANSI Letter: 8.5 x 11 inch; in 1/72 inch.
        for paper, size in (("a4", (595.28, 841.89)), ("letter", (612, 792))):
            info = run("pdfinfo", self.sheet(plan, "sheet.pdf", "--paper", paper)).decode()
            found = re.search(r"Page size: +([\d.]+) x ([\d.]+)", info)
            self.assertAlmostEqual(float(found[1]), size[0], delta=0.02)
            self.assertAlmostEqual(float(found[2]), size[1], delta=0.02)

    def test_many_rungs_take_pages(self):
        plan, rungs = self.plan("back flip", 1080, 90)
        pdf = self.sheet(plan, "sheet.pdf")
        pages = int(re.search(r"Pages: +(\d+)", run("pdfinfo", pdf).decode())[1])
        self.assertGreater(pages, 1)
        found = [int(n) for page in range(1, pages + 1)
                 for n in re.findall(r"^(\d+)$", run("pdftotext", "-raw", "-f", page, "-l", page, pdf, "-").decode(), re.M)]
        self.assertEqual(sorted(found), list(range(1, len(rungs))))

    def test_svg_is_valid_and_looks_like_the_pdf(self):
        plan, _ = self.plan()
        svg = self.sheet(plan, "sheet.svg", "--no-finish")
        run("xmllint", "--noout", "--nonet", svg)
        run("rsvg-convert", "-w", "620", "-b", "white", "-o", self.folder / "svg.png", svg)
        run("pdftoppm", "-png", "-singlefile", "-scale-to-x", "620", "-scale-to-y", "-1", self.sheet(plan, "sheet.pdf", "--no-finish"), self.folder / "pdf")
        a, b = pixels(self.folder / "svg.png"), pixels(self.folder / "pdf.png")
        self.assertLessEqual(abs(a[1] - b[1]), 1)
        rows = min(a[1], b[1]) * a[0] * 3
        # Two renderers differ along edges; blocks of a page that is missing or moved differ everywhere.
        apart = sum(1 for x, y in zip(a[2][:rows:3], b[2][:rows:3]) if abs(x - y) > 96)
        ink = sum(1 for x in b[2][:rows:3] if x < 128)
        self.assertGreater(ink, 5000)
        self.assertLess(apart, 0.25 * ink)

    def test_dials_point_where_the_ladder_says(self):
        """On the wall sheet the yellow of each dial, read from pixels, lies at the turn of its rung."""
        for side, sign in (("left", 1), ("right", -1)):
            plan, rungs = self.plan("back flip", 360, 90, "--side", side)
            pdf = self.sheet(plan, "wall.pdf", "--kind", "wall")
            run("pdftoppm", "-png", "-singlefile", "-r", "72", pdf, self.folder / "wall")
            width, height, rgb = pixels(self.folder / "wall.png")
            # The pegs' numbers say how high each dial is; the own side is at its own half of the page.
            places = {}
            for match in re.finditer(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(B|\d)</word>',
                                     run("pdftotext", "-bbox", pdf, "-").decode()):
                x, y = (float(match[1]) + float(match[3])) / 2, (float(match[2]) + float(match[4])) / 2
                if (x < width / 2) == (side == "left"):
                    places[0 if match[5] == "B" else int(match[5])] = (x, y)
            self.assertEqual(len(places), len(rungs))
            centres = {}
            for rung in rungs:
                x0, y0 = places[rung["index"]]
                found = [(x, y) for y in range(int(y0) - 50, int(y0) + 50) for x in range(int(x0), int(x0) + 150)
                         if all(abs(rgb[3 * (y * width + x) + i] - YELLOW[i]) < 40 for i in range(3))]
                self.assertGreater(len(found), 60)
                centres[rung["index"]] = (sum(p[0] for p in found) / len(found), sum(p[1] for p in found) / len(found) - y0)
            middle = (centres[0][0] + centres[2][0]) / 2  # of a dial: no turn and half a turn lie opposite
            for rung in rungs:
                dx, dy = centres[rung["index"]][0] - middle, centres[rung["index"]][1]
                up, left = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1), 360: (1, 0)}[abs(rung["turn_deg"])]
                self.assertGreater(-dy * up - dx * left * sign, 12, rung["index"])
                self.assertLess(abs(dx if up else dy), 6, rung["index"])

    def test_the_class_sheet_says_what_counts_and_how_to_write_a_miss(self):
        plan, _ = self.plan()
        text = self.text(self.sheet(plan, "class.pdf", "--kind", "class"))
        for sentence in ("controlled with something in hand, pass a rung", "A miss: write M", "A crash: write C",
                         "a crash goes back one rung"):
            self.assertIn(sentence, text)

    def test_a_rung_says_who_made_its_figures(self):
        plan, rungs = self.plan()
        self.assertEqual(self.text(self.sheet(plan, "drawn.pdf")).count("figures: drawn, not simulated"), len(rungs))

    def test_words_keep_within_the_margins(self):
        plan, _ = self.plan()
        for paper in ("a4", "letter"):
            boxes = run("pdftotext", "-bbox", self.sheet(plan, "sheet.pdf", "--paper", paper), "-").decode()
            width = float(re.search(r'<page width="([\d.]+)"', boxes)[1])
            self.assertLess(max(map(float, re.findall(r'<word xMin="[\d.]+" yMin="[\d.]+" xMax="([\d.]+)"', boxes))), width - 33)

    def test_names_are_only_letters_on_paper(self):
        plan, _ = self.plan()
        name = "<script>alert(1)</script> & \u0416\u0435\u043d\u044f \u2192"
        pdf = self.sheet(plan, "class.pdf", "--kind", "class", "--names", f"{name}, Bo")
        text = self.text(pdf)
        self.assertIn("<script>alert(1)</", text)
        self.assertIn("Bo", text)
        run("xmllint", "--noout", "--nonet", self.sheet(plan, "class.svg", "--kind", "class", "--names", name))

    def test_refused(self):
        plan, _ = self.plan()
        self.refused(2, "neither a .pdf nor a .svg", "sheet", plan, "-o", self.folder / "sheet.png")
        self.refused(2, "plan: is missing", "sheet", "-o", self.folder / "sheet.pdf")
        self.refused(3, "cannot be written", "sheet", plan, "-o", self.folder / "nowhere" / "sheet.pdf")

    def test_an_older_sheet_outlives_a_failed_one(self):
        path = self.folder / "sheet.pdf"
        path.write_text("older")
        self.refused(2, "cannot be opened", "sheet", self.folder / "missing.json", "-o", path)
        self.assertEqual(path.read_text(), "older")


main()
