"""What one sheet of paper adds to the print: its own make-up, and damage that no other sheet shows.

`case["paper"]`: laid_depth, laid_mm, chain_depth, chain_mm, tint, behind (density), recycled (specks), seed.
`case["banding"]`: depth, mm, seed: ink that varies along the sheet.
`case["marks"]`: a list of kind, seed, strength and, by kind, count: what is drawn below.
Shapes come from random walks and fields; sizes and depths are judgement, not measurement.
"""
import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter


class Frame:
    """scan_from_sheet for one scan: p mm per pixel, turned by the skew."""

    def __init__(self, p, sin, cos, left, top, rows, columns):
        self.p, self.sin, self.cos, self.left, self.top, self.rows, self.columns = p, sin, cos, left, top, rows, columns

    def at(self, x, y):
        return (self.cos * x - self.sin * y + self.left) / self.p, (self.sin * x + self.cos * y + self.top) / self.p


class Mark:
    """A piece of the scan, from pixel (u, v): `cover` 0 to 1, and what it does there."""

    def __init__(self, u, v, cover, ink=1.0, added=None, lift=0.0):
        self.u, self.v, self.cover = int(u), int(v), cover.astype(np.float32)
        self.ink = ink          # factor of the ink under full cover
        self.added = added      # density per channel under full cover
        self.lift = lift        # relative change of light under full cover

    def apply(self, light, white, row, rows):
        """On light [3, rows, columns] of scan rows from row on."""
        a, b = max(self.v, row), min(self.v + self.cover.shape[0], row + rows)
        left, right = max(self.u, 0), min(self.u + self.cover.shape[1], light.shape[2])
        if a >= b or left >= right:
            return
        cover = self.cover[a - self.v:b - self.v, left - self.u:right - self.u]
        part = light[:, a - row:b - row, left:right]
        if self.ink != 1:
            part[:] = white * np.maximum(part / white, 1e-4) ** (1 + (self.ink - 1) * cover)
        if self.added is not None:
            part *= 10 ** (-np.array(self.added, np.float32)[:, None, None] * cover)
        if self.lift:
            part *= 1 + self.lift * cover


def canvas(frame, x, y, width_mm, height_mm, draw, blur_mm=0.05):
    """Something drawn from the top-left corner (x, y) on, small things finer; draw(pen, pixels per mm)."""
    u, v = frame.at(x, y)
    wide, tall = max(4, int(width_mm / frame.p)), max(4, int(height_mm / frame.p))
    finer = 2 if wide * tall < 3e5 else 1 if wide * tall < 2e6 else 0.5
    image = Image.new("L", (int(finer * wide), int(finer * tall)), 0)
    draw(ImageDraw.Draw(image), finer / frame.p)
    blur = finer * blur_mm / frame.p
    if blur > 0.4:
        image = image.filter(ImageFilter.GaussianBlur(blur))
    image = image.resize((wide, tall), Image.BILINEAR)
    return u, v, np.asarray(image, np.float32) / 255


def hickeys(rng, mark, frame, size):
    """Dust on drum or blanket: a bare ring, often round a spot that printed."""
    out = []
    for _ in range(mark["count"]):
        r = rng.uniform(0.2, 0.9)
        x, y = rng.uniform(0, size[0]), rng.uniform(0, size[1])
        wobble = rng.uniform(0.85, 1.15, 9)
        def draw(pen, s, r=r, wobble=wobble):
            angle = np.linspace(0, 2 * math.pi, 9)
            ring = lambda k: [((1.2 * r + k * r * w * math.cos(a)) * s, (1.2 * r + k * r * w * math.sin(a)) * s)
                              for a, w in zip(angle, wobble)]
            pen.polygon(ring(1.0), fill=255)
            if r > 0.3:
                pen.polygon(ring(0.45), fill=60)
        out.append(Mark(*canvas(frame, x - 1.2 * r, y - 1.2 * r, 2.4 * r, 2.4 * r, draw),
                        ink=1 - mark["strength"] * rng.uniform(0.6, 1)))
    return out


def walk(rng, length, step, wander):
    """A pen's way: the heading turns at random."""
    heading = np.cumsum(rng.normal(0, wander, int(length / step))) + rng.uniform(0, 2 * math.pi)
    return np.cumsum(np.stack([np.cos(heading), np.sin(heading)], 1) * step, 0)


def lines(rng, mark, frame, size):
    """Scores of the transport: 40 to 250 mm long, 0.3 to 6 degrees off the sheet's run."""
    out = []
    for _ in range(mark["count"]):
        length = min(rng.uniform(40, 250), 0.95 * size[1])
        slope = math.tan(math.radians(rng.uniform(0.3, 6) * rng.choice([-1, 1])))
        width = rng.uniform(0.1, 0.5)
        reach = abs(slope) * length + 2
        x, y = rng.uniform(0, max(1, size[0] - reach)), rng.uniform(0, size[1] - length)
        level = np.clip(0.7 + 0.3 * np.cumsum(rng.normal(0, 0.25, 60)), 0.15, 1)
        def draw(pen, s, slope=slope, length=length, width=width, level=level, reach=reach):
            begin = 1 if slope > 0 else reach - 1
            cut = np.linspace(0, length, 61)
            for a, b, tone in zip(cut, cut[1:], level):
                pen.line([((begin + slope * a) * s, a * s), ((begin + slope * b) * s, b * s)], fill=int(255 * tone),
                         width=max(1, round(width * s)))
        out.append(Mark(*canvas(frame, x, y, reach, length, draw), ink=1 - mark["strength"] * rng.uniform(0.15, 0.9)))
    return out


def rollers(rng, mark, frame, size):
    """Tracks of transport wheels, evenly spaced across, interrupted once a turn."""
    spacing, turn = rng.uniform(15, 60), rng.uniform(20, 70)
    width, begin = rng.uniform(0.3, 1.2), rng.uniform(0, 15)
    out, loss = [], mark["strength"] * rng.uniform(0.02, 0.08)
    print_at = np.clip(rng.normal(0.5, 0.4, 40), 0, 1)
    x = begin
    while x < size[0] - 2:
        n = max(4, int(size[1] / frame.p))
        y = np.arange(n) * frame.p + rng.uniform(0, turn)
        along = np.interp(y % turn, np.linspace(0, turn, 40), print_at)
        across = np.exp(-0.5 * ((np.arange(int(4 * width / frame.p)) * frame.p - 2 * width) / (width / 2)) ** 2)
        cover = sheared(along[:, None] * across[None, :], frame)
        u, v = frame.at(x, 0)
        out.append(Mark(u - (cover.shape[1] - len(across)) * (frame.sin > 0), v, cover, ink=1 - loss))
        x += spacing
    return out


def sheared(cover, frame):
    """A strip along the sheet, leaning as the sheet does."""
    lean = -frame.sin * np.arange(cover.shape[0])
    pad = int(abs(frame.sin) * cover.shape[0]) + 1
    out = np.zeros((cover.shape[0], cover.shape[1] + pad), np.float32)
    start = np.round(lean + (pad if frame.sin > 0 else 0)).astype(int)
    for r, s in enumerate(start):
        s = min(max(s, 0), pad)
        out[r, s:s + cover.shape[1]] = cover[r]
    return out


def fold(rng, mark, frame, size):
    """A crease across a corner or the whole sheet: ink broken off, light at its edge."""
    a = (rng.uniform(0, size[0]), 0.0)
    b = (rng.uniform(0, size[0]), size[1]) if rng.random() < 0.5 else (size[0], rng.uniform(0.1, 0.9) * size[1])
    low = min(a[0], b[0]) - 1
    level = np.clip(rng.normal(0.6, 0.3, 80), 0, 1)
    def draw(pen, s):
        t = np.linspace(0, 1, 81)
        jag = rng.normal(0, 0.05, 81)
        for i, tone in enumerate(level):
            point = lambda k: ((a[0] + (b[0] - a[0]) * t[k] - low + jag[k]) * s, (a[1] + (b[1] - a[1]) * t[k]) * s)
            pen.line([point(i), point(i + 1)], fill=int(255 * tone), width=max(1, round(0.25 * s)))
    place = canvas(frame, low, 0, abs(a[0] - b[0]) + 2, max(b[1], 1), draw)
    return [Mark(*place, ink=1 - 0.8 * mark["strength"])]


def fingers(rng, mark, frame, size):
    """Ridges of about half a millimetre, from a field filtered around that wave."""
    out = []
    for _ in range(mark["count"]):
        n, step = 220, 0.1
        f = np.hypot(np.fft.fftfreq(n, step)[:, None], np.fft.rfftfreq(n, step)[None, :])
        noise = np.fft.irfft2(np.fft.rfft2(rng.standard_normal((n, n))) * np.exp(-0.5 * ((f - 2.0) / 0.35) ** 2), (n, n))
        y, x = np.mgrid[-1:1:n * 1j, -1:1:n * 1j]
        hand = np.clip(1.4 - 1.4 * np.hypot(x * 1.35, y), 0, 1)
        cover = np.clip(0.5 + noise / noise.std(), 0, 1) * hand
        pixels = max(8, int(n * step / frame.p))
        cover = np.asarray(Image.fromarray(cover.astype(np.float32), "F").resize((pixels, pixels), Image.BILINEAR))
        u, v = frame.at(rng.uniform(0, size[0] - 22), rng.uniform(0, max(1, size[1] - 22)))
        out.append(Mark(u, v, cover, ink=1 - 0.25 * mark["strength"], added=[0.05 * mark["strength"]] * 3))
    return out


def writing(rng, mark, frame, size):
    """A pen's words: loops of a few millimetres that wander along a line."""
    colour = [[0.9, 0.6, 0.2], [0.2, 0.7, 0.8], [0.9, 0.9, 0.9]][rng.integers(3)]
    def draw(pen, s):
        x = 3.0
        while x < 70:
            way = walk(rng, rng.uniform(8, 25), 0.15, 0.35)
            way = (way - way[0]) * [0.35, 0.6] + [x, 7]
            pen.line([(float(a * s), float(np.clip(b, 1, 14) * s)) for a, b in way], fill=255, width=round(0.4 * s))
            x += rng.uniform(2, 5)
    place = canvas(frame, rng.uniform(0, size[0] - 76), rng.uniform(0, max(1, size[1] - 16)), 75, 15, draw)
    return [Mark(*place, added=[mark["strength"] * c for c in colour])]


def stamp(rng, mark, frame, size):
    ragged = rng.random((12, 24))
    def draw(pen, s):
        pen.rectangle([1 * s, 1 * s, 39 * s, 17 * s], outline=255, width=max(1, round(0.8 * s)))
        for i in range(24):
            if ragged[0, i] < 0.75:
                x = 3 + 1.45 * i
                pen.rectangle([x * s, 6 * s, (x + 0.9 * ragged[1, i] + 0.2) * s, (9 + 3 * ragged[2, i]) * s], fill=230)
    place = canvas(frame, rng.uniform(0, size[0] - 41), rng.uniform(0, max(1, size[1] - 19)), 40, 18, draw, 0.1)
    return [Mark(*place, added=[c * mark["strength"] for c in (0.2, 0.7, 0.5)])]


def ring(rng, mark, frame, size):
    """What a wet cup leaves."""
    r, tone = rng.uniform(25, 40), rng.uniform(0.2, 1, 48)
    def draw(pen, s):
        for i in range(48):
            pen.arc([1 * s, 1 * s, (1 + 2 * r) * s, (1 + 2 * r) * s], 7.5 * i, 7.5 * i + 8, fill=int(255 * tone[i]),
                    width=max(1, round(1.5 * s)))
    place = canvas(frame, rng.uniform(-r, size[0] - r), rng.uniform(-r, size[1] - r), 2 * r + 2, 2 * r + 2, draw, 0.4)
    return [Mark(*place, ink=1 - 0.3 * mark["strength"], added=[0.04 * mark["strength"]] * 3)]


def dust_line(rng, mark, frame, size):
    """Dust on the scanner's glass for a part of the height: straight down the scan."""
    out = []
    for _ in range(mark["count"]):
        tall = int(frame.rows * rng.uniform(0.2, 0.8))
        cover = np.ones((tall, int(rng.integers(1, 4)))) * np.clip(rng.normal(0.8, 0.2, (tall, 1)), 0, 1)
        out.append(Mark(rng.uniform(0, frame.columns - 4), rng.uniform(0, frame.rows - tall), cover,
                        lift=mark["strength"] * rng.choice([-1, 1]) * rng.uniform(0.03, 0.2)))
    return out


def behind(rng, mark, frame, size):
    """Set-off: a stack's neighbour left some of its print, blocks and rows of text, reversed and blurred."""
    def draw(pen, s):
        y = 8.0
        while y < size[1] - 20:
            if rng.random() < 0.4:
                tall = rng.uniform(10, 40)
                x = rng.uniform(0, 0.6) * size[0]
                right, tone = x + rng.uniform(20, 100), int(rng.uniform(120, 255))
                pen.rectangle([x * s, y * s, right * s, (y + tall) * s], fill=tone)
                y += tall + 5
            else:
                x = 15.0
                while x < size[0] - 25:
                    word = rng.uniform(3, 14)
                    pen.rectangle([x * s, y * s, (x + word) * s, (y + 1.8) * s], fill=130)
                    x += word + 2
                y += 5
    u, v, cover = canvas(frame, 0, 0, size[0], size[1], draw, 0.35)
    colour = rng.uniform(0.3, 1, 3)
    return [Mark(u, v, cover, added=[float(c) * mark["density"] for c in colour])]


def wrinkle(rng, mark, frame, size):
    """The sheet did not lie flat under the drum: a band along the run, wandering, with less ink."""
    way = np.cumsum(rng.normal(0, 0.35, 40))
    way = 6 + np.clip(way - way.mean(), -4, 4)
    length = size[1] * rng.uniform(0.3, 0.9)
    def draw(pen, s):
        cut = np.linspace(0, length, 40)
        points = [(float(x * s), float(y * s)) for x, y in zip(way, cut)]
        pen.line(points, fill=255, width=max(1, round(rng.uniform(0.3, 1.2) * s)))
    place = canvas(frame, rng.uniform(0, size[0] - 13), rng.uniform(0, size[1] - length), 12, length, draw, 0.2)
    return [Mark(*place, ink=1 - mark["strength"] * rng.uniform(0.1, 0.6))]


def recycled(rng, mark, frame, size):
    out = []
    for _ in range(mark["count"]):
        r = rng.uniform(0.05, 0.2)
        cover = np.ones((max(1, int(2 * r / frame.p)), max(1, int(2 * r / frame.p * rng.uniform(0.5, 3)))))
        u, v = frame.at(rng.uniform(0, size[0]), rng.uniform(0, size[1]))
        out.append(Mark(u, v, cover, lift=-mark["strength"] * rng.uniform(0.05, 0.3)))
    return out


KINDS = {f.__name__: f for f in (hickeys, lines, rollers, fold, fingers, writing, stamp, ring, dust_line, behind,
                                 wrinkle, recycled)}


def draw_marks(case, frame, size):
    out = []
    for mark in case["marks"]:
        out += KINDS[mark["kind"]](np.random.default_rng(mark["seed"]), mark, frame, size)
    return out


class Make:
    """The paper's own make-up and ink that varies along the sheet, at places of the sheet."""

    def __init__(self, case, size):
        self.paper, self.banding = case["paper"], None
        if case["banding"]:
            rng = np.random.default_rng(case["banding"]["seed"])
            step = case["banding"]["mm"] / 6
            n = int(size[1] / step) + 40
            wave = np.convolve(rng.standard_normal(n), np.hanning(9), "same")
            self.step, self.banding = step, case["banding"]["depth"] * wave / (2 * wave.std())
        if self.paper:
            rng = np.random.default_rng(self.paper["seed"])
            self.jitter = rng.normal(0, 0.04, int(size[1] / self.paper["laid_mm"]) + 60)
            self.turn = rng.random() < 0.5  # chain lines along or across the sheet's run
            self.begin = rng.uniform(0, self.paper["chain_mm"])

    def ink(self, x, y):
        """Relative change of all inks, or None."""
        out = None
        if self.banding is not None:
            out = np.interp(y[:, :1] / self.step + 20, np.arange(len(self.banding)), self.banding).astype(np.float32)
        lines = self.lines(x, y)
        return out if lines is None else (0 if out is None else out) - lines

    def lines(self, x, y):
        """Where mould wires pressed into the paper: it takes less ink."""
        if not self.paper or not self.paper["laid_depth"] + self.paper["chain_depth"]:
            return None
        along, across = (y, x) if self.turn else (x, y)
        laid = np.sin(np.float32(2 * math.pi / self.paper["laid_mm"]) * along)
        d = (across - self.begin + self.paper["chain_mm"] / 2) % self.paper["chain_mm"] - self.paper["chain_mm"] / 2
        chain = np.exp(-0.5 * (d / np.float32(0.25)) ** 2)
        return np.float32(self.paper["laid_depth"]) * laid + np.float32(self.paper["chain_depth"]) * chain

    def tint(self):
        return np.array(self.paper["tint"] if self.paper else [1, 1, 1], np.float32)
