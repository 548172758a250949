"""Full disks, no permission, too little memory."""
import os
import resource
import shutil
import subprocess

from tool import CHART, LAYOUT, MACHINE, as_nobody, complete, left_behind


def outputs(faults, scan, folder):
    yield ["locate", *MACHINE, "--json", folder / "a.json", "--html", folder / "a.html", "--picture", folder / "a.png", scan]
    yield ["locate", *MACHINE, "--picture", folder / "b.svg", scan]
    yield ["simulate", *MACHINE, "--dpi", "150", "--out", folder / "c.png", "--truth", folder / "c.json"]
    yield ["triage", *MACHINE, "--out", folder / "triage", faults.folder / "inbox1"]


def judge_folder(faults, kind, status, err, folder):
    broken = [path.name for path in folder.rglob("*")
              if path.is_file() and "sqlite" not in path.name and not complete(path)] + left_behind(folder)
    if status not in (0, 1, 2) or broken or (status == 2 and not err.startswith(b"scrapetrace: ")):
        faults.complain(kind, f"status {status}, left {broken}, {err[-200:]!r}")
    else:
        faults.count(kind, "refused, nothing half-written" if status == 2 else "there was room")


def full_disk(faults):
    """A small disk where root can make one, else a limit on the size of files."""
    scan = faults.simulate("full.png", "--dpi", "100", "--residue", "3:left:faceplate:3")
    inbox = faults.folder / "inbox1"
    inbox.mkdir()
    shutil.copy(scan, inbox / "unit1.png")
    folder = faults.folder / "small"
    folder.mkdir()
    for kilobytes in (0, 4, 16, 64, 128, 256, 1024):
        size = ["-o", f"size={max(4, kilobytes)}k,nr_inodes=40"]
        mounted = os.getuid() == 0 and subprocess.run(["mount", "-t", "tmpfs", *size, "none", folder],
                                                      capture_output=True).returncode == 0
        try:
            if kilobytes == 0 and mounted:
                (folder / "fill.jsonl").write_bytes(b"\n" * 4096)
            for words in outputs(faults, scan, folder):
                limit = None if mounted else lambda k=kilobytes: resource.setrlimit(resource.RLIMIT_FSIZE, (k * 1024,) * 2)
                status, _, err = faults.run(words, 60, preexec_fn=limit)
                judge_folder(faults, "full disk" if mounted else "files may not grow", status, err, folder)
                for path in folder.glob("[!f]*"):
                    shutil.rmtree(path) if path.is_dir() else path.unlink()
        finally:
            if mounted:
                subprocess.run(["umount", folder], check=True)


def no_permission(faults):
    folder = faults.folder / "shut"
    folder.mkdir()
    scan = faults.simulate("shut.png", "--dpi", "100")
    for path in (faults.folder, scan):
        path.chmod(0o755)
    for name in ("scan.png", "layout.toml", "chart.toml"):
        shutil.copy({"s": scan, "l": LAYOUT, "c": CHART}[name[0]], folder / name)
        (folder / name).chmod(0)
    folder.chmod(0o555)
    cases = [(["locate", *MACHINE, folder / "scan.png"], 1), (["layout", folder / "layout.toml"], 2),
             (["locate", "--layout", LAYOUT, "--chart", folder / "chart.toml", scan], 2)]
    cases += [(words, 2) for words in outputs(faults, scan, folder)]
    for words, expected in cases:
        status, _, err = faults.run(words, 60, preexec_fn=as_nobody)
        if status != expected or left_behind(folder):
            faults.complain("no permission", f"{words[0]}: status {status}, not {expected}: {err[-200:]!r}")
        else:
            faults.count("no permission", "said so")
    folder.chmod(0o755)


def little_memory(faults, steps):
    """Address space of the whole program from too little to enough: an answer or a reason, never a crash."""
    scan = faults.simulate("memory.png", "--dpi", "300", "--residue", "3:left:faceplate:3")
    for k in range(steps):
        megabytes = 24 + 380 * k // steps
        limit = lambda m=megabytes: resource.setrlimit(resource.RLIMIT_AS, (m << 20,) * 2)
        status, _, err = faults.run(["locate", *MACHINE, scan], 60, preexec_fn=limit)
        loader = status == 127 and b"shared librar" in err  # the system could not even start it
        if status in (0, 1, 2) or loader:
            faults.count("little memory", {0: "enough", 1: "could not look", 2: "said so"}.get(status, "not started"))
        else:
            faults.complain("little memory", f"{megabytes} MB: status {status}, {err[-200:]!r}")
