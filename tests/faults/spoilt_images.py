"""Spoilt versions of scans, through the program: of one with a known fault in every format, and of every image fixture."""
import io
import random

import img2pdf
from PIL import Image

from tool import MACHINE, TOP, answer, spoilt

KINDS = {
    "lzw.tif": {"compression": "tiff_lzw"}, "plain.tif": {}, "deflate.tif": {"compression": "tiff_adobe_deflate"},
    "packbits.tif": {"compression": "packbits"}, "scan.png": {}, "scan.jpg": {"quality": 92},
    "progressive.jpg": {"quality": 90, "progressive": True}, "scan.webp": {"quality": 95},
}


# No checksum, and one wrong bit changes many pixels: no decoder can tell (docs/untrusted-files.md).
UNCHECKED = {"lzw.tif", "scan.jpg", "progressive.jpg", "scan.webp", "scan.pdf"}


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


def located(faults, name, data, number):
    path = faults.folder / f"{number}-{name}"
    path.write_bytes(data)
    status, out, err = faults.run(["locate", *MACHINE, "--dpi", "100", "--json", "-", path])
    path.unlink()
    return status, out, err


def judge(faults, name, whole, number, expected):
    kind = f"image {name}"
    data = spoilt(whole, number)  # made here: all at once are gigabytes
    status, out, err = located(faults, name, data, number)
    if status not in (0, 1):
        return faults.complain(kind, f"version {number}: status {status}, {err[-200:]!r}", data)
    got, target, looked = answer(out)
    if looked != (status == 0):
        return faults.complain(kind, f"version {number}: status {status}, but looked: {looked}", data)
    if not looked:
        crash = b"its decoder crashed" if b"crash" in out else b"a reason"
        return faults.count(kind, f"refused, with {crash.decode()}")
    if (got, target) == expected:
        return faults.count(kind, "read, same answer")
    if not target[0] or got != expected[0]:
        return faults.count(kind, "read, weaker answer")
    if name in UNCHECKED:
        return faults.count(kind, "read, ANOTHER answer: the format cannot notice")
    return faults.complain(kind, f"version {number}: answers {target}", data)


def of_rendered(faults, total):
    """A scan with a fault, in every format; each with the whole one's answer."""
    scans = seeds(faults)
    draw = random.Random(7)
    for name, data in scans.items():
        status, out, err = located(faults, name, data, "whole")
        if status != 0:
            faults.complain(f"image {name}", f"the whole one gives {status}: {err!r}")
            continue
        kind, target, _ = answer(out)
        for n in order(len(data), -(-total // len(scans)), draw):
            yield name, data, n, (kind, target)


def of_fixtures(faults, share):
    """Every image fixture, every 64th byte flipped or cut there. They are too small for a page: looked at must none be."""
    draw = random.Random(8)
    for path in sorted((TOP / "fixtures/scans").iterdir()):
        data = path.read_bytes()
        if located(faults, path.name, data, "whole")[0] != 1:
            faults.complain(f"image {path.name}", "the whole one is taken for a page")
        numbers = range(2 * (len(data) // 64 + 1))
        for n in numbers if share == 1 else draw.sample(numbers, max(1, int(share * len(numbers)))):
            yield f"fixture-{path.name}", data, n, (None, None)


def images(faults, total, share):
    """`total` versions of rendered scans, and a `share` of those of fixtures."""
    jobs = [*of_rendered(faults, total), *of_fixtures(faults, share)]
    faults.in_turn(lambda job: judge(faults, *job), jobs)
    print(f"{len(jobs)} spoilt images")
