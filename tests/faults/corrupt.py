"""Spoilt versions of scans and of every text fixture, through the program."""
import io
import random
from concurrent.futures import ThreadPoolExecutor

import img2pdf
from PIL import Image

from tool import CHART, LAYOUT, MACHINE, TOP, answer, spoilt

KINDS = {
    "lzw.tif": {"compression": "tiff_lzw"}, "plain.tif": {}, "deflate.tif": {"compression": "tiff_adobe_deflate"},
    "packbits.tif": {"compression": "packbits"}, "scan.png": {}, "scan.jpg": {"quality": 92},
    "progressive.jpg": {"quality": 90, "progressive": True}, "scan.webp": {"quality": 95},
}


# No checksum, and one wrong bit changes many pixels: no decoder can tell (docs/untrusted-files.md).
UNCHECKED = {"scan.jpg", "progressive.jpg", "scan.webp", "scan.pdf"}


def seeds(faults):
    """One scan with a known fault, in every format that can be made here."""
    picture = Image.open(faults.simulate("seed.png", "--residue", "3:left:faceplate:3", "--dpi", "100", "--seed", "5"))
    picture = picture.convert("RGB")
    out = {}
    for name, options in KINDS.items():
        buffer = io.BytesIO()
        suffix = {"tif": "TIFF", "png": "PNG", "jpg": "JPEG", "webp": "WEBP"}[name.rsplit(".", 1)[1]]
        picture.save(buffer, suffix, dpi=(100, 100), **options)
        out[name] = buffer.getvalue()
    out["scan.pdf"] = img2pdf.convert(out["scan.jpg"])
    return out


def order(size, number, random_state):
    """Places spread over the file: all of its head, where structure is, and a draw of the rest."""
    all_of_them = range(2 * (size // 64 + 1))
    head = [n for n in all_of_them if n // 2 * 64 < 4096][:number // 2]
    rest = all_of_them[len(head):]
    return head + random_state.sample(rest, min(len(rest), number - len(head)))


def judge(faults, name, data, number, expected):
    path = faults.folder / f"{number}-{name}"
    path.write_bytes(data)
    status, out, err = faults.run(["locate", *MACHINE, "--dpi", "100", "--json", "-", path])
    path.unlink()
    kind = f"image {name}"
    if status not in (0, 1):
        return faults.complain(kind, f"version {number}: status {status}, {err[-200:]!r}", data)
    got, target, looked = answer(out)
    if looked != (status == 0):
        return faults.complain(kind, f"version {number}: status {status}, but looked: {looked}", data)
    if not looked:
        return faults.count(kind, "refused, with a reason")
    if (got, target) == expected:
        return faults.count(kind, "read, same answer")
    if not target[0] or got != expected[0]:
        return faults.count(kind, "read, weaker answer")
    if name in UNCHECKED:
        return faults.count(kind, "read, ANOTHER answer: the format cannot notice")
    return faults.complain(kind, f"version {number}: answers {target}", data)


def images(faults, total):
    scans = seeds(faults)
    draw = random.Random(7)
    jobs = []
    for name, data in scans.items():
        path = faults.folder / name
        path.write_bytes(data)
        status, out, err = faults.run(["locate", *MACHINE, "--dpi", "100", "--json", "-", path], 60)
        if status != 0:
            faults.complain(f"image {name}", f"the whole one gives {status}: {err!r}")
            continue
        kind, target, _ = answer(out)
        each = -(-total // len(scans))
        jobs += [(name, spoilt(data, n), n, (kind, target)) for n in order(len(data), each, draw)]
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda job: judge(faults, *job), jobs))
    print(f"{len(jobs)} spoilt images")


def commands(faults):
    """Every text fixture with the command that reads it, and the statuses that it may have."""
    nothing = str(faults.folder / "no_scan.png")
    accept = ["accept", *MACHINE, "--limits"]
    layouts = ["layout"]
    charts = ["locate", "--layout", str(LAYOUT)]
    for path in sorted((TOP / "geometry").glob("*.toml")) + sorted((TOP / "fixtures/bad_layouts").glob("*.toml")):
        yield path, lambda file: [*layouts, file], {0}
    for path in [CHART, *sorted((TOP / "fixtures/bad_charts").glob("*.toml"))]:
        yield path, lambda file: [*charts, "--chart", file, nothing], {1}
    for path in sorted((TOP / "fixtures").glob("*limits/*.toml")):
        yield path, lambda file: [*accept, file, nothing], {4}
    for path in sorted((TOP / "fixtures/bad_scenarios").glob("*.toml")):
        yield path, lambda file: ["simulate", *MACHINE, "--dpi", "50", "--out", f"{file}.png", "--scenario", file], {0}


def judge_text(faults, path, words, allowed, number, data):
    file = faults.folder / f"{number}-{path.name}"
    file.write_bytes(data)
    kind = f"text {path.parent.name}"
    status, _, err = faults.run(words(str(file)))
    for made in faults.folder.glob(f"{file.name}*"):
        made.unlink()
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
    while len(jobs) < total:  # several bytes at once, when one at a time is used up
        path, words, allowed, n, data = draw.choice(jobs)
        jobs.append((path, words, allowed, len(jobs) + 100000, spoilt(data, draw.randrange(1, 99) * 2) if data else b"\0"))
    if total < len(jobs):
        jobs = draw.sample(jobs, total)
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda job: judge_text(faults, *job), jobs))
    print(f"{len(jobs)} spoilt text files")
