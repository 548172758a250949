#!/usr/bin/python3
"""Scans of printed chart pages with known causes, rendered from the forward model in docs by code of its own.

    render.py CASE.json OUT.png|.tif|.jpg

A case is a JSON object: `layout` and `chart` (paths), and what DEFAULTS below holds. Nothing here is taken from the
program that is judged; where the forward model is silent a comment says "silent" and what was chosen.

A page is nearly separable: between two edges along the sheet the mean light depends on the place across only. Those
profiles are computed on a grid of several samples per scan pixel, where light is averaged, and read off row by row
along the skew; grain, mottle, paper and the scanner's noise are laid over them in two dimensions.
"""
import json
import math
import sys
import tomllib

import numpy as np
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
LN10 = math.log(10.0)

DEFAULTS = {
    "machine_seed": 1,          # jets' volumes
    "scan_seed": 1,             # all else that is random
    "dpi": 300.0,
    "skew_deg": 0.0,            # clockwise
    "turn_deg": 0,              # of the finished image, clockwise
    "margin_mm": [4.0, 4.0],    # bed seen left of and above the sheet
    "print_shift_mm": [0.0, 0.0],
    "print_scale": [1.0, 1.0],
    "jet_spread": 0.02,
    "jet_law": "normal",        # or "lognormal"
    "jet_neighbours": 0.0,      # correlation between a jet and the next
    "grain": 0.03,              # of the ink of one raster cell
    "mottle": 0.008,
    "mottle_mm": 3.0,
    "paper_white": [0.84, 0.85, 0.83],
    "paper_texture": 0.004,
    "paper_spread_mm": 0.05,    # how far light wanders in the paper
    "ink_spread_px": 0.5,       # how far a drop runs beyond its column when it is pressed on
    "bed": 0.90,
    "blur_px": 0.55,            # core of the lens, in scan pixels
    "tail_share": 0.12,         # of the light, in wide exponential wings
    "tail_mm": 0.09,
    "light_tilt": [0.02, -0.015, 0.02],  # across, along, and the bend across
    "column_gain": 0.0015,
    "shot": 0.005,              # of full white
    "read": 0.0008,             # linear
    "within_columns": False,    # contacts take parts of columns
    "taper_mm": 0.0,            # residue scrapes less towards its ends
    "residue": [],              # carriage, contact, x_drum_mm (left end, at home), width_mm, loss, [y_mm]
    "jet": [],                  # head, ink, jet, loss
    "scratch": [],              # x_drum_mm (left end), width_mm, loss, [y_mm]
    "haze": [],                 # x_drum_mm (middle), width_mm (at half height), density
    "jpeg_quality": 92,
    "jpeg_thinned": False,
}


class Layout:
    """Who lays which column, and when."""

    def __init__(self, path):
        with open(path, "rb") as file:
            raw = tomllib.load(file)
        self.name = raw["name"]
        self.px = 25.4 / raw["raster"]["cross_process_dpi"]
        self.row_mm = 25.4 / raw["raster"]["process_dpi"]
        self.pitch = raw["interleave"]["jet_pitch_px"]
        self.shift = raw["interleave"]["shift_px"]
        self.mirrored = raw["transfer"]["mirrored"]
        self.scale = raw["transfer"]["scale_cross"]
        self.sheet_left = raw["transfer"]["sheet_left_on_drum_mm"]
        self.inks = {ink["name"]: np.array(ink["solid_density_rgb"]) for ink in raw["ink"]}
        self.carriages = {c["name"]: {"angle": c["angle_deg"], "offset": c.get("offset_mm", 0.0),
                                      "steps": [c.get("travel", 1) * s for s in self.shift]} for c in raw["carriage"]}
        self.heads = raw["head"]
        self.zones = raw["zone"]
        self.columns = int(raw["drum"]["width_mm"] / self.px)
        self._own()

    def _own(self):
        self.head = np.full(self.columns, -1)
        self.jet = np.zeros(self.columns, int)
        self.passes = np.zeros(self.columns, int)
        before = None
        for number in sorted(range(len(self.heads)), key=lambda n: self.heads[n]["first_jet_px"]):
            head = self.heads[number]
            steps = self.carriages[head["carriage"]]["steps"]
            first = head["first_jet_px"] + max(steps)
            last = head["first_jet_px"] + (head["jets"] - 1) * self.pitch + min(steps)
            begin = first if before is None else (first + before) // 2 + 1  # the left head owns the seam column
            for k, step in enumerate(steps):
                for i in range(head["jets"]):
                    column = head["first_jet_px"] + i * self.pitch + step
                    if begin <= column <= last:
                        self.head[column], self.jet[column], self.passes[column] = number, i, k
            before = last

    def offset(self):
        """How far each column's ink really lies from its place in the raster."""
        by_head = np.array([self.carriages[h["carriage"]]["offset"] for h in self.heads] + [0.0])
        return by_head[self.head]

    def middle(self):
        return (np.arange(self.columns) + 0.5) * self.px + self.offset()

    def outermost(self, head, side):
        """X of a head's outermost jet on a stencilled side, and the direction of outward on the drum."""
        on_right = (side == "right") != head.get("rotated", False)
        jet = head["jets"] - 1 if on_right else 0
        x = (head["first_jet_px"] + jet * self.pitch + 0.5) * self.px + self.carriages[head["carriage"]]["offset"]
        return x, 1.0 if on_right else -1.0

    def sheet_from_drum(self, x):
        return (self.sheet_left - x if self.mirrored else x - self.sheet_left) * self.scale

    def drum_from_sheet(self, x):
        return self.sheet_left - x / self.scale if self.mirrored else self.sheet_left + x / self.scale

    def later(self, carriage, contact):
        """later[k, c]: whether the contact of pass k comes after column c was laid."""
        q = self.carriages[carriage]
        same = []
        for head in self.heads:
            own = head["carriage"] == carriage
            earlier = self.carriages[head["carriage"]]["angle"] < q["angle"]
            same.append(contact == "downstream" if own else earlier)
        k = np.arange(len(self.shift))[:, None]
        return ((k > self.passes) | ((k == self.passes) & np.array(same + [False])[self.head])) & (self.head >= 0)

    def touches(self, residue):
        x = self.middle()
        steps = np.array(self.carriages[residue["carriage"]]["steps"])[:, None] * self.px
        begin = residue["x_drum_mm"] + steps
        under = (x >= begin) & (x < begin + residue["width_mm"])
        return (under & self.later(residue["carriage"], residue["contact"])).sum(0)


def read_chart(path):
    with open(path, "rb") as file:
        return tomllib.load(file)


def printed(layout, patch):
    """Columns of a patch. Silent: a column is printed when its middle lies in the patch."""
    x = layout.sheet_from_drum((np.arange(layout.columns) + 0.5) * layout.px)
    return (x >= patch["x_mm"][0]) & (x < patch["x_mm"][1]) & (layout.head >= 0)


def jet_volumes(layout, case):
    """volume[ink][head][jet], about 1."""
    rng = np.random.default_rng(case["machine_seed"])
    rho, spread = case["jet_neighbours"], case["jet_spread"]
    volumes = {}
    for ink in layout.inks:
        volumes[ink] = []
        for head in layout.heads:
            z = rng.standard_normal(head["jets"])
            for i in range(1, len(z)):
                z[i] = rho * z[i - 1] + math.sqrt(1 - rho * rho) * z[i]
            v = np.exp(spread * z - spread * spread / 2) if case["jet_law"] == "lognormal" else 1 + spread * z
            volumes[ink].append(np.maximum(v, 0.0))
    for weak in case["jet"]:
        number = [h["name"] for h in layout.heads].index(weak["head"])
        volumes[weak["ink"]][number][weak["jet"]] *= 1 - weak["loss"]
    return volumes


def column_volumes(layout, volumes):
    by_ink = {}
    for ink, by_head in volumes.items():
        out = np.zeros(layout.columns)
        for number, v in enumerate(by_head):
            own = layout.head == number
            out[own] = v[layout.jet[own]]
        by_ink[ink] = out
    return by_ink


def kept_by_residue(layout, residue, case, parts):
    """kept[c, part of a column]: what the contact leaves of it, all inks alike."""
    # The forward model counts a contact by the column's middle; real crumbs do not know where columns begin.
    within = (np.arange(parts) + 0.5) / parts - 0.5 if case["within_columns"] else np.zeros(1)
    x = layout.middle()[:, None] + within * layout.px
    later = layout.later(residue["carriage"], residue["contact"])
    kept = np.ones_like(x)
    width, taper = residue["width_mm"], case["taper_mm"]
    for k, step in enumerate(layout.carriages[residue["carriage"]]["steps"]):
        into = x - residue["x_drum_mm"] - step * layout.px
        under = (into >= 0) & (into < width)
        if taper > 0:
            under = under * np.clip(np.minimum(into, width - into) / min(taper, width / 2), 0, 1)
        kept *= 1 - residue["loss"] * under * later[k][:, None]
    return np.repeat(kept, parts, 1) if kept.shape[1] == 1 else kept


def convolve(profile, kernel):
    half = len(kernel) // 2
    padded = np.concatenate([np.full(half, profile[0]), profile, np.full(half, profile[-1])])
    size = 1 << (len(padded) + len(kernel)).bit_length()
    out = np.fft.irfft(np.fft.rfft(padded, size) * np.fft.rfft(kernel, size), size)
    return out[2 * half:2 * half + len(profile)]


def sampled(shape, h, reach):
    """A kernel of unit sum, its shape given by a function of the distance in mm."""
    n = max(1, int(math.ceil(reach / h)))
    kernel = shape(np.arange(-n, n + 1) * h)
    return kernel / kernel.sum()


def lens_kernel(case, p, h):
    """A narrow core, exponential wings, and the pixel's own aperture."""
    core = sampled(lambda d: np.exp(-0.5 * (d / (case["blur_px"] * p)) ** 2), h, 5 * case["blur_px"] * p)
    wing = sampled(lambda d: np.exp(-np.abs(d) / case["tail_mm"]), h, 8 * case["tail_mm"])
    n = max(len(core), len(wing))
    wide = lambda k: np.pad(k, (n - len(k)) // 2)
    lens = (1 - case["tail_share"]) * wide(core) + case["tail_share"] * wide(wing)
    aperture = sampled(lambda d: np.clip((p / 2 + h / 2 - np.abs(d)) / h, 0, 1), h, p / 2 + h)
    return np.convolve(lens, aperture)


class Across:
    """The fine grid across the sheet: mean light of every stretch of the page."""

    def __init__(self, layout, chart, case, x_first, h, count):
        self.layout, self.chart, self.case, self.h = layout, chart, case, h
        self.edges = x_first + (np.arange(count + 1) - 0.5) * h
        self.x = x_first + np.arange(count) * h
        drawn = (self.edges - case["print_shift_mm"][0]) / case["print_scale"][0]
        self.drum_edges = layout.drum_from_sheet(drawn)
        self.drum = layout.drum_from_sheet((self.x - case["print_shift_mm"][0]) / case["print_scale"][0])
        self.volumes = column_volumes(layout, jet_volumes(layout, case))
        self.parts = 8
        self.lens = lens_kernel(case, 25.4 / case["dpi"], h)
        self.paper = sampled(lambda d: np.exp(-np.abs(d) / case["paper_spread_mm"]), h, 8 * case["paper_spread_mm"])
        spread = max(case["ink_spread_px"] * layout.px, h)
        self.drop = sampled(lambda d: np.maximum(0, 1 - np.abs(d) / spread), h, spread)
        self.haze = self._haze()

    def _haze(self):
        # Silent on the colour of what gets past the blade: a mixture of all inks, as collects there.
        mixture = sum(self.layout.inks.values())
        mixture = mixture / mixture.mean()
        total = np.zeros_like(self.x)
        for haze in self.case["haze"]:
            # Silent on the shape: sech^2, whose full width at half height is 1.763 of its scale.
            total += haze["density"] / np.cosh((self.drum - haze["x_drum_mm"]) / (haze["width_mm"] / 1.763)) ** 2
        return mixture[:, None] * total

    def _laid(self, amount):
        """Ink per fine sample, exact by area, from columns x parts; each carriage lies where it really stands."""
        layout = self.layout
        out = np.zeros(len(self.x))
        step = layout.px / self.parts
        for name, carriage in layout.carriages.items():
            mine = np.array([h["carriage"] == name for h in layout.heads] + [False])[layout.head]
            total = np.concatenate([[0.0], np.cumsum((amount * mine[:, None]).ravel()) * step])
            place = np.arange(len(total)) * step + carriage["offset"]
            out += np.abs(np.diff(np.interp(self.drum_edges, place, total)))
        return out / np.abs(np.diff(self.drum_edges))

    def light(self, y, on_sheet):
        """Mean light at y (of the print, mm) and, per ink, how its logarithm answers to a relative change of ink."""
        case, layout = self.case, self.layout
        width = self.chart["sheet_mm"][0]
        if not on_sheet:
            return np.full((3, len(self.x)), case["bed"]), {}
        touching = lambda cause: "y_mm" not in cause or cause["y_mm"][0] <= y < cause["y_mm"][1]
        kept = np.ones((layout.columns, self.parts))
        for residue in filter(touching, case["residue"]):
            kept *= kept_by_residue(layout, residue, case, self.parts)
        left = np.ones(len(self.x))
        for scratch in filter(touching, case["scratch"]):
            into = self.drum - scratch["x_drum_mm"]
            left *= 1 - scratch["loss"] * ((into >= 0) & (into < scratch["width_mm"]))
        density, by_ink = self.haze.copy(), {}
        for patch in self.chart["patch"]:
            if not patch["y_mm"][0] <= y < patch["y_mm"][1]:
                continue
            where = printed(layout, patch)
            for ink in patch["inks"]:
                laid = self._laid(self.volumes[ink][:, None] * kept * where[:, None])
                laid = convolve(laid * left, self.drop)
                by_ink[ink] = layout.inks[ink][:, None] * laid
                if patch["coverage"] < 1:  # dots too fine to see: light passes beside and through them
                    c = patch["coverage"]
                    by_ink[ink] = -2 * np.log10(1 - c + c * 10 ** (-by_ink[ink] / 2))
                density += by_ink[ink]
        # Light passes the ink twice, and wanders in the paper in between (optical dot gain).
        through = 10 ** (-density / 2)
        mean = np.stack([t * convolve(t, self.paper) for t in through])
        paper = (self.x >= 0) & (self.x < width)
        shadow = 1 - 0.25 * np.exp(-np.maximum(0, np.maximum(self.x - width, -self.x)) / 0.2)
        mean = np.where(paper, mean * np.array(case["paper_white"])[:, None], case["bed"] * shadow)
        seen = np.stack([convolve(m, self.lens) for m in mean])
        answers = {ink: np.stack([convolve(mean[c] * d[c] * paper, self.lens) for c in range(3)]) * -LN10 / seen
                   for ink, d in by_ink.items()}
        return seen, answers

    def edge(self):
        """The light across a straight edge: distances in mm and what has risen there."""
        kernel = np.convolve(self.lens, self.paper)
        return (np.arange(len(kernel)) - len(kernel) // 2 + 0.5) * self.h, np.cumsum(kernel)


def stretches(layout, chart, case):
    """The page cut wherever the mean light changes along it: [from, to) in sheet mm, a y of the print, on the sheet."""
    rows = lambda y: round(y / layout.row_mm) * layout.row_mm  # whole raster rows
    cuts = set()
    for patch in chart["patch"]:
        cuts |= {rows(y) for y in patch["y_mm"]}
    for cause in case["residue"] + case["scratch"]:
        cuts |= set(cause.get("y_mm", []))
    length = chart["sheet_mm"][1]
    on_sheet = lambda y: y * case["print_scale"][1] + case["print_shift_mm"][1]
    inner = sorted(y for y in map(on_sheet, cuts) if 0 < y < length)
    marks = [-1e6, 0.0] + inner + [length, 1e6]
    out = []
    for a, b in zip(marks, marks[1:]):
        middle = ((a + b) / 2 - case["print_shift_mm"][1]) / case["print_scale"][1]
        out.append((a, b, middle, a >= 0 and b <= length))
    return out


class Field:
    """Slow noise over the whole image, kept coarse and enlarged band by band."""

    def __init__(self, rng, width_mm, height_mm, cell_mm, spectrum, spread):
        self.nx, self.ny = int(width_mm / cell_mm) + 8, int(height_mm / cell_mm) + 8
        self.cell = cell_mm
        fx, fy = np.fft.rfftfreq(self.nx, cell_mm), np.fft.fftfreq(self.ny, cell_mm)
        amplitude = np.sqrt(spectrum(np.hypot(fx[None, :], fy[:, None])))
        amplitude[0, 0] = 0
        noise = np.fft.irfft2(np.fft.rfft2(rng.standard_normal((self.ny, self.nx))) * amplitude, (self.ny, self.nx))
        self.image = Image.fromarray((noise * (spread / noise.std())).astype(np.float32), mode="F")

    def band(self, row, rows, columns, p):
        box = (2.0, 2 + row * p / self.cell, 2 + columns * p / self.cell, 2 + (row + rows) * p / self.cell)
        return np.asarray(self.image.resize((columns, rows), Image.BICUBIC, box=box))


def smooth(noise, a):
    """Three taps each way; takes one sample off every side."""
    noise = noise[1:-1] * (1 - 2 * a) + (noise[:-2] + noise[2:]) * a
    return noise[:, 1:-1] * (1 - 2 * a) + (noise[:, :-2] + noise[:, 2:]) * a


def srgb_table():
    light = np.arange(65536) / 65535.0
    code = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(code * 255).astype(np.uint8)


def render(case):
    """The scan as an array of 8 bits, rows x columns x RGB."""
    case = {**DEFAULTS, **case}
    layout, chart = Layout(case["layout"]), read_chart(case["chart"])
    rng = np.random.Generator(np.random.SFC64(case["scan_seed"]))
    p, skew = 25.4 / case["dpi"], math.radians(case["skew_deg"])
    sin, cos = math.sin(skew), math.cos(skew)
    wide, long = chart["sheet_mm"]
    # A skewed sheet needs more bed; its corner may not leave the image.
    left = case["margin_mm"][0] + max(0.0, sin) * long
    top = case["margin_mm"][1] + max(0.0, -sin) * wide
    columns = int((left + wide * cos + max(0.0, -sin) * long + case["margin_mm"][0]) / p)
    rows = int((top + long * cos + max(0.0, sin) * wide + case["margin_mm"][1]) / p)

    fine = max(6, round(p / 0.007))  # samples per scan pixel
    h = p * cos / fine
    x_at = lambda u, v: cos * (u * p - left) + sin * (v * p - top)
    corners = [x_at(u, v) for u in (0, columns) for v in (0, rows)]
    x_first = min(corners) - 1.0
    count = (int((max(corners) - min(corners) + 2.0) / h) // fine + 2) * fine
    across = Across(layout, chart, case, x_first, h, count)
    distance, risen = across.edge()
    reach = -distance[0]
    parts = []
    for a, b, y, on_sheet in stretches(layout, chart, case):
        seen, answers = across.light(y, on_sheet)
        # One row per place within a pixel, so that an image row is one contiguous piece of it.
        comb = lambda table: table.reshape(3, -1, fine).transpose(0, 2, 1).astype(np.float32).copy()
        parts.append((a, b, comb(seen), {ink: comb(t) for ink, t in answers.items()}))

    size = columns * p, rows * p
    turn = 1 / case["mottle_mm"]
    mottles = {ink: Field(rng, *size, 0.5, lambda f: (1 + (2.5 * f / turn) ** 2) ** -1.5, case["mottle"])
               for ink in layout.inks}
    paper = Field(rng, *size, 0.4, lambda f: 1 / np.maximum(f, 0.01) ** 2, case["paper_texture"])
    u = (np.arange(columns, dtype=np.float32) + 0.5) / columns
    gain = 1 + case["column_gain"] * rng.standard_normal((3, columns)).astype(np.float32)
    tilt = case["light_tilt"]
    lamp = gain * (1 + tilt[0] * (u - 0.5) + tilt[2] * (0.25 - (2 * u - 1) ** 2))
    # Grain is one draw per raster cell; the scan sees it through drop and lens, several cells or parts of one a pixel.
    grain = case["grain"] * math.sqrt(layout.px * layout.row_mm) / p
    table = srgb_table()
    out = np.empty((rows, columns, 3), np.uint8)
    for row in range(0, rows, 128):
        n = min(128, rows - row)
        v = row + np.arange(n) + 0.5
        y_left = -sin * (0.5 * p - left) + cos * (v * p - top)  # sheet y in the first column of pixels
        start = np.round((x_at(0.5, v) - x_first) / h).astype(int)
        light = np.zeros((3, n, columns), np.float32)
        drawn = {}
        for a, b, seen, answers in parts:
            first, last = active(y_left, -sin * p, columns, a - reach, b + reach)
            if first >= last:
                continue
            piece = slices(seen, start, first, last, fine)
            power = None
            for ink, answer in answers.items():
                if ink not in drawn:
                    drawn[ink] = ink_noise(rng, n, columns, grain, layout.px, p) + mottles[ink].band(row, n, columns, p)
                term = slices(answer, start, first, last, fine)
                term *= drawn[ink][:, first:last]
                power = term if power is None else power + term
            if power is not None:
                piece *= np.exp(power)
            y = y_left[:, None] - sin * p * np.arange(first, last)[None, :]
            if y.min() < a + reach or y.max() > b - reach:
                weight = np.interp(y - a, distance, risen) - np.interp(y - b, distance, risen)
                piece *= weight.astype(np.float32)
            light[:, :, first:last] += piece
        light *= lamp[:, None, :]
        fibre = smooth(rng.standard_normal((n + 2, columns + 2), np.float32), 0.25) * np.float32(case["paper_texture"])
        light *= (1 + paper.band(row, n, columns, p) + fibre
                  + np.float32(tilt[1]) * ((v / rows - 0.5)[:, None]).astype(np.float32))
        np.maximum(light, 0, out=light)
        noise = rng.standard_normal(light.shape, np.float32)
        noise *= np.sqrt(np.float32(case["read"] ** 2) + np.float32(case["shot"] ** 2) * light)
        light += noise
        index = np.clip(light * 65535 + 0.5, 0, 65535).astype(np.uint16)
        out[row:row + n] = table[index].transpose(1, 2, 0)
    return np.ascontiguousarray(np.rot90(out, -case["turn_deg"] // 90)) if case["turn_deg"] else out


def active(y_left, step, columns, low, high):
    """The columns in which any of these rows may lie between low and high."""
    if abs(step) < 1e-12:
        return (0, columns) if y_left[-1] >= low and y_left[0] <= high else (0, 0)
    ends = [(y - edge) / -step for y in (y_left[0], y_left[-1]) for edge in (low, high)]
    return max(0, int(min(ends)) - 1), min(columns, int(max(ends)) + 2)


def slices(table, start, first, last, fine):
    piece = np.empty((3, len(start), last - first), np.float32)
    for i, s in enumerate(start):
        q, phase = divmod(int(s), fine)
        piece[:, i] = table[:, phase, q + first:q + last]
    return piece


def ink_noise(rng, rows, columns, grain, px, p):
    """Drops are few and uneven, so their sum over a pixel is skewed, not Gaussian."""
    times = 2 if px > 1.4 * p else 1
    pad = 2 * times
    noise = rng.standard_exponential((rows + pad, columns + pad), np.float32)
    noise -= 1
    for _ in range(times):
        noise = smooth(noise, 0.22)
    noise *= np.float32(grain)
    return noise


def save(image, path, case):
    case = {**DEFAULTS, **case}
    picture, dpi = Image.fromarray(image), (case["dpi"], case["dpi"])
    if path.endswith(".png"):
        picture.save(path, dpi=dpi, compress_level=1)
    elif path.endswith(".jpg"):
        picture.save(path, dpi=tuple(map(round, dpi)), quality=case["jpeg_quality"],
                     subsampling=2 if case["jpeg_thinned"] else 0)
    else:
        picture.save(path, dpi=dpi)


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    with open(sys.argv[1]) as file:
        case = json.load(file)
    unknown = set(case) - set(DEFAULTS) - {"layout", "chart", "truth"}
    if unknown:
        sys.exit(f"{sys.argv[1]}: unknown keys {sorted(unknown)}")
    save(render(case), sys.argv[2], case)


if __name__ == "__main__":
    main()
