"""Runs that are killed, told to end, or lose their scans under their hands."""
import os
import random
import shutil
import signal
import subprocess
import threading
import time

from tool import MACHINE, answer, complete, left_behind


def fill(faults, number):
    """One page in four is whole, so that it is the bookkeeping which takes the time, and the moments to be killed in."""
    inbox = faults.folder / "inbox"
    inbox.mkdir()
    sorts = [faults.simulate(f"sort{k}.png", "--dpi", "100", "--seed", str(k), *words)
             for k, words in enumerate([["--residue", "3:left:faceplate:1"], [], ["--residue", "2:right:faceplate:2"]])]
    for n in range(number):
        data = sorts[n % 3].read_bytes() + str(n).encode()
        (inbox / f"unit{n:04d}.png").write_bytes(data if n % 4 == 0 else data[:2000])
    return inbox


def contents(folder):
    return {str(path.relative_to(folder)): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file() and "triage.sqlite" not in path.name}


def kills(faults, scans, number):
    """SIGKILL at random moments over a triage; the end result is that of a run left alone. Only kills while it was at work
    count: a triage that ends before them is held against the calm one and begun anew."""
    inbox = fill(faults, scans)
    words = ["triage", *MACHINE, "--dpi", "100", "--jobs", "2", "--out"]
    begun = time.monotonic()
    status, _, err = faults.run([*words, faults.folder / "calm", inbox], 3600)
    calm_s = time.monotonic() - begun
    lines = (faults.folder / "calm/cases.jsonl").read_text().splitlines()
    if status != 1 or len(lines) != scans or sum('"analysed":true' in line for line in lines) < scans // 5:
        faults.complain("kill", f"the run left alone: status {status}, {len(lines)} lines: {err[-200:]!r}")
    out = faults.folder / "killed"
    draw = random.Random(3)
    killed = 0
    while killed < number:
        run = subprocess.Popen([faults.binary, *map(str, words), out, inbox], stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL)
        try:
            run.wait(draw.uniform(0, 1.6 * calm_s / number))
        except subprocess.TimeoutExpired:
            pass
        run.kill()
        if run.wait() == -signal.SIGKILL:
            killed += 1
            faults.count("kill", "while at work")
        else:
            like_the_calm_one(faults, run.returncode, out)
            shutil.rmtree(out)
    like_the_calm_one(faults, faults.run([*words, out, inbox], 3600)[0], out)
    print(f"{killed} SIGKILLs over a triage of {scans} scans ({calm_s:.0f} s undisturbed)")


def like_the_calm_one(faults, status, out):
    calm, killed = contents(faults.folder / "calm"), contents(out)
    if status != 1 or calm != killed or left_behind(out):
        other = sorted(name for name in calm | killed if calm.get(name) != killed.get(name))
        faults.complain("kill", f"status {status}; other bytes in {other[:5]}; left behind {left_behind(out)[:5]}")
    else:
        faults.count("kill", "in the end the bytes of the run left alone")


def works(faults, scan, out):
    """Commands that write, each with outputs in a folder."""
    inbox = faults.folder / "term_inbox"
    if not inbox.exists():
        inbox.mkdir()
        for n in range(3):
            shutil.copy(scan, inbox / f"unit{n}.png")
    yield ["locate", *MACHINE, "--json", out / "a.json", "--html", out / "a.html", "--picture", out / "a.png", scan]
    yield ["simulate", *MACHINE, "--dpi", "300", "--out", out / "b.png", "--truth", out / "b.json"]
    yield ["triage", *MACHINE, "--out", out / "c", inbox]
    yield ["case", "add", "--book", out / "book.sqlite", "--unit", "u", "--who", "Ona", *MACHINE, "--scan", scan, "--note", "n"]


def terms(faults, number):
    """SIGTERM: ends within a second, outputs whole or absent; what was stopped can be gone on with."""
    scan = faults.simulate("term.png", "--dpi", "300", "--residue", "3:left:faceplate:3")
    draw = random.Random(4)
    for k in range(number):
        out = faults.folder / f"term{k}"
        out.mkdir()
        words = list(works(faults, scan, out))[k % 4]
        run = subprocess.Popen([faults.binary, *map(str, words)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(draw.uniform(0, 0.8))
        run.terminate()
        told = time.monotonic()
        status = run.wait(30)
        slow = time.monotonic() - told > 1
        broken = [path.name for path in out.rglob("*") if path.is_file() and "sqlite" not in path.name and not complete(path)]
        broken += left_behind(out)
        if words[0] in ("triage", "case") and faults.run(words, 60)[0] != 0:
            broken.append("cannot be gone on with")
        if slow or broken or status not in (0, -signal.SIGTERM):
            faults.complain("term", f"{words[0]}: status {status}, slow: {slow}, left: {broken}")
        else:
            faults.count(f"term {words[0]}", "ended with nothing half-written" if status else "already done")
        shutil.rmtree(out)


def vanishing(faults, number):
    """Scans that are cut, emptied, removed, or written anew while they are read."""
    whole = faults.simulate("vanishing.tif", "--dpi", "600").read_bytes()
    deeds = {"cut": lambda path: os.truncate(path, len(whole) // 3), "emptied": lambda path: os.truncate(path, 0),
             "removed": os.unlink, "written anew": lambda path: path.write_bytes(b"\xff" * len(whole))}
    draw = random.Random(5)
    for k in range(number):
        name = list(deeds)[k % len(deeds)]
        path = faults.folder / f"van{k}.tif"
        path.write_bytes(whole)
        timer = threading.Timer(draw.uniform(0, 0.35), lambda p=path, n=name: deeds[n](p))
        timer.start()
        status, _, err = faults.run(["locate", *MACHINE, path], 60)
        timer.join()
        path.unlink(missing_ok=True)
        if status in (0, 1):
            faults.count(f"scan {name} while it is read", "read before" if status == 0 else "could not look")
        else:
            faults.complain(f"scan {name} while it is read", f"status {status}: {err[-200:]!r}")


def slow(faults, number):
    """A scan that comes in small pieces by standard input, and one whose file is still being written."""
    scan = faults.simulate("slow.png", "--dpi", "100", "--residue", "3:left:faceplate:3").read_bytes()
    whole = faults.run(["locate", *MACHINE, "--dpi", "100", "--json", "-", "-"], 60, input=scan)
    draw = random.Random(6)
    for _ in range(number):
        pieces = sorted(draw.sample(range(len(scan)), 20))
        pieces = [scan[a:b] for a, b in zip([0, *pieces], [*pieces, len(scan)])]
        with_pauses = subprocess.Popen([faults.binary, *map(str, ["locate", *MACHINE, "--dpi", "100", "--json", "-", "-"])],
                                       stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        for piece in pieces:
            with_pauses.stdin.write(piece)
            with_pauses.stdin.flush()
            time.sleep(0.03)
        out, _ = with_pauses.communicate(timeout=60)
        if with_pauses.returncode != 0 or out != whole[1]:
            faults.complain("slow standard input", f"status {with_pauses.returncode}, or another answer", out)
        else:
            faults.count("slow standard input", "the same bytes as at once")
        growing = faults.folder / "growing.png"
        growing.write_bytes(b"")
        writer = threading.Thread(target=write_slowly, args=(growing, pieces))
        writer.start()
        time.sleep(draw.uniform(0, 0.7))
        status, out, err = faults.run(["locate", *MACHINE, "--dpi", "100", "--json", "-", growing], 60)
        writer.join()
        growing.unlink()
        if status == 1 or (status == 0 and answer(out) == answer(whole[1])):
            faults.count("file still being written", "could not look" if status else "the answer of the whole one")
        else:
            faults.complain("file still being written", f"status {status}: {err[-200:]!r}", out)


def write_slowly(path, pieces):
    with path.open("ab") as file:
        for piece in pieces:
            file.write(piece)
            file.flush()
            time.sleep(0.03)
