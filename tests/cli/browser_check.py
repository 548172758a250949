"""Opens a report in headless Chromium, through Debian's chromedriver and the W3C WebDriver protocol.

Usage: browser_check.py REPORT.html OUT_FOLDER. Prints what it found as JSON; leaves page.png and page.pdf.
"""
import base64
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import urllib.parse
import urllib.request

report, out = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
QUIET = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--force-prefers-reduced-motion", "--window-size=1100,900"]
DIRECT = urllib.request.build_opener(urllib.request.ProxyHandler({}))
HALO = """return getComputedStyle(document.querySelector(arguments[0])).stroke"""


class Browser:
    def __init__(self, profile):
        self.driver = subprocess.Popen(["chromedriver", "--port=0"], stdout=subprocess.PIPE,
                                       stderr=subprocess.DEVNULL, text=True)
        for line in self.driver.stdout:
            found = re.search(r"successfully on port (\d+)", line)
            if found:
                break
        self.base = f"http://127.0.0.1:{found.group(1)}/session"
        self.session = ""
        options = {"args": QUIET + [f"--user-data-dir={profile}"], "binary": "/usr/bin/chromium"}
        wanted = {"browserName": "chrome", "goog:chromeOptions": options,
                  "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"}}
        self.session = "/" + self.post("", {"capabilities": {"alwaysMatch": wanted}})["sessionId"]

    def post(self, path, body, method="POST"):
        request = urllib.request.Request(self.base + self.session + path, json.dumps(body).encode(),
                                         {"Content-Type": "application/json"}, method=method)
        with DIRECT.open(request, timeout=60) as answer:
            return json.load(answer)["value"]

    def script(self, text, *arguments):
        return self.post("/execute/sync", {"script": text, "args": list(arguments)})

    def point_at(self, selector):
        element = self.post("/element", {"using": "css selector", "value": selector})
        self.script("arguments[0].scrollIntoView({block: 'center'})", element)
        move = {"type": "pointerMove", "duration": 0, "x": 0, "y": 0, "origin": element}
        self.post("/actions", {"actions": [{"type": "pointer", "id": "mouse",
                                            "parameters": {"pointerType": "mouse"}, "actions": [move]}]})

    def close(self):
        try:
            self.post("", {}, "DELETE")
        finally:
            self.driver.terminate()
            self.driver.wait()


def examine(browser):
    found = {}
    browser.post("/url", {"url": "about:blank"})
    browser.post("/se/log", {"type": "performance"})  # what the browser's own first page asked for
    browser.post("/url", {"url": report.as_uri()})
    found["title"] = browser.script("return document.title")
    found["headings"] = browser.script("return [...document.querySelectorAll('h1')].map(h => h.textContent)")
    found["unnamed_pictures"] = browser.script(
        "return [...document.querySelectorAll('svg:not([aria-hidden])')].filter(s => !s.getAttribute('aria-label'))"
        ".length")
    streak, head = "svg .hot.s1:not(.head) > .halo > rect", "svg .head.s1 > .halo > rect"
    if browser.script("return document.querySelector(arguments[0]) !== null", head):
        browser.point_at("h1")
        found["head_before"] = browser.script(HALO, head)
        browser.point_at(streak)
        found["head_lit_by_streak"] = browser.script(HALO, head)
        browser.point_at("h1")
        found["streak_before"] = browser.script(HALO, streak)
        browser.point_at(head)
        found["streak_lit_by_head"] = browser.script(HALO, streak)
    # Within the page, or to a file that lies beside it.
    links = browser.script("return [...document.querySelectorAll('a')].map(a => a.getAttribute('href'))")
    inside = browser.script("return [...document.querySelectorAll('[id]')].map(e => '#' + e.id)")
    found["dead_links"] = [link for link in links if link not in inside and
                           (link.startswith("#") or not (report.parent / urllib.parse.unquote(link)).is_file())]
    found["links"] = links
    (out / "page.png").write_bytes(base64.b64decode(browser.post("/screenshot", {}, "GET")))
    printed = browser.post("/print", {"page": {"width": 21.0, "height": 29.7}})
    (out / "page.pdf").write_bytes(base64.b64decode(printed))
    browser.post("/goog/cdp/execute", {"cmd": "Emulation.setDeviceMetricsOverride", "params": {
        "width": 360, "height": 740, "deviceScaleFactor": 2, "mobile": True}})
    found["phone_overflow_px"] = browser.script("return document.documentElement.scrollWidth - innerWidth")
    # Rows that are cards on a phone must stay rows for those who hear them.
    heard = browser.post("/goog/cdp/execute", {"cmd": "Accessibility.getFullAXTree", "params": {}})["nodes"]
    rows = sum(1 for node in heard if node.get("role", {}).get("value") == "row")
    found["rows_not_heard"] = browser.script("return document.querySelectorAll('tr').length") - rows
    log = browser.post("/se/log", {"type": "performance"})
    events = [json.loads(entry["message"])["message"] for entry in log]
    urls = [e["params"]["request"]["url"] for e in events if e["method"] == "Network.requestWillBeSent"]
    found["requests"] = [u[:80] for u in urls if not u.startswith("data:")]
    found["complaints"] = [e["message"] for e in browser.post("/se/log", {"type": "browser"})]
    return found


with tempfile.TemporaryDirectory() as profile:
    browser = Browser(profile)
    try:
        print(json.dumps(examine(browser)))
    finally:
        browser.close()
