"""What goes wrong with scans, each in three strengths: pictures, files and commands that the gate is tried on."""
import dataclasses
import pathlib
import random
import tomllib

import numpy
from PIL import Image, ImageFilter

TOP = pathlib.Path(__file__).resolve().parents[2]
MACHINES = ["hobdrel", "quennip", "tavvick"]
DPI = 300


@dataclasses.dataclass
class Case:
    """One reading: the files that `locate` gets."""
    layout: pathlib.Path
    chart: pathlib.Path | None
    scans: list[pathlib.Path]


def layout_of(machine):
    return TOP / "geometry" / f"{machine}.toml"


def chart_of(machine):
    return TOP / "geometry/charts" / f"{machine}_bands.toml"


class Maker:
    """Scans of one sheet of one machine. `tool` runs the program; files go into `folder`."""

    def __init__(self, tool, folder, machine, seed):
        self.tool, self.folder, self.machine, self.seed = tool, folder, machine, seed
        self.draw = random.Random(f"{machine} {seed}")
        self.count = 0
        self.chart = chart_of(machine)
        self.plain_ = None

    def path(self, suffix):
        self.count += 1
        return self.folder / f"{self.machine}-{self.seed}-{self.count}{suffix}"

    def scan(self, *flags, seed=None, machine_seed=None, chart=None, layout=None, dpi=DPI):
        out = self.path(".tif")
        self.tool.must("simulate", "--layout", layout or layout_of(self.machine), "--chart", chart or self.chart,
                       "--dpi", dpi, "--seed", seed or 1000 + self.seed, "--machine-seed",
                       machine_seed or 5000 + self.seed, "--skew", f"{self.draw.uniform(-1.5, 1.5):.2f}", "--out", out,
                       *flags)
        return out

    def tidy(self):
        """Away with the files, but for the sound scan."""
        for file in self.folder.iterdir():
            if file != self.plain_:
                file.unlink()

    def residue(self):
        heads = tomllib.loads(layout_of(self.machine).read_text())["head"][1:-1]
        return f'{self.draw.choice(heads)["name"]}:{self.draw.choice(["left", "right"])}:faceplate:2'

    def sound_scan(self):
        """Rendered once."""
        if not self.plain_:
            self.plain_ = self.scan()
        return self.plain_

    def plain(self):
        return Image.open(self.sound_scan())

    def of(self, *scans, layout=None, chart="own"):
        return Case(layout or layout_of(self.machine), self.chart if chart == "own" else chart, list(scans))

    def saved(self, picture, suffix=".tif", **options):
        out = self.path(suffix)
        if suffix == ".tif":
            options["compression"] = "raw"
        picture.save(out, dpi=(DPI, DPI), **options)
        return self.of(out)

    def codes(self, change):
        """The plain scan with its codes (0 to 255, as fractions) changed."""
        values = numpy.asarray(self.plain(), dtype=numpy.float32) / 255
        return self.saved(Image.fromarray((change(values).clip(0, 1) * 255).round().astype(numpy.uint8)))

    def edited(self, text_of, name):
        """A file of its own beside the scans."""
        out = self.folder / name
        out.write_text(text_of)
        return out


def sound(maker, way):
    """Scans without fault, as they are usually made."""
    if way == "TIFF":
        return maker.of(maker.sound_scan())
    if way == "JPEG 95":
        return maker.saved(maker.plain(), ".jpg", quality=95)
    if way == "400 dpi, with residue":
        return maker.of(maker.scan("--residue", maker.residue(), dpi=400))
    return maker.of(maker.scan(dpi=200))


def coarse(maker, dpi):
    return maker.of(maker.scan(dpi=dpi))


def blurred(maker, sigma_mm):
    return maker.of(maker.scan("--blur", f"{sigma_mm / 25.4 * DPI:.2f}"))


def bright(maker, gain):
    return maker.codes(lambda code: code * gain)


def contrast(maker, gain):
    return maker.codes(lambda code: 0.95 + (code - 0.95) * gain)


def cropped(maker, mm):
    """Cut into the print by so much, at one of the four sides."""
    chart = tomllib.loads(maker.chart.read_text())
    side = maker.draw.randrange(4)
    picture = maker.plain()
    patches = chart["patch"]
    free = [min(p["x_mm"][0] for p in patches), min(p["y_mm"][0] for p in patches),
            chart["sheet_mm"][0] - max(p["x_mm"][1] for p in patches),
            chart["sheet_mm"][1] - max(p["y_mm"][1] for p in patches)]
    gone = round((3 + free[side] + mm) / 25.4 * DPI)
    box = [0, 0, picture.width, picture.height]
    box[side] += gone if side < 2 else -gone
    return maker.saved(picture.crop(box))


def jpeg(maker, quality):
    return maker.saved(maker.plain(), ".jpg", quality=quality)


def sharpened(maker, percent):
    return maker.saved(maker.plain().filter(ImageFilter.UnsharpMask(radius=2, percent=percent, threshold=2)))


def whitened(maker, from_code):
    """Codes above a level are stretched to full white, as scanning programs remove a background."""
    paper = 236
    knee = from_code / 255
    return maker.codes(lambda code: numpy.where(
        code > knee, knee + (code - knee) * (1 - knee) / max(1e-6, (paper - 8) / 255 - knee), code))


def fringed(maker, codes):
    """A beat between the print's screen and the scanner's lines, in ink only."""
    period_mm = maker.draw.uniform(0.6, 6)

    def change(values):
        across = numpy.arange(values.shape[1]) / DPI * 25.4
        wave = codes / 255 * numpy.sin(2 * numpy.pi * across / period_mm)
        inked = values.min(axis=2, keepdims=True) < 0.75
        return values + wave[None, :, None] * inked
    return maker.codes(change)


def other_chart(maker, kind):
    scan = maker.sound_scan()
    if kind == "another machine's":
        other = MACHINES[(MACHINES.index(maker.machine) + 1 + maker.seed % 2) % 3]
        return maker.of(scan, chart=chart_of(other))
    text = maker.chart.read_text()
    chart = tomllib.loads(text)
    if kind == "two inks changed":
        inks = [p["inks"] for p in chart["patch"]]
        one, two = maker.draw.sample(range(4), 2)
        inks[one], inks[two] = inks[two], inks[one]
        for patch, ink in zip(chart["patch"], inks):
            patch["inks"] = ink
    else:  # a patch of another length, the next one begins later
        at = maker.draw.randrange(3)
        chart["patch"][at]["y_mm"][1] -= 9
        chart["patch"][at + 1]["y_mm"][0] -= 9
    out = f'schema = "scrapetrace.chart/1"\nname = "another"\nsheet_mm = {chart["sheet_mm"]}\n'
    for patch in chart["patch"]:
        quoted = ", ".join(f'"{ink}"' for ink in patch["inks"])
        out += f'[[patch]]\ninks = [{quoted}]\nx_mm = {patch["x_mm"]}\ny_mm = {patch["y_mm"]}\n' \
               f'coverage = {patch["coverage"]}\n'
    return maker.of(scan, chart=maker.edited(out, f"chart-{maker.machine}-{maker.seed}-{maker.count}.toml"))


def with_lines(text, change):
    return "\n".join(change(line) for line in text.splitlines()) + "\n"


def other_machine(maker, kind):
    """The sheet of one machine read with the layout of another."""
    if kind == "another machine, same chart":
        others = [m for m in MACHINES if m != maker.machine]
        return maker.of(maker.sound_scan(), layout=layout_of(others[maker.seed % 2]))
    if kind == "another machine, no chart":
        others = [m for m in MACHINES if m != maker.machine]
        return maker.of(maker.sound_scan(), layout=layout_of(others[maker.seed % 2]), chart=None)
    text = layout_of(maker.machine).read_text()
    heads = [h["first_jet_px"] for h in tomllib.loads(text)["head"]]
    if kind == "all heads 5 columns off":
        moved = {h: h - 5 for h in heads}
    else:  # one head 3 columns off
        one = maker.draw.choice(heads[1:-1])
        moved = {one: one + maker.draw.choice([-3, 3])}

    def change(line):
        if line.startswith("first_jet_px"):
            at = int(line.split("=")[1])
            return f"first_jet_px = {moved.get(at, at)}"
        return line
    changed = maker.edited(with_lines(text, change), f"layout-{maker.machine}-{maker.seed}-{maker.count}.toml")
    return maker.of(maker.sound_scan(), layout=changed)


def two_sheets(maker, kind):
    first = maker.sound_scan()
    if kind == "of two machines":
        return maker.of(first, maker.scan(seed=2000 + maker.seed, machine_seed=7000 + maker.seed))
    if kind == "of one machine, nothing wrong":
        return maker.of(first, maker.scan(seed=2000 + maker.seed))
    loss = 0.15 if kind == "one scraped by 15 %" else 0.05
    scenario = maker.edited(
        'schema = "scrapetrace.scenario/1"\n[[residue]]\nhead = "{}"\nside = "{}"\nsurface = "faceplate"\n'
        'outward_mm = 2.0\ncontact = "upstream"\nwidth_mm = 1.2\nloss = {}\n'.format(*maker.residue().split(":")[:2], loss),
        f"scenario-{maker.machine}-{maker.seed}.toml")
    return maker.of(first, maker.scan("--scenario", scenario, seed=2000 + maker.seed))
