"""Runs that are killed, told to end, or lose their scans under their hands."""
import os
import random
import shutil
import signal
import subprocess
import threading
import time

from tool import MACHINE, complete, left_behind


def fill(faults, number):
    inbox = faults.folder / "inbox"
    inbox.mkdir()
    sorts = [faults.simulate(f"sort{k}.png", "--dpi", "100", "--seed", str(k), *words)
             for k, words in enumerate([["--residue", "3:left:faceplate:1"], [], ["--residue", "2:right:faceplate:2"]])]
    for n in range(number):
        data = sorts[n % 3].read_bytes() + str(n).encode()
        (inbox / f"unit{n:04d}.png").write_bytes(data[:2000] if n % 17 == 16 else data)
    return inbox


def contents(folder):
    return {str(path.relative_to(folder)): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file() and "triage.sqlite" not in path.name}


def kills(faults, scans, number):
    """SIGKILL at random moments over a triage; the end result is that of a run left alone."""
    inbox = fill(faults, scans)
    words = ["triage", *MACHINE, "--dpi", "100", "--jobs", "2", "--out"]
    begun = time.monotonic()
    faults.run([*words, faults.folder / "calm", inbox], 3600)
    calm_s = time.monotonic() - begun
    draw = random.Random(3)
    killed = 0
    while killed < number:
        run = subprocess.Popen([faults.binary, *map(str, words), faults.folder / "killed", inbox],
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            run.wait(draw.uniform(0, 1.6 * calm_s / number))
        except subprocess.TimeoutExpired:
            pass
        run.kill()
        killed += 1
        faults.count("kill", "while at work" if run.wait() == -signal.SIGKILL else "already done")
    status, _, err = faults.run([*words, faults.folder / "killed", inbox], 3600)
    if status != 1 or contents(faults.folder / "calm") != contents(faults.folder / "killed"):
        faults.complain("kill", f"status {status}, or other bytes than the run left alone: {err[-200:]!r}")
    if left_behind(faults.folder / "killed"):
        faults.complain("kill", "part files are left behind")
    print(f"{killed} SIGKILLs over a triage of {scans} scans ({calm_s:.0f} s undisturbed)")


def terms(faults, number):
    """SIGTERM: ends within a second, outputs whole or absent."""
    scan = faults.simulate("term.png", "--dpi", "300", "--residue", "3:left:faceplate:3")
    draw = random.Random(4)
    for k in range(number):
        out = faults.folder / f"term{k}"
        out.mkdir()
        words = (["locate", *MACHINE, "--json", out / "a.json", "--html", out / "a.html", "--picture", out / "a.png", scan]
                 if k % 2 else ["simulate", *MACHINE, "--dpi", "300", "--out", out / "b.png", "--truth", out / "b.json"])
        run = subprocess.Popen([faults.binary, *map(str, words)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(draw.uniform(0, 0.8))
        run.terminate()
        told = time.monotonic()
        status = run.wait(30)
        slow = time.monotonic() - told > 1
        broken = [path.name for path in out.iterdir() if path.name.startswith(".") or not complete(path)]
        if slow or broken or status not in (0, -signal.SIGTERM):
            faults.complain("term", f"status {status}, slow: {slow}, left: {broken}")
        else:
            faults.count("term", "ended with nothing half-written" if status else "already done")
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
