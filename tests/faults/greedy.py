"""Small files that ask for gigabytes, and one scan many times over: what all processes take together, and how long."""
import pathlib
import resource
import shutil
import struct
import subprocess
import threading
import time

from child import family
from tool import MACHINE, MOST_MB

MOST_S = 10


def many_blank_pages(path, pages, width, height):
    """A TIFF whose pages all show one strip: white, in the coding of fax (ITU-T T.6), a bit a row."""
    strip = b"\xff" * (-(-height // 8)) + bytes.fromhex("00100100")
    out = bytearray(b"II*\0" + struct.pack("<I", 8 + len(strip)) + strip)
    for page in range(pages):
        entries = [(256, 4, 1, width), (257, 4, 1, height), (258, 3, 1, 1), (259, 3, 1, 4), (262, 3, 1, 0), (273, 4, 1, 8),
                   (277, 3, 1, 1), (278, 4, 1, height), (279, 4, 1, len(strip)), (282, 5, 1, 0), (283, 5, 1, 0), (296, 3, 1, 2)]
        start = len(out)
        end = start + 2 + 12 * len(entries) + 4
        out += struct.pack("<H", len(entries))
        for tag, kind, count, value in entries:
            out += struct.pack("<HHII", tag, kind, count, end if kind == 5 else value)
        out += struct.pack("<I", end + 8 if page + 1 < pages else 0) + struct.pack("<II", 600, 1)
    path.write_bytes(out)


def proportional_kb(pid):
    """Of one process: memory, shared pages divided among those that share them."""
    try:
        for line in pathlib.Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1])
    except OSError:
        pass  # it ended meanwhile
    return 0


def watched(faults, words):
    """Status, processor seconds and the most memory that the run's processes had together, in MB."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = subprocess.Popen([faults.binary, *map(str, words)], stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    said = []
    reader = threading.Thread(target=lambda: said.append(run.stdout.read()))
    reader.start()
    most = 0
    while run.poll() is None:
        most = max(most, sum(map(proportional_kb, family(run.pid))))
        time.sleep(0.01)
    reader.join()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return run.returncode, seconds, most * 1024 / 1e6, said[0]


def judge(faults, kind, words, statuses, most_mb=MOST_MB):
    status, seconds, megabytes, said = watched(faults, words)
    figures = f"{megabytes:.0f} MB, {seconds:.1f} s of processor time"
    if status not in statuses or megabytes > most_mb or seconds > MOST_S:
        faults.complain(kind, f"status {status}, {figures}: {said[-300:]!r}")
    else:
        faults.count(kind, figures)


def greedy(faults):
    blank = faults.folder / "blank.tif"
    many_blank_pages(blank, 64, 7559, 10630)
    html = faults.folder / "blank.html"
    judge(faults, f"64 blank pages in {blank.stat().st_size / 1e3:.0f} kB", ["locate", *MACHINE, "--html", html, blank], (1,))
    judge(faults, "64 blank pages, recheck", ["recheck", *MACHINE, "--before", blank, "--after",
                                              faults.simulate("after.png", "--dpi", "100"), "--cleaned", "3:left"], (1,))
    scan = faults.simulate("one.tif", "--dpi", "600")
    copies = []
    for k in range(20):
        copies.append(faults.folder / f"copy{k}.tif")
        shutil.copy(scan, copies[-1])
    judge(faults, "20 copies of one scan", ["locate", *MACHINE, *copies], (2,), 60)  # none is decoded
    inbox = faults.folder / "copies"
    inbox.mkdir()
    for k, copy in enumerate(copies):
        copy.rename(inbox / f"unit-{k}.tif")
    judge(faults, "20 copies, triage", ["triage", *MACHINE, "--out", faults.folder / "out", inbox], (0, 1))
