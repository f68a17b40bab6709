"""Drives Chromium without a window over its debugging pipe: real touches, real pictures, every request seen."""
import base64
import json
import os
import shutil
import struct
import subprocess
import tempfile
import time

FLAGS = ["--headless", "--no-sandbox", "--remote-debugging-pipe", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--enable-unsafe-swiftshader"]


class Browser:
    def __init__(self, *flags):
        self.profile = tempfile.mkdtemp(prefix="halfturn-chromium-")
        to_browser, self.commands = os.pipe()
        self.answers, from_browser = os.pipe()
        # The pipe's ends are file descriptors 3 and 4 of the browser, opened by a shell so that any numbers do here.
        script = f'exec "$0" "$@" 3<&{to_browser} 4>&{from_browser}'
        self.process = subprocess.Popen(
            ["bash", "-c", script, shutil.which("chromium"), *FLAGS, *flags, f"--user-data-dir={self.profile}", "about:blank"],
            pass_fds=(to_browser, from_browser), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_browser)
        os.close(from_browser)
        self.last, self.rest, self.events, self.lifted = 0, b"", [], 0.0
        page = next(t for t in self.call("Target.getTargets")["targetInfos"] if t["type"] == "page")
        self.session = self.call("Target.attachToTarget", targetId=page["targetId"], flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.do(f"{domain}.enable")

    def call(self, method, session=None, **parameters):
        self.last += 1
        message = {"id": self.last, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        os.write(self.commands, json.dumps(message).encode() + b"\0")
        while True:
            while b"\0" not in self.rest:
                more = os.read(self.answers, 1 << 20)
                if not more:
                    raise EOFError("Chromium has ended")
                self.rest += more
            line, self.rest = self.rest.split(b"\0", 1)
            answer = json.loads(line)
            if answer.get("id") == self.last:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            if "method" in answer:
                self.events.append(answer)

    def do(self, method, **parameters):
        return self.call(method, self.session, **parameters)

    def value(self, script):
        answer = self.do("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(f"{script}: {answer['exceptionDetails']}")
        return answer["result"].get("value")

    def until(self, script, seconds=20):
        """Waits until a condition of the page holds."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.value(script):
                return
            time.sleep(0.05)
        raise AssertionError(f"never came true: {script}")

    def size(self, width, height, density=1):
        self.do("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=density, mobile=True)
        self.do("Emulation.setTouchEmulationEnabled", enabled=True)

    def open(self, address, ready):
        self.events.clear()
        self.do("Page.navigate", url=address)
        end = time.monotonic() + 40
        while True:
            # While the old page gives way to the new one there is nothing to ask; and it is the new one that must be ready.
            try:
                if self.value(f"document.readyState === 'complete' && location.href === {json.dumps(address)} && !!({ready})"):
                    return
            except RuntimeError:
                pass
            assert time.monotonic() < end, f"{address} does not get ready"
            time.sleep(0.05)

    def touch(self, kind, *points):
        if kind == "touchEnd":
            self.lifted = time.monotonic()
        self.do("Input.dispatchTouchEvent", type=kind, touchPoints=[{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)])

    def drag(self, *fingers, steps=6):
        """Every finger is a pair of points, from and to. It comes to rest before it is lifted: a finger that flings takes
        the next tap with it."""
        at = lambda share: [(x0 + share * (x1 - x0), y0 + share * (y1 - y0)) for (x0, y0), (x1, y1) in fingers]
        self.touch("touchStart", *at(0))
        for k in range(1, steps + 1):
            self.touch("touchMove", *at(k / steps))
            time.sleep(0.016)
        for _ in range(4):
            self.touch("touchMove", *at(1))
            time.sleep(0.03)
        self.touch("touchEnd")

    def middle(self, selector):
        return self.value(f"(() => {{ const r = document.querySelector({json.dumps(selector)}).getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2, r.width, r.height]; }})()")

    def tap(self, selector):
        self.value(f"document.querySelector({json.dumps(selector)}).scrollIntoView({{block: 'nearest'}})")
        # A touch is aimed at what has been shown.
        self.value("new Promise(shown => requestAnimationFrame(() => requestAnimationFrame(shown)))")
        x, y, width, height = self.middle(selector)
        assert width > 0, f"{selector} is not to be seen"
        found = self.value(f"!!document.elementFromPoint({x}, {y}).closest({json.dumps(selector)})")
        assert found, f"something lies over {selector}"
        # Sooner after the last touch it would be half of a double tap.
        time.sleep(max(0.0, 0.4 - (time.monotonic() - self.lifted)))
        self.touch("touchStart", (x, y))
        time.sleep(0.05)
        self.touch("touchEnd")

    def picture(self):
        """What the page looks like: width, height and rows of RGB bytes, and the PNG."""
        png = base64.b64decode(self.do("Page.captureScreenshot", format="png")["data"])
        return (*pixels_of(png), png)

    def close(self):
        try:
            self.call("Browser.close")
        except (EOFError, OSError):
            pass
        self.process.wait(20)
        shutil.rmtree(self.profile, ignore_errors=True)


def pixels_of(png):
    """Width, height and RGB rows of a PNG, read by ImageMagick."""
    width, height = struct.unpack(">II", png[16:24])
    raw = subprocess.run(["convert", "png:-", "-depth", "8", "rgb:-"], input=png, capture_output=True, check=True).stdout
    return width, height, [raw[3 * width * y:3 * width * (y + 1)] for y in range(height)]
