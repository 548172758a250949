#!/usr/bin/env python3
"""What the whole program costs, beside what it is measured against, on this machine, now.

Every figure is the median of runs in turn: the program, one libvips pass over the same file (`vips avg`), and the
peer (peer.py). Wall seconds, and peak memory of the largest process. Needs vips (libvips-tools) and, for the peer,
python3-opencv and python3-scipy.
On a machine that does other work, too, processor time is the figure to go by.
Usage: whole.py SCRAPETRACE [--part formats|stages|growth|batch|accuracy]... [--dpi N...] [--runs N] [--scans N]
"""
import argparse
import contextlib
import json
import os
import pathlib
import random
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib

HERE = pathlib.Path(__file__).resolve().parent
TOP = HERE.parent.parent
LAYOUT = TOP / "geometry/hobdrel.toml"
CHART = TOP / "geometry/charts/hobdrel_bands.toml"
MACHINE = ["--layout", str(LAYOUT), "--chart", str(CHART)]
STREAKS = ["3:left:faceplate:4", "1:right:faceplate:3", "2:left:faceplate:5", "4:left:insulation:9",
           "1:left:faceplate:2", "2:right:faceplate:-2", "3:right:faceplate:5", "4:right:faceplate:1",
           "2:left:insulation:11", "3:right:insulation:10"]
# What the chart shows: the outer sides of the outermost heads lie beside its patches.
SHOWN_SIDES = [("1", "right"), ("2", "left"), ("2", "right"), ("3", "left"), ("3", "right"), ("4", "left")]


def run(command, cores=None):
    """Wall seconds, processor seconds and peak MiB of one run."""
    if cores:
        command = ["taskset", "-c", cores, *command]
    start = time.monotonic()
    child = subprocess.Popen([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    wall = time.monotonic() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        sys.exit(f"ended with status {child.returncode}: {' '.join(map(str, command))}")
    return wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def medians(runs):
    return [statistics.median(column) for column in zip(*runs)]


def output_of(command):
    return subprocess.run([str(word) for word in command], check=True, capture_output=True, text=True).stdout


class Bench:
    def __init__(self, program, work, given):
        self.program, self.work = program, work
        self.runs, self.scans, self.dpi = given.runs, given.scans, given.dpi

    def render(self, name, dpi, residues, seed=7, more=()):
        file = self.work / name
        faults = [word for residue in residues for word in ("--residue", residue)]
        output_of([self.program, "simulate", *MACHINE, *faults, "--dpi", dpi, "--seed", seed, *more, "--force",
                   "--out", file])
        return file

    def locate(self, *files, more=()):
        return [self.program, "locate", *MACHINE, *more, *files]

    def peer(self, *files):
        return ["/usr/bin/python3", HERE / "peer.py", LAYOUT, CHART, *files]

    def formats(self):
        print("wall s, processor s, MiB; the ratios are medians of runs in turn")
        print("file              locate  (proc)   vips  (proc)  wall ratio  processor ratio   peer  (proc)"
              "  faster, wall  processor  locate MiB  vips MiB  peer MiB")
        for dpi in self.dpi:
            page = self.render("page.png", dpi, STREAKS[:1])
            for label, name in (("TIFF", "plain.tif"), ("TIFF LZW", "lzw.tif[compression=lzw]"),
                                ("JPEG", "page.jpg[Q=90]"), ("PNG", "page.png")):
                file = self.work / name.split("[")[0]
                if file != page:
                    output_of(["vips", "copy", page, self.work / name])
                self.format_row(f"{dpi:4} dpi {label:9}", file)
                if file != page:
                    file.unlink()

    def format_row(self, label, file):
        commands = self.locate(file), ["vips", "avg", file], self.peer(file)
        run(commands[1])
        rounds = [[run(command) for command in commands] for _ in range(self.runs)]
        ours, vips, peer = (medians(r[k] for r in rounds) for k in range(3))

        def ratio(above, below, what):
            return statistics.median(r[above][what] / r[below][what] for r in rounds)

        print(f"{label} {ours[0]:8.2f} {ours[1]:7.2f} {vips[0]:6.2f} {vips[1]:7.2f} {ratio(0, 1, 0):11.2f}"
              f" {ratio(0, 1, 1):16.2f} {peer[0]:6.2f} {peer[1]:7.2f} {ratio(2, 0, 0):13.1f} {ratio(2, 0, 1):10.1f}"
              f" {ours[2]:11.0f} {vips[2]:9.0f} {peer[2]:9.0f}   load {os.getloadavg()[0]:.1f}", flush=True)

    def stages(self):
        for count in (1, 10):
            page = self.render("stages.jpg", 600, STREAKS[:count])
            trace = self.work / "trace.json"
            sums = {}
            for _ in range(self.runs):
                trace.unlink(missing_ok=True)
                run(self.locate(page, more=["--trace", trace]))
                for event in json.loads(trace.read_text())["traceEvents"]:
                    if event.get("ph") == "X":
                        sums.setdefault(event["name"], []).append((event["dur"] / 1000, event["tdur"] / 1000))
            print(f"stages, {count} streak(s)      wall ms  processor ms")
            after = 0
            for name, times in sums.items():
                wall, own = medians(times)
                after += wall if name in ("place page", "make profiles", "match jets", "judge quality",
                                          "search streaks", "measure noise", "explain streaks",
                                          "rank targets") else 0
                print(f"  {name:22} {wall:8.1f} {own:13.1f}", flush=True)
            print(f"  after the last row     {after:8.1f}")

    def growth(self):
        print("growth                     wall s  processor s   MiB")

        def line(label, command, cores=None):
            wall, own, mib = medians([run(command, cores) for _ in range(self.runs)])
            print(f"  {label:22} {wall:8.2f} {own:12.2f} {mib:6.0f}", flush=True)

        for dpi in (150, 300, 600, 1200):
            line(f"{dpi} dpi", self.locate(self.render("area.jpg", dpi, STREAKS[:1])))
        for count in (0, 1, 2, 5, 10):
            line(f"{count} streaks", self.locate(self.render("streaks.jpg", 300, STREAKS[:count])))
        pages = [self.render(f"page{k}.jpg", 300, STREAKS[:1], seed=k) for k in range(1, 5)]
        for count in (1, 2, 4):
            line(f"{count} pages", self.locate(*pages[:count]))
        for cores in ("0", "0,1"):
            line(f"10 streaks, cores {cores}", self.locate(self.render("cores.jpg", 600, STREAKS)), cores)
        for layout in sorted((TOP / "geometry").glob("*.toml")):
            chart = TOP / f"geometry/charts/{layout.stem}_bands.toml"
            file = self.work / "heads.jpg"
            machine = ["--layout", layout, "--chart", chart]
            heads = [head["name"] for head in tomllib.loads(layout.read_text())["head"]]
            output_of([self.program, "simulate", *machine, "--residue", f"{heads[1]}:left:faceplate:2", "--dpi", 300,
                       "--force", "--out", file])
            line(f"{len(heads)} heads ({layout.stem})", [self.program, "locate", *machine, file])

    def batch(self):
        inbox = self.work / "inbox"
        inbox.mkdir()
        seen = [self.render(f"inbox/{k:02}.jpg", 150, STREAKS[k % 10:k % 10 + 1], seed=k) for k in range(20)]
        for k in range(len(seen), self.scans):
            # A scan of its own by its contents, which are what a triage goes by.
            (inbox / f"{k:05}.jpg").write_bytes(seen[k % len(seen)].read_bytes() + b"%d" % k)
        walls = {}
        for jobs, cores in ((1, "0"), (2, "0,1")):
            for scans in (self.scans // 10, self.scans):
                part = self.work / f"part{scans}"
                part.mkdir(exist_ok=True)
                for file in sorted(inbox.iterdir())[:scans]:
                    with contextlib.suppress(FileExistsError):
                        os.link(file, part / file.name)
                out = self.work / f"out{jobs}_{scans}"
                wall, own, mib = run([self.program, "triage", *MACHINE, "--out", out, "--jobs", jobs, part], cores)
                walls[jobs] = wall
                print(f"triage, {jobs} job(s) on cores {cores}: {scans} scans in {wall:.1f} s "
                      f"({1000 * wall / scans:.0f} ms each), processor {own:.1f} s, peak {mib:.0f} MiB", flush=True)
        print(f"throughput on two cores against one: {walls[1] / walls[2]:.2f}")

    def accuracy(self):
        right = {"locate": 0, "peer": 0}
        total = 0
        for seed in range(self.scans):
            draw = random.Random(seed)
            head, side = draw.choice(SHOWN_SIDES)
            residue = f"{head}:{side}:faceplate:{draw.uniform(0.5, 6):.1f}"
            file = self.render("answer.jpg", 600, [residue], seed=1000 + seed,
                               more=["--machine-seed", 100 + seed, "--skew", round(0.2 * (seed % 5 - 2), 1)])
            found = json.loads(output_of(self.locate(file, more=["--json", "-"])))["targets"]
            peer = json.loads(output_of(self.peer(file)))
            right["locate"] += bool(found) and [found[0]["head"], found[0]["side"]] == [head, side]
            right["peer"] += [peer.get("head"), peer.get("side")] == [head, side]
            total += 1
        for name, count in right.items():
            print(f"{name}: the right side of the right head on {count} of {total} scans")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=pathlib.Path)
    parser.add_argument("--part", action="append", choices=["formats", "stages", "growth", "batch", "accuracy"])
    parser.add_argument("--dpi", type=int, nargs="+", default=[300, 600, 1200], help="of the formats")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--scans", type=int, default=200)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as work:
        bench = Bench(given.program.resolve(), pathlib.Path(work), given)
        for part in given.part or ["formats", "stages", "growth", "batch", "accuracy"]:
            getattr(bench, part)()


if __name__ == "__main__":
    main()
