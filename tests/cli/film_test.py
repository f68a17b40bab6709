"""Films and animated pictures, measured by ffprobe and read back from decoded frames."""
import json
import os
import signal
import subprocess
import time

from program import BINARY, ProgramTest, halfturn, main

SIZE = (480, 270)


def probe(path):
    found = subprocess.run(
        ["ffprobe", "-v", "error", "-count_frames", "-select_streams", "v:0", "-show_entries",
         "stream=codec_name,width,height,pix_fmt,r_frame_rate,nb_read_frames,duration", "-of", "json", str(path)],
        capture_output=True, check=True, timeout=60)
    return json.loads(found.stdout)["streams"][0]


def last_frame(path, size):
    """RGB bytes of the last frame."""
    decoded = subprocess.run(["ffmpeg", "-v", "error", "-i", str(path), "-f", "rawvideo", "-pix_fmt", "rgb24", "-"],
                             capture_output=True, check=True, timeout=60).stdout
    return decoded[-3 * size[0] * size[1]:]


def yellow(rgb):
    """Yellow of the palette (F0E442) after chroma has been halved and compressed: strong red and green, weak blue."""
    return rgb[0] > 180 and rgb[1] > 170 and rgb[2] < 130


class Film(ProgramTest):
    def film(self, name, *more, size=SIZE):
        path = self.folder / name
        made = halfturn("film", "--demo", "--size", f"{size[0]}x{size[1]}", "-o", path, *more)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertEqual(made.stdout + made.stderr, "")  # no progress where nobody looks
        return path

    def test_mp4(self):
        path = self.film("climb.mp4", "--rung", 2, "--fps", 12, "--speed", 0.5, "--quality", "draft")
        found = probe(path)
        self.assertEqual((found["codec_name"], found["pix_fmt"]), ("h264", "yuv420p"))
        self.assertEqual((found["width"], found["height"]), SIZE)
        self.assertEqual(found["r_frame_rate"], "12/1")
        # 0.7 s before takeoff and 1.4 s after landing stand still at full speed; the flight takes twice its air time.
        air = len((self.csv(2)).splitlines()) - 2  # thousandths of a second
        length = 0.7 + 2 * air / 1000 + 1.4
        self.assertEqual(int(found["nb_read_frames"]), round(length * 12))
        self.assertAlmostEqual(float(found["duration"]), length, delta=1 / 12)

    def csv(self, rung):
        path = self.folder / "flight.csv"
        self.assertEqual(halfturn("export", "--demo", "--rung", rung, "--hz", 1000, "-o", path).returncode, 0)
        return path.read_text()

    def test_the_frames_say_where_the_landing_faces(self):
        """Seen from above the start is up: the yellow of the last frame lies the way the landing faces."""
        for rung, (across, down) in {1: (-1, 0), 2: (0, 1), 3: (1, 0)}.items():
            path = self.film(f"above{rung}.mp4", "--rung", rung, "--fps", 4, "--camera", "above", "--speed", 1,
                             "--no-captions", "--quality", "draft", size=(360, 360))
            rgb = last_frame(path, (360, 360))
            places = [(i % 360 - 179.5, i // 360 - 179.5) for i in range(360 * 360) if yellow(rgb[3 * i:3 * i + 3])]
            self.assertGreater(len(places), 300)
            x = sum(p[0] for p in places) / len(places)
            y = sum(p[1] for p in places) / len(places)
            self.assertGreater(x * across + y * down, 40, (rung, x, y))
            self.assertLess(abs(x * down) + abs(y * across), 25, (rung, x, y))

    def test_animated_pictures(self):
        for name, codec in (("climb.gif", "gif"), ("climb.webp", None)):
            path = self.film(name, "--rung", 1, "--fps", 5, "--speed", 1, "--quality", "draft", size=(240, 160))
            if codec:
                found = probe(path)
                self.assertEqual(found["codec_name"], codec)
                self.assertGreater(int(found["nb_read_frames"]), 8)
            else:
                # Debian's ffprobe does not decode animated WebP: frames are the ANMF chunks of the container.
                data = path.read_bytes()
                self.assertEqual((data[:4], data[8:12]), (b"RIFF", b"WEBP"))
                self.assertGreater(data.count(b"ANMF"), 8)

    def test_two_stages_side_by_side(self):
        """Seen from above, a left and a right twister: the yellow of each half lies where that one's ladder lands."""
        path = self.film("sides.mp4", "--rung", 1, "--beside", "sides", "--fps", 4, "--camera", "above", "--speed", 1,
                         "--no-captions", "--quality", "draft", size=(720, 360))
        rgb = last_frame(path, (720, 360))
        for half, expected in ((0, -1), (1, 1)):
            across = [x - 179.5 for y in range(360) for x in range(8, 352)
                      if yellow(rgb[3 * (720 * y + 360 * half + x):][:3])]
            self.assertGreater(len(across), 200)
            self.assertGreater(expected * sum(across) / len(across), 40)
        self.refused(2, "--beside", "film", "--demo", "--rung", 1, "--beside", "forms", "-o", path)

    def test_a_simulated_flight_has_the_length_that_the_ladder_tells(self):
        athlete = self.folder / "ada.json"
        athlete.write_text(json.dumps({"format": "halfturn-athlete", "version": 1, "height_m": 1.62, "mass_kg": 55,
                                       "segment_table": "female", "twisting_side": "left"}))
        path = self.folder / "flight.csv"
        for rung in (0, 1):
            told = halfturn("ladder", "--demo", "--athlete", athlete, "--json")
            self.assertEqual(told.returncode, 0, told.stderr)
            simulation = json.loads(told.stdout)["rungs"][rung]
            self.assertEqual(
                halfturn("export", "--demo", "--athlete", athlete, "--rung", rung, "--hz", 1000, "-o", path).returncode, 0)
            last = path.read_text().splitlines()[-1]
            self.assertAlmostEqual(float(last.split(",")[0]), simulation["simulation"]["air_time_s"], delta=1e-3)

    def test_progress_for_programs(self):
        made = halfturn("film", "--demo", "--rung", 0, "--size", "160x160", "--fps", 8, "--quality", "draft", "--progress",
                        "-o", self.folder / "told.mp4")
        self.assertEqual(made.returncode, 0, made.stderr)
        told = [line.split() for line in made.stderr.splitlines()]
        self.assertEqual({line[0] for line in told}, {"progress"})
        percents = [int(line[1]) for line in told]
        self.assertEqual(percents, sorted(set(percents)))
        self.assertEqual(percents[-1], 100)

    def test_the_floor_walk(self):
        path = self.film("walk.mp4", "--rung", 1, "--walk", "--fps", 4, "--quality", "draft")
        self.assertEqual(int(probe(path)["nb_read_frames"]), round((1.2 + 1.6 + 1.2) * 4))

    def test_cancel_leaves_nothing_and_keeps_the_older_film(self):
        path = self.folder / "film.mp4"
        path.write_bytes(b"older")
        for stop in (signal.SIGINT, signal.SIGTERM):
            running = subprocess.Popen([BINARY, "film", "--demo", "--ladder", "--fps", "60", "-o", str(path)],
                                       stderr=subprocess.PIPE)
            time.sleep(2.5)
            self.assertIsNone(running.poll())
            running.send_signal(stop)
            errors = running.communicate(timeout=60)[1]
            self.assertEqual(running.returncode, 3, errors)
            self.assertIn(b"cancelled", errors)
            self.assertEqual(os.listdir(self.folder), ["film.mp4"])
            self.assertEqual(path.read_bytes(), b"older")

    def test_without_the_encoder(self):
        path = self.folder / "film.mp4"
        path.write_bytes(b"older")
        result = halfturn("film", "--demo", "-o", path, env={"PATH": "/nowhere"})
        self.assertEqual(result.returncode, 3)
        self.assertIn("ffmpeg is not installed", result.stderr)
        self.assertEqual(os.listdir(self.folder), ["film.mp4"])
        self.assertEqual(path.read_bytes(), b"older")

    def test_refused(self):
        path = self.folder / "film.mp4"
        self.refused(2, "even", "film", "--demo", "--size", "641x360", "-o", path)
        self.refused(2, "--fps", "film", "--demo", "--fps", "0", "-o", path)
        self.refused(2, "--rung", "film", "--demo", "--rung", "5", "-o", path)
        self.refused(2, ".avi", "film", "--demo", "-o", self.folder / "film.avi")
        self.refused(3, "cannot be written", "film", "--demo", "-o", self.folder / "nowhere" / "film.mp4")


main()
