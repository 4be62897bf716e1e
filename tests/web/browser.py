"""Drives the page in headless Chromium by the DevTools protocol, with touch: taps what a person taps."""
import functools
import http.server
import json
import os
import signal
import subprocess
import threading
import time
import urllib.request

import websocket  # Debian: python3-websocket

LONG = 60  # seconds; a shared machine may be slow, and nothing waits longer than it must


class Server:
    """Serves a folder on this machine alone, until stop()."""

    def __init__(self, folder, port=0):
        class Quiet(http.server.SimpleHTTPRequestHandler):
            def log_message(self, *_):
                pass

        handler = functools.partial(Quiet, directory=folder)
        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", port), handler)
        self.port = self.server.server_address[1]
        self.thread = threading.Thread(target=self.server.serve_forever, daemon=True)
        self.thread.start()

    def stop(self):
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()


class Browser:
    """One Chromium with a profile of its own; kill() ends it as a power cut would."""

    def __init__(self, profile):
        port_file = os.path.join(profile, "DevToolsActivePort")
        if os.path.exists(port_file):
            os.remove(port_file)
        options = ["--headless=new", "--remote-debugging-port=0", "--user-data-dir=" + profile, "--no-first-run",
                   "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--remote-allow-origins=*"]
        if os.geteuid() == 0:
            options.append("--no-sandbox")
        self.process = subprocess.Popen(["chromium", *options, "about:blank"], start_new_session=True,
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        until = time.monotonic() + LONG
        while not (os.path.exists(port_file) and open(port_file).read().count("\n")):
            assert time.monotonic() < until and self.process.poll() is None, "Chromium does not start"
            time.sleep(0.05)
        port = open(port_file).readline().strip()
        self.address = f"http://127.0.0.1:{port}/json/"
        pages = json.load(urllib.request.urlopen(self.address + "list"))
        self.page = Page(next(p for p in pages if p["type"] == "page")["webSocketDebuggerUrl"])

    def another_page(self):
        asked = urllib.request.Request(self.address + "new?about:blank", method="PUT")
        return Page(json.load(urllib.request.urlopen(asked))["webSocketDebuggerUrl"])

    def kill(self):
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.page.socket.close()


class PageLeft(Exception):
    """What was asked of a page that was left meanwhile."""


class Page:
    def __init__(self, address):
        self.socket = websocket.create_connection(address, timeout=LONG, suppress_origin=True)
        self.number = 0
        self.said = []  # the page's console
        self("Page.enable")
        self("Runtime.enable")

    def __call__(self, method, **params):
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": params}))
        while True:
            message = json.loads(self.socket.recv())
            if message.get("id") == self.number:
                if "navigated or closed" in message.get("error", {}).get("message", ""):
                    raise PageLeft(message)
                assert "error" not in message, message
                return message["result"]
            if message.get("method") == "Runtime.consoleAPICalled":
                self.said.append(" ".join(str(a.get("value", a.get("description"))) for a in message["params"]["args"]))
            if message.get("method") == "Runtime.exceptionThrown":
                self.said.append(json.dumps(message["params"]["exceptionDetails"])[:600])

    def js(self, expression):
        answer = self("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return answer["result"].get("value")

    def value_or_nothing(self, expression):
        try:
            return self.js(expression)
        except PageLeft:
            return None

    def wait(self, expression, why):
        """Also over the moment when one page makes room for another."""
        until = time.monotonic() + LONG
        while not (value := self.value_or_nothing(expression)):
            assert time.monotonic() < until, f"{why}\n" + "\n".join([self.shown_or_nothing(), *self.said[-20:]])
            time.sleep(0.02)
        return value

    def notice(self):
        return self.js("document.querySelector('#notice.shown p')?.textContent || ''")

    def wait_for_notice(self, words):
        self.wait(f"(document.querySelector('#notice.shown p')?.textContent || '').includes({json.dumps(words)})",
                  "the page does not say: " + words)

    def open(self, address, width=1280, height=800, scale=1, begins=True):
        self("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=scale, mobile=True)
        self("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=5)
        self("Page.navigate", url=address)
        if begins:
            self.wait_until_begun()

    def reload(self):
        self.js("window.before = true")
        self("Page.reload")
        self.wait("!window.before", "the page does not load again")
        self.wait_until_begun()

    def wait_until_begun(self):
        self.wait("performance.getEntriesByName('begun').length > 0", "the app does not begin")
        self.settle()

    def begun_after_s(self):
        return self.js("performance.getEntriesByName('begun')[0].startTime") / 1000

    def settle(self):
        """Until the app shows all that has happened."""
        self.js("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        self.wait("Module._restand_rests()", "the app does not come to rest")

    def shown(self):
        """Pairs of id and text, as drawn last."""
        text = self.js("Module.ccall('restand_text', 'string')")
        return [tuple(line.split("\t", 1)) for line in text.splitlines()]

    def shown_or_nothing(self):
        try:
            return "shown: " + " | ".join(text for _, text in self.shown())
        except AssertionError as failed:
            return str(failed)[:500]

    def texts_of(self, target):
        return [text for id, text in self.shown() if id == target]

    def is_saving(self):
        return any(text == "saving" or text.startswith("saving ") for _, text in self.shown())

    def wait_until_saved(self):
        until = time.monotonic() + LONG
        while self.is_saving():
            assert time.monotonic() < until, "not saved: " + self.shown_or_nothing()
            time.sleep(0.01)

    def where(self, target):
        until = time.monotonic() + LONG
        while True:
            at = self.js(f"Module.ccall('restand_target', 'string', ['string'], [{json.dumps(target)}])")
            if at:
                break
            assert time.monotonic() < until, f"nothing to tap: {target}\n" + self.shown_or_nothing()
            self.settle()
        x, y, w, h = (float(n) for n in at.split())
        scale, left, top = self.js("(() => { const r = Module.canvas.getBoundingClientRect();"
                                   " return [devicePixelRatio, r.left, r.top]; })()")
        return left + (x + w / 2) / scale, top + (y + h / 2) / scale

    def is_target(self, target):
        return bool(self.js(f"Module.ccall('restand_target', 'string', ['string'], [{json.dumps(target)}])"))

    def tap(self, target, settle=True):
        x, y = self.where(target)
        self("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        self("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        if settle:
            self.settle()

    def keys(self, text):
        for each in text:
            self.tap("key:space" if each == " " else "key:" + each)

    def picture(self, file):
        import base64
        with open(file, "wb") as out:
            out.write(base64.b64decode(self("Page.captureScreenshot")["data"]))
