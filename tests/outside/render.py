#!/usr/bin/python3
"""Scans of printed chart pages with known causes, rendered from the forward model in docs by code of its own.

    render.py CASE.json OUT.png|.tif|.jpg

A case is a JSON object: `layout` and `chart` (paths), and what DEFAULTS below holds. Nothing here is taken from the
program that is judged; where the forward model is silent a comment says "silent" and what was chosen.

The mean light of the drawn page comes from `page.py` (profiles per stretch, tables in two dimensions around contacts).
Here every scan pixel finds its place on it: through the scanner's sensors, the sheet's skew, the print's turn and
stretch. Grain, mottle, paper, damage and the scanner's noise are laid over in two dimensions.
"""
import json
import math
import sys

import numpy as np
from PIL import Image

from machine import Layout, printed, read_chart  # noqa: F401 (what judges need as well)
from optics import Field, Optics
from page import Grid, Page, patches_of_light, profiles
from scanner import Device
from sheet import Frame, Make, draw_marks

Image.MAX_IMAGE_PIXELS = None

DEFAULTS = {
    "machine_seed": 1,          # jets' volumes
    "scan_seed": 1,             # all else that is random
    "dpi": 300.0,
    "skew_deg": 0.0,            # clockwise
    "turn_deg": 0,              # of the finished image, clockwise
    "margin_mm": [4.0, 4.0],    # bed seen left of and above the sheet
    "print_shift_mm": [0.0, 0.0],
    "print_scale": [1.0, 1.0],
    "print_turn_deg": 0.0,      # of the print on the sheet, clockwise
    "stretch": None,            # uneven: share, waves, seed
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
    "within_columns": True,     # contacts take parts of columns
    "taper_mm": 0.0,            # residue scrapes less towards its ends
    "residue": [],              # contact.py: carriage, contact, x_drum_mm (left end, at home), width_mm, loss, ...
    "ink_order": [],            # inks as they are laid; the layout's order where empty
    "jet": [],                  # head, ink, jet, loss
    "scratch": [],              # x_drum_mm (left end), width_mm, loss, [y_mm]
    "haze": [],                 # x_drum_mm (middle), width_mm (at half height), density
    "beside": None,             # machine.py: what the layout file does not know
    "screen": None,             # tints: lines_per_inch, angle_deg; or lines_per_inch 0: random dots
    "paper": None,              # sheet.py
    "banding": None,
    "marks": [],
    "device": None,             # scanner.py
    "jpeg_quality": 92,
    "jpeg_thinned": False,
}


def smooth(noise, a):
    """Three taps each way; takes one sample off every side."""
    noise = noise[1:-1] * (1 - 2 * a) + (noise[:-2] + noise[2:]) * a
    return noise[:, 1:-1] * (1 - 2 * a) + (noise[:, :-2] + noise[:, 2:]) * a


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


class Scan:
    """Where everything lies in one scan."""

    def __init__(self, case):
        self.case = case = {**DEFAULTS, **case}
        self.layout, self.chart = Layout(case["layout"], case["beside"]), read_chart(case["chart"])
        self.rng = np.random.Generator(np.random.SFC64(case["scan_seed"]))
        self.p, skew = 25.4 / case["dpi"], math.radians(case["skew_deg"])
        sin, cos = math.sin(skew), math.cos(skew)
        self.wide, self.long = self.chart["sheet_mm"]
        # A skewed sheet needs more bed; its corner may not leave the image.
        left = case["margin_mm"][0] + max(0.0, sin) * self.long
        top = case["margin_mm"][1] + max(0.0, -sin) * self.wide
        self.columns = int((left + self.wide * cos + max(0.0, -sin) * self.long + case["margin_mm"][0]) / self.p)
        self.rows = int((top + self.long * cos + max(0.0, sin) * self.wide + case["margin_mm"][1]) / self.p)
        self.frame = Frame(self.p, sin, cos, left, top, self.rows, self.columns)
        self.device = Device(case, self.rows, self.columns, self.p, self.rng)
        self.sensors, self.slip = self.device.places()
        self.warps = self._warps()

    def _warps(self):
        """Uneven stretch across and along: smooth fields of some 0.1 mm."""
        stretch = self.case["stretch"]
        if not stretch:
            return []
        rng, out = np.random.default_rng(stretch["seed"]), []
        for length in (self.wide, self.long):
            wave = length / stretch["waves"]
            f0 = 1 / wave
            field = Field(rng, self.columns * self.p, self.rows * self.p, 6.0,
                          lambda f: np.exp(-0.5 * (f / (0.6 * f0)) ** 2), 1.0)
            slope = np.abs(np.diff(field.values, axis=1 if not out else 0)).max() / 6.0
            field.image = Image.fromarray((field.values * (stretch["share"] / slope)).astype(np.float32), mode="F")
            out.append(field)
        return out

    def sheet_at(self, row, n):
        """Sheet x and y (mm) of the pixels of n scan rows."""
        f = self.frame
        across = (self.sensors * self.p - f.left)[None, :] + self.slip[row:row + n, None]
        along = ((row + np.arange(n) + 0.5) * self.p - f.top)[:, None]
        return (f.cos * across + f.sin * along).astype(np.float32), (f.cos * along - f.sin * across).astype(np.float32)

    def drawn_at(self, row, n, x, y):
        """Places on the drawn page, before the print is stretched, turned and shifted."""
        case = self.case
        if case["print_turn_deg"]:
            turn = math.radians(case["print_turn_deg"])
            dx, dy = x - np.float32(self.wide / 2), y - np.float32(self.long / 2)
            x = np.float32(math.cos(turn)) * dx + np.float32(math.sin(turn)) * dy + np.float32(self.wide / 2)
            y = np.float32(math.cos(turn)) * dy - np.float32(math.sin(turn)) * dx + np.float32(self.long / 2)
        if self.warps:
            x = x + self.warps[0].band(row, n, self.columns, self.p)
            y = y + self.warps[1].band(row, n, self.columns, self.p)
        (left, top), (sx, sy) = case["print_shift_mm"], case["print_scale"]
        return (x - np.float32(left)) * np.float32(1 / sx), (y - np.float32(top)) * np.float32(1 / sy)


class Rise:
    """The light across a straight edge, as a table."""

    def __init__(self, optics):
        distance, risen = optics.edge()
        self.reach, self.step = float(-distance[0]), 0.002
        self.table = np.interp(np.arange(-self.reach, self.reach, self.step), distance, risen).astype(np.float32)

    def at(self, d):
        index = ((d + np.float32(self.reach)) * np.float32(1 / self.step)).astype(np.int32)
        return np.take(self.table, index, mode="clip")


class Drawn:
    """Tables of mean light, and pixels read off them."""

    def __init__(self, scan):
        self.scan = scan
        page = Page(scan.layout, scan.chart, scan.case)
        h = scan.p / max(6, round(scan.p / 0.007))
        self.grid = grid = Grid(page, -3.0, h, int((scan.wide + 6.0) / h))
        optics = Optics(scan.layout, scan.case, h)
        self.rise = Rise(optics)
        haze = page.haze(grid.drum)
        aside = np.round(scan.device.fringes() * scan.p / h).astype(int)
        self.stretches = page.stretches
        self.tables = []
        for stretch in page.stretches:
            seen, answers = profiles(page, stretch, grid, optics, haze)
            shifted = [np.roll(seen[c], aside[c]).astype(np.float32) for c in range(3)]
            self.tables.append((shifted, {ink: a.astype(np.float32) for ink, a in answers.items()}))
        self.patches = patches_of_light(page, scan.p)
        for patch in self.patches:
            for c, shift in enumerate(np.round(scan.device.fringes() * scan.p / patch.grid.h).astype(int)):
                patch.light[c] = np.roll(patch.light[c], shift, 1)

    def light(self, row, x, y, noise_of):
        """Light [3, rows, columns] on endless paper; noise_of(ink) is the relative change of an ink."""
        n, columns = x.shape
        index = ((x - np.float32(self.grid.first)) * np.float32(1 / self.grid.h) + np.float32(0.5)).astype(np.int32)
        out = np.zeros((3, n, columns), np.float32)
        low, high, reach = float(y.min()), float(y.max()), self.rise.reach
        for s, stretch in enumerate(self.stretches):
            if high < stretch.low - reach or low > stretch.high + reach:
                continue
            # Skew: only some columns may lie in this stretch.
            inside = np.flatnonzero((y.max(0) > stretch.low - reach) & (y.min(0) < stretch.high + reach))
            if len(inside) == 0:
                continue
            a, b = inside[0], inside[-1] + 1
            part = self.stretch_light(s, x[:, a:b], y[:, a:b], index[:, a:b], noise_of, slice(a, b))
            if low < stretch.low + reach:
                part *= self.rise.at(y[:, a:b] - np.float32(stretch.low))
            if high > stretch.high - reach:
                part *= 1 - self.rise.at(y[:, a:b] - np.float32(stretch.high))
            out[:, :, a:b] += part
        return out

    def stretch_light(self, s, x, y, index, noise_of, where):
        seen, answers = self.tables[s]
        piece = np.stack([np.take(table, index, mode="clip") for table in seen])
        power = None
        for ink, answer in answers.items():
            noise = noise_of(ink)[:, where]
            term = np.stack([np.take(answer[c], index, mode="clip") for c in range(3)])
            term *= noise
            power = term if power is None else power + term
        for patch in self.patches:
            self.insert(patch, s, x, y, piece, power)
        if power is not None:
            piece *= np.exp(power)
        screen = self.scan.case["screen"]
        patches = self.stretches[s].patches
        if screen and patches:
            c = min(p["coverage"] for p in patches)
            white = np.array(self.scan.case["paper_white"], np.float32)[:, None, None]
            if c < 1:
                piece = white + (piece - white) * dots(screen, c, x, y, self.scan)
        return piece

    def insert(self, patch, s, x, y, piece, power):
        """The light around contacts in place of what the undisturbed columns give; grain fades with the ink."""
        near = np.flatnonzero((x.max(0) > patch.low) & (x.min(0) < patch.high))
        if len(near) == 0:
            return
        a, b = near[0], near[-1] + 1
        x, y = x[:, a:b], y[:, a:b]
        inside = (x > patch.low) & (x < patch.high)
        i = np.clip((x - patch.grid.first) / patch.grid.h + 0.5, 0, patch.light.shape[2] - 1).astype(np.int32)
        first, last = patch.rows[s]
        r = np.clip(((y - patch.first_y) / patch.step_y + 0.5).astype(np.int32), first, last - 1)
        white = self.scan.case["paper_white"]
        for c in range(3):
            before, now = piece[c, :, a:b], patch.light[c][r, i]
            if power is not None:
                fade = np.log(np.clip(now / white[c], 1e-3, 0.999)) / np.log(np.clip(before / white[c], 1e-3, 0.999))
                power[c, :, a:b] *= np.where(inside, np.clip(fade, 0, 2), 1)
            piece[c, :, a:b] = np.where(inside, now, before)


def dots(screen, coverage, x, y, scan):
    """Share of a pixel under dots; the lens takes contrast from fine screens."""
    if screen["lines_per_inch"] == 0:
        noise = scan.rng.standard_normal(x.shape, np.float32)
        return np.clip(coverage + 0.5 * math.sqrt(coverage * (1 - coverage)) * noise, 0, 1)
    f, turn = screen["lines_per_inch"] / 25.4, math.radians(screen["angle_deg"])
    a = np.float32(2 * math.pi * f) * (np.float32(math.cos(turn)) * x + np.float32(math.sin(turn)) * y)
    b = np.float32(2 * math.pi * f) * (np.float32(-math.sin(turn)) * x + np.float32(math.cos(turn)) * y)
    wave = 0.5 * (np.cos(a) + np.cos(b))
    blur = math.hypot(scan.case["blur_px"], 0.29) * scan.p
    contrast = math.exp(-0.5 * (2 * math.pi * f * blur) ** 2)
    t = np.linspace(0, 2 * math.pi, 64, endpoint=False)
    all_waves = 0.5 * (np.cos(t)[:, None] + np.cos(t)[None, :])
    threshold = np.quantile(all_waves, 1 - coverage)
    soft = lambda w: 1 / (1 + np.exp(-(w - threshold) / np.float32(0.12)))
    return np.clip(coverage + contrast * (soft(wave) - soft(all_waves).mean()), 0, 1).astype(np.float32)


def on_sheet(scan, rise, x, y):
    """How much of a pixel is sheet, or None where all of it is; and the shadow beside it."""
    d = np.minimum(np.minimum(x, np.float32(scan.wide) - x), np.minimum(y, np.float32(scan.long) - y))
    if float(d.min()) > rise.reach:
        return None, None
    shadow = 1 - 0.25 * np.exp(np.minimum(d, 0) / np.float32(0.2))
    return rise.at(d), shadow


def render(case):
    """The scan as an array of 8 bits, rows x columns x RGB."""
    scan = Scan(case)
    case, rng, p = scan.case, scan.rng, scan.p
    drawn, size = Drawn(scan), (scan.columns * scan.p, scan.rows * scan.p)
    turn = 1 / case["mottle_mm"]
    mottles = {ink: Field(rng, *size, 0.5, lambda f: (1 + (2.5 * f / turn) ** 2) ** -1.5, case["mottle"])
               for ink in scan.layout.inks}
    paper = Field(rng, *size, 0.4, lambda f: 1 / np.maximum(f, 0.01) ** 2, case["paper_texture"])
    sheet = scan.wide, scan.long
    make, marks = Make(case, sheet), draw_marks(case, scan.frame, sheet)
    # Grain is one draw per raster cell; the scan sees it through drop and lens, several cells or parts of one a pixel.
    grain = case["grain"] * math.sqrt(scan.layout.px * scan.layout.row_mm) / p
    white = (np.array(case["paper_white"], np.float32))[:, None, None]
    out = np.empty((scan.rows, scan.columns, 3), np.uint8)
    for row in range(0, scan.rows, 96):
        n = min(96, scan.rows - row)
        x, y = scan.sheet_at(row, n)
        known, everywhere = {}, make.ink(x, y)

        def noise_of(ink):
            if ink not in known:
                known[ink] = ink_noise(rng, n, scan.columns, grain, scan.layout.px, p) \
                    + mottles[ink].band(row, n, scan.columns, p)
                if everywhere is not None:
                    known[ink] = known[ink] + everywhere
            return known[ink]

        light = drawn.light(row, *scan.drawn_at(row, n, x, y), noise_of)
        for mark in marks:
            mark.apply(light, white, row, n)
        light *= make.tint()[:, None, None]
        share, shadow = on_sheet(scan, drawn.rise, x, y)
        if share is not None:
            light = light * share + np.float32(case["bed"]) * (shadow * (1 - share))
        fibre = smooth(rng.standard_normal((n + 2, scan.columns + 2), np.float32), 0.25)
        down = np.float32(case["light_tilt"][1]) * (((row + np.arange(n) + 0.5) / scan.rows - 0.5)[:, None])
        factor = 1 + paper.band(row, n, scan.columns, p) + fibre * np.float32(case["paper_texture"])
        factor += down.astype(np.float32)
        out[row:row + n] = scan.device.expose(light, rng, factor)
    out = scan.device.sharpened(out)
    return np.ascontiguousarray(np.rot90(out, -case["turn_deg"] // 90)) if case["turn_deg"] else out


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
