"""The processes in which the real program decodes scans: is the filter on, and what is open there."""
import os
import pathlib
import subprocess
import time

from child import family
from tool import MACHINE


def look(pid):
    """Of one process: which system-call filter, whether it can gain privileges, and what it has open."""
    status = dict(line.split(":\t") for line in pathlib.Path(f"/proc/{pid}/status").read_text().splitlines() if ":\t" in line)
    files = {name: os.readlink(f"/proc/{pid}/fd/{name}") for name in os.listdir(f"/proc/{pid}/fd")}
    return status["Seccomp"].strip(), status["NoNewPrivs"].strip(), files


def filtered(faults, number):
    """While the program reads a page, every worker of the fork server has a filter and nothing open but its one scan."""
    scan = faults.simulate("filtered.tif", "--dpi", "600")
    seen = 0
    for _ in range(20 * number):
        run = subprocess.Popen([faults.binary, *map(str, ["locate", *MACHINE, scan])], stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL)
        while run.poll() is None:
            for pid in family(run.pid)[2:]:  # after the program and the fork server
                try:
                    seccomp, privileges, files = look(pid)
                except (OSError, KeyError):
                    continue  # it ended meanwhile
                if seccomp != "2":
                    continue  # not yet: it is told apart by what it decodes, and that comes after
                seen += 1
                others = {name for name, target in files.items() if target not in ("/dev/null", str(scan))
                          and not target.startswith("pipe:") and not target.startswith("anon_inode:")}
                if privileges != "1" or others:
                    faults.complain("closed in", f"no_new_privs {privileges}, open {files}")
                else:
                    faults.count("closed in", "a worker with Seccomp: 2, no new privileges, one scan and its pipe open")
            time.sleep(0.002)
        if seen >= number:
            return
    faults.complain("closed in", f"a worker with a filter was seen {seen} times, not {number}")
