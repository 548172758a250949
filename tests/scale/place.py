"""What both recipes of docs/scale.md are tried on: a small archive of rendered scans, its results by one process, and
the comparison with what many gave."""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import time

TOP = pathlib.Path(__file__).resolve().parents[2]
MACHINE = ["--layout", str(TOP / "geometry/tavvick.toml"), "--chart", str(TOP / "fixtures/charts/tavvick_strip.toml")]
KINDS = [["--residue", "3:left:faceplate:1"], [], ["--residue", "2:right:faceplate:2"]]


class Place:
    def __init__(self, program, folder, cases):
        self.program = str(program)
        self.folder = pathlib.Path(folder)
        self.cases = cases
        self.inbox = self.folder / "inbox"
        self.inbox.mkdir()
        for k, words in enumerate(KINDS):
            self.tool("simulate", *MACHINE, "--dpi", "100", "--seed", k, *words, "--out", self.folder / f"kind{k}.png")
        for n in range(cases):
            data = (self.folder / f"kind{n % 3}.png").read_bytes() + str(n).encode()
            (self.inbox / f"unit{n:03d}.png").write_bytes(data[:2000] if n % 7 == 6 else data)  # every seventh is poison
        self.triage(self.folder / "whole", self.inbox)

    def tool(self, *words, allowed=(0,)):
        ran = subprocess.run([self.program, *map(str, words)], capture_output=True, text=True)
        if ran.returncode not in allowed:
            sys.exit(f"{words[0]}: status {ran.returncode}: {ran.stderr}")

    def triage(self, out, *words):
        self.tool("triage", *MACHINE, "--dpi", "100", "--out", out, *words, allowed=(1,))  # the poison cannot be analysed

    def shard_command(self, index, parts):
        """A shell command for one part; `index` may be a variable of the engine's."""
        machine = " ".join(MACHINE)
        return (f"{self.program} triage {machine} --dpi 100 --shard {index}/{parts} --out {self.folder}/part{index} "
                f"{self.inbox}; [ $? -le 1 ]")

    def parts(self):
        return sorted(self.folder.glob("part[0-9]*"))

    def compare(self, parts):
        """Merges the parts and holds the result against that of one process, byte for byte."""
        self.expect(len(self.parts()) == parts, f"{len(self.parts())} parts of {parts}")
        self.triage(self.folder / "merged", "--merge", *self.parts())
        one, many = contents(self.folder / "whole"), contents(self.folder / "merged")
        self.expect(len(one) == self.cases + 3, f"{len(one)} files for {self.cases} cases")
        self.expect(one == many, f"differ: {sorted(name for name in one | many if one.get(name) != many.get(name))}")
        return len(one)

    def expect(self, right, what):
        if not right:
            sys.exit(f"not as one process: {what}")


def contents(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*")
            if path.is_file() and path.name != "triage.sqlite"}


def wait_until(true, seconds, what, logs=()):
    end = time.monotonic() + seconds
    while not true():
        if time.monotonic() > end:
            for log in logs:
                print(log.name, log.read_text(errors="replace")[-2000:] if log.exists() else "is missing", file=sys.stderr)
            sys.exit(f"{what}: not within {seconds} s")
        time.sleep(0.2)


def program(name):
    """A daemon's path; those of /usr/sbin are not on everybody's PATH."""
    found = shutil.which(name, path=os.environ.get("PATH", "") + ":/usr/sbin:/sbin")
    if not found:
        sys.exit(f"{name} is not installed: .ci/packages/tests lists what is needed")
    return found


def recipe(heading):
    """The first shell block below a heading of docs/scale.md, in one line."""
    text = (TOP / "docs/scale.md").read_text()
    block = re.search(rf"^## {re.escape(heading)}$.*?```sh\n(.*?)```", text, re.M | re.S)[1]
    return block.replace("\\\n", " ").strip()


def adapted(command, where):
    """A recipe with this place's program and files in place of the documents' names."""
    command = command.replace("scrapetrace triage --layout L.toml --chart C.toml", f"{where.program} triage {' '.join(MACHINE)} --dpi 100")
    return command.replace(" inbox;", f" {where.inbox};").replace("--out part", f"--out {where.folder}/part")


def job_log(path):
    lines = path.read_text().splitlines()
    names = lines[0].split("\t")
    return [dict(zip(names, line.split("\t"))) for line in lines[1:]]
