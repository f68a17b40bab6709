"""A record beside its plan in a picture, and a strip of the coach's own video to mark by eye."""
import json
import os
import pathlib
import shutil
import struct
import subprocess
import unittest

from measure_records import rows
from program import ProgramTest, halfturn, main


def png_size(path):
    data = pathlib.Path(path).read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n", path
    return struct.unpack(">II", data[16:24])


class RecordTest(ProgramTest):
    def setUp(self):
        super().setUp()
        self.plan = self.folder / "plan.json"
        halfturn("ladder", "--base", "back flip", "--to", "540", "--step", "180", "-o", self.plan)

    def record(self, **attempt):
        path = self.folder / "attempt.csv"
        lines = ["time_s,qw,qx,qy,qz,acc_x,acc_y,acc_z"]
        lines += [",".join(f"{v:.6f}" for v in (t, *q, *a)) for t, q, a in rows(**attempt)]
        path.write_text("\n".join(lines) + "\n")
        return path

    def draw(self, name, *options):
        out = self.folder / name
        return out, halfturn("draw", self.plan, "--rung", "2", "--time", "0.4", "--size", "480x320", *options, "-o", out)

    def test_drawn_beside_the_plan(self):
        record = self.record(twist=320)
        axes = ["--axes", "forward=x,up=y"]
        beside, result = self.draw("beside.png", "--record", record, *axes)
        self.assertEqual(result.returncode, 0, result.stderr)
        # 40 short of a full, of which half a step of 180, at most 30, counts.
        self.assertRegex(result.stdout, "^recorded turn, drawn limbs; at first contact (39|40|41) degrees short, outside the 30 that count\n$")
        self.assertIn("hand of the axes: right (assumed", result.stderr)
        alone, result = self.draw("alone.png", "--record", record, *axes, "--alone")
        self.assertEqual(result.returncode, 0, result.stderr)
        planned, _ = self.draw("planned.png")
        pictures = {path.read_bytes() for path in (beside, alone, planned)}
        self.assertEqual(len(pictures), 3)
        _, result = self.draw("row.png", "--record", record, *axes)
        self.assertEqual(png_size(beside), (480, 320))

    def test_questions_come_with_the_name_of_the_record(self):
        record = self.record(twist=360, mount=(0.5, 0.5, 0.5, 0.5), world=(0.5**0.5, 0.5**0.5, 0, 0))
        self.refused(2, f"{record}: --up: at rest", "draw", self.plan, "--record", record, "-o", self.folder / "x.png")
        self.assertFalse((self.folder / "x.png").exists())
        # The other side than planned, and nothing tells left from right.
        record = self.record(twist=-360)
        options = ["draw", self.plan, "--rung", "2", "--record", record, "--axes", "forward=x,up=y", "-o", self.folder / "x.png"]
        self.refused(2, "--hand: the record turns 360 degrees to the right, the plan the other way", *options)
        result = halfturn(*options, "--hand", "right")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("720 degrees short", result.stdout)
        self.refused(2, "--hand: the record turns 360", "measure", record, "--axes", "forward=x,up=y", "--plan", self.plan,
                     "--rung", "2", "--json")

    def test_marks_of_a_video_drawn_beside_the_plan(self):
        marks = ["--marks", "120,168", "--fps", "60"]
        _, result = self.draw("marks.png", *marks, "--turned", "120:0,144:165,168:330")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("marked by eye, drawn; at first contact 30 degrees short", result.stdout)
        _, result = self.draw("marks.png", *marks, "--turned", "120:0,144:165")
        self.assertEqual(result.returncode, 2)
        self.assertIn("--turned: needs three marks", result.stderr)
        _, result = self.draw("marks.png", "--marks", "168", "--fps", "60")
        self.assertIn("--marks: \"168\" is no pair of frames", result.stderr)

    @unittest.skipIf(shutil.which("ffmpeg") is None, "ffmpeg is not installed")
    def test_strip_of_a_video(self):
        video, strip = self.folder / "video.mp4", self.folder / "strip.png"
        # A film whose every frame is one grey, four levels brighter than the one before.
        subprocess.run(["ffmpeg", "-loglevel", "error", "-f", "lavfi", "-i", "color=black:s=160x120:r=50:d=1",
                        "-vf", "geq=lum='16+4*N':cb=128:cr=128", "-pix_fmt", "yuv420p", "-c:v", "libx264", "-qp", "0", video],
                       check=True)
        result = halfturn("measure", video, "--strip", strip, "--from", "0.2", "--to", "0.4", "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        got = json.loads(result.stdout)
        self.assertEqual(got["frames"], list(range(10, 21)))
        self.assertEqual((got["frames_per_second"], got["frames_in_video"], got["step"], got["even"]), (50, 50, 1, True))
        # Each picture holds the frame whose number stands under it: read back from the strip, 200 px high and as wide again
        # as the film is, with a gap of 6 px. Luma 16 + 4 N is grey (luma - 16) * 255 / 219 (ITU-R BT.601).
        raw = subprocess.run(["ffmpeg", "-loglevel", "error", "-i", strip, "-f", "rawvideo", "-pix_fmt", "gray", "pipe:1"],
                             check=True, capture_output=True).stdout
        width, height = png_size(strip)
        picture_width = 200 * 160 // 120
        columns = (width - 6) // (picture_width + 6)
        for k, frame in enumerate(got["frames"]):
            x = 6 + (k % columns) * (picture_width + 6) + 100
            y = 6 + (k // columns) * (200 + 24 + 6) + 100
            self.assertAlmostEqual(raw[y * width + x], 4 * frame * 255 / 219, delta=4)
        result = halfturn("measure", video, "--strip", strip, "--pictures", "10")
        self.assertIn("one of 5; 50 a second", result.stdout)
        self.assertIn("halfturn measure --frames TAKEOFF,LANDING --fps 50", result.stdout)
        self.refused(2, "--from: is 3", "measure", video, "--strip", strip, "--from", "3")
        self.refused(2, "strips.jpg\": a strip is written as .png", "measure", video, "--strip", self.folder / "strips.jpg")
        self.refused(2, "is no video that ffmpeg can read", "measure", self.plan, "--strip", strip)
        self.refused(2, "absent.mp4: is no video", "measure", self.folder / "absent.mp4", "--strip", strip)
        self.refused(3, "cannot", "measure", video, "--strip", self.folder / "none" / "strip.png")

    def test_without_ffmpeg_the_message_names_it(self):
        video = self.folder / "video.mp4"
        video.write_bytes(b"0")
        result = halfturn("measure", video, "--strip", self.folder / "strip.png", env=os.environ | {"PATH": str(self.folder)})
        self.assertEqual(result.returncode, 3)
        self.assertIn("the program ffprobe is not installed (Debian's package ffmpeg)", result.stderr)
        self.assertFalse((self.folder / "strip.png").exists())


if __name__ == "__main__":
    main()
