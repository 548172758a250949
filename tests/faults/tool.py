"""What all faults share: the program, a folder, scans to spoil, and the count that is printed at the end."""
import collections
import json
import os
import pathlib
import sys
from concurrent.futures import ThreadPoolExecutor

import child

TOP = pathlib.Path(__file__).resolve().parents[2]
LAYOUT = TOP / "geometry/tavvick.toml"
CHART = TOP / "fixtures/charts/tavvick_strip.toml"
MACHINE = ["--layout", str(LAYOUT), "--chart", str(CHART)]
HANG_S = 10  # of the processor
MOST_MB = 500  # resident, of the largest process of a run


class Faults:
    """Counts what was tried and how it ended; a wrong ending is kept with what made it."""

    def __init__(self, binary, folder):
        self.binary = str(binary)
        self.folder = pathlib.Path(folder)
        self.endings = collections.Counter()
        self.wrong = []
        self.longest_s = 0
        self.largest_kb = 0

    def run(self, words, seconds=HANG_S, megabytes=MOST_MB, **options):
        """Status, output, complaint. A crash is a negative status; a hang is None, and so is too much memory."""
        status, out, err, used = child.run([self.binary, *map(str, words)], seconds, **options)
        self.longest_s = max(self.longest_s, used.ru_utime + used.ru_stime)
        self.largest_kb = max(self.largest_kb, used.ru_maxrss)
        if status is not None and used.ru_maxrss * 1024 > megabytes * 1e6:
            return None, b"", f"takes more than {megabytes} MB".encode()
        return status, out, err

    def in_turn(self, deed, jobs):
        """One at a time for each processor that this may use."""
        with ThreadPoolExecutor(len(os.sched_getaffinity(0))) as pool:
            list(pool.map(deed, jobs))

    def count(self, kind, ending):
        self.endings[f"{kind}: {ending}"] += 1

    def complain(self, kind, what, evidence=None):
        self.endings[f"{kind}: WRONG"] += 1
        self.wrong.append(f"{kind}: {what}")
        if evidence is not None:
            kept = self.folder / "wrong"
            kept.mkdir(exist_ok=True)
            (kept / f"{len(self.wrong)}-{kind.replace(' ', '-')}").write_bytes(evidence)

    def simulate(self, name, *words):
        out = self.folder / name
        status, _, err, _ = child.run([self.binary, "simulate", *map(str, [*MACHINE, "--out", out, "--force", *words])], 120)
        if status != 0:
            sys.exit(f"cannot make {name}: {err.decode()}")
        return out

    def report(self):
        for ending, number in sorted(self.endings.items()):
            print(f"{number:7d}  {ending}")
        if self.largest_kb:
            print(f"at most {self.longest_s:.1f} s of processor time a run, {self.largest_kb * 1024 / 1e6:.0f} MB a process")
        for wrong in self.wrong[:20]:
            print("WRONG", wrong)
        return 1 if self.wrong else 0


def answer(output):
    """Kind of answer, first target, and whether every scan was analysed, of locate's JSON."""
    found = json.loads(output)
    target = found["targets"][0] if found["targets"] else {}
    looked = all(scan["verdict"] != "rescan" for scan in found["quality"])
    return found["answer"]["kind"], (target.get("head"), target.get("side")), looked


def complete(path):
    """Whether an output is whole: its last bytes are those that its kind ends with."""
    ends = {".json": b"}\n", ".html": b"</html>\n", ".svg": b"</svg>\n", ".png": b"IEND\xaeB`\x82", ".jsonl": b"\n"}
    return path.read_bytes().endswith(ends[path.suffix])


def left_behind(folder):
    return [str(path) for path in pathlib.Path(folder).rglob(".*.part")]


def spoilt(data, number):
    """Version `number` of a file: every 64th byte in turn, flipped or the last that is left."""
    at = (number // 2 * 64) % max(1, len(data))
    if number % 2 or not data:
        return data[:at]
    return data[:at] + bytes([data[at] ^ (1 << number // 2 % 8)]) + data[at + 1:]


def as_nobody():
    """For a child: permissions count for root, too."""
    if os.getuid() == 0:
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)
