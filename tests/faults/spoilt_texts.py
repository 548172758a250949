"""Spoilt versions of every text fixture, through the program: every 64th byte flipped or cut there."""
import random
import shutil

from tool import CHART, LAYOUT, MACHINE, TOP, spoilt


def commands(faults):
    """Every text fixture with the command that reads it, and the statuses that it may have when it is still good."""
    nothing = str(faults.folder / "no_scan.png")
    for path in sorted((TOP / "geometry").glob("*.toml")) + sorted((TOP / "fixtures/bad_layouts").glob("*.toml")):
        yield path, lambda file: ["layout", file], {0}
    for path in [CHART, *sorted((TOP / "fixtures/bad_charts").glob("*.toml"))]:
        yield path, lambda file: ["locate", "--layout", LAYOUT, "--chart", file, nothing], {1}
    for path in sorted((TOP / "geometry/charts").glob("*.toml")):
        layout = TOP / "geometry" / f"{path.stem.split('_')[0]}.toml"
        yield path, lambda file, own=layout: ["locate", "--layout", own, "--chart", file, nothing], {1}
    for path in sorted((TOP / "fixtures").glob("*limits/*.toml")):
        yield path, lambda file: ["accept", *MACHINE, "--limits", file, nothing], {4}
    scenarios = [*(TOP / "fixtures/bad_scenarios").glob("*.toml"), *(TOP / "fixtures/demo").glob("*.toml")]
    for path in sorted(scenarios):
        yield path, lambda file: ["simulate", *MACHINE, "--dpi", "50", "--out", f"{file}.png", "--scenario", file], {0}
    finding = written(faults, "finding.json")
    yield finding, lambda file: ["case", "add", "--book", f"{file}.book", "--unit", "u", "--who", "Ona", "--finding", file], {0}
    manifest = faults.folder / "manifest.txt"
    manifest.write_text("".join(f"unit{n}\tno/such/place/unit{n}-1.png\n" for n in range(12)))
    yield manifest, lambda file: ["triage", *MACHINE, "--out", f"{file}.out", file], {1}


def written(faults, name):
    """What locate writes of a page, for the casebook to take in."""
    scan = faults.simulate("finding.png", "--residue", "3:left:faceplate:3", "--dpi", "100")
    faults.run(["locate", *MACHINE, "--json", faults.folder / name, scan], 60)
    return faults.folder / name


def judge(faults, path, words, allowed, number, data):
    file = faults.folder / f"{number}-{path.name}"
    file.write_bytes(data)
    kind = f"text {path.parent.name if path.parent != faults.folder else path.stem}"
    status, _, err = faults.run(words(str(file)))
    for made in faults.folder.glob(f"{file.name}*"):
        shutil.rmtree(made) if made.is_dir() else made.unlink()
    if status in allowed:
        return faults.count(kind, "still a file of its kind")
    if status == 2 and err.startswith(b"scrapetrace: ") and not any(c < 32 and c != 10 for c in err):
        return faults.count(kind, "refused, with a reason")
    return faults.complain(kind, f"{path.name} version {number}: status {status}, {err[-200:]!r}", data)


def texts(faults, total):
    jobs = []
    for path, words, allowed in commands(faults):
        data = path.read_bytes()
        jobs += [(path, words, allowed, n, spoilt(data, n)) for n in range(2 * (len(data) // 64 + 1))]
    draw = random.Random(11)
    each = len(jobs)
    while len(jobs) < total:  # two bytes at once, when one at a time is used up
        path, words, allowed, n, data = draw.choice(jobs[:each])
        jobs.append((path, words, allowed, len(jobs) + 100000, spoilt(data, draw.randrange(1, 99) * 2) if data else b"\0"))
    if total < len(jobs):
        jobs = draw.sample(jobs, total)
    faults.in_turn(lambda job: judge(faults, *job), jobs)
    print(f"{len(jobs)} spoilt text files")
