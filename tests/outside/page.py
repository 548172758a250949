"""Mean light of a printed page, from the machine's columns.

Where nothing touches the drum the page is separable: between two edges along the sheet the mean light depends on the
place across only (`Profiles`). Around contacts and scratches it is a table in two dimensions (`patches_of_light`).
All places across are those of the drawn page: sheet mm before the print is stretched, turned or shifted.
"""
import numpy as np

import contact
from machine import column_volumes, jet_volumes, printed
from optics import Optics, convolve

LN10 = np.log(10.0)


class Stretch:
    """A part of the page along the sheet with the same patches, [from, to) in mm of the drawn page."""

    def __init__(self, low, high, patches):
        self.low, self.high, self.patches = low, high, patches
        self.middle = (low + high) / 2


def stretches(layout, chart, case):
    rows = lambda y: round(y / layout.row_mm) * layout.row_mm  # whole raster rows
    cuts = {-1e6, 1e6}
    for patch in chart["patch"]:
        cuts |= {rows(y) for y in patch["y_mm"]}
    for cause in case["residue"] + case["scratch"]:
        cuts |= set(cause.get("y_mm", []))
    cuts = sorted(cuts)
    out = []
    for a, b in zip(cuts, cuts[1:]):
        y = (a + b) / 2
        out.append(Stretch(a, b, [p for p in chart["patch"] if p["y_mm"][0] <= y < p["y_mm"][1]]))
    return out


class Page:
    """One machine, one chart, one scan's optics."""

    def __init__(self, layout, chart, case):
        self.layout, self.chart, self.case = layout, chart, case
        self.volumes = column_volumes(layout, jet_volumes(layout, case))
        self.stretches = stretches(layout, chart, case)

    def haze(self, drum):
        # Silent on the colour of what gets past the blade: a mixture of all inks, as collects there.
        mixture = sum(self.layout.inks.values())
        mixture = mixture / mixture.mean()
        total = np.zeros_like(drum)
        for haze in self.case["haze"]:
            # Silent on the shape: sech^2, whose full width at half height is 1.763 of its scale.
            total += haze["density"] / np.cosh((drum - haze["x_drum_mm"]) / (haze["width_mm"] / 1.763)) ** 2
        return mixture[:, None] * total

    def density(self, ink, laid):
        """Density of an ink, per channel, where so much is laid."""
        return self.layout.inks[ink].astype(laid.dtype).reshape((3,) + (1,) * laid.ndim) * laid

    def tinted(self, density, patches):
        """Dots too fine to see, unless the case draws them one by one: light passes beside and through them."""
        c = min((p["coverage"] for p in patches), default=1.0)
        return density if c >= 1 or self.case["screen"] else -2 * np.log10(1 - c + c * 10 ** (-density / 2))


class Grid:
    """Samples across the drawn page, from first, step h."""

    def __init__(self, page, first, h, count):
        self.first, self.h, self.count = first, h, count
        self.drum_edges = page.layout.drum_from_sheet(first + (np.arange(count + 1) - 0.5) * h)
        self.drum = page.layout.drum_from_sheet(first + np.arange(count) * h)


def profiles(page, stretch, grid, optics, haze):
    """Mean light [3, samples], and per ink how its logarithm answers to a relative change of ink."""
    layout = page.layout
    density, by_ink = haze.copy(), {}
    for patch in stretch.patches:
        where = printed(layout, patch)
        for ink in patch["inks"]:
            laid = convolve(laid_on(page, page.volumes[ink] * where, grid), optics.drop)
            by_ink[ink] = by_ink.get(ink, 0) + page.density(ink, laid)
    for ink in by_ink:
        by_ink[ink] = page.tinted(by_ink[ink], stretch.patches)
        density += by_ink[ink]
    mean = optics.reflected(density)
    seen = convolve(mean, optics.lens)
    return seen, {ink: convolve(mean * d, optics.lens) * -LN10 / seen for ink, d in by_ink.items()}


def laid_on(page, amount, grid):
    """Ink per sample, exact by area; every carriage, head and pass lies where it really stands."""
    layout, offset = page.layout, page.layout.offset()
    out = np.zeros(grid.count)
    for value in np.unique(offset):
        total = np.concatenate([[0.0], np.cumsum(amount * (offset == value)) * layout.px])
        out += np.abs(np.diff(np.interp(grid.drum_edges, np.arange(len(total)) * layout.px + value, total)))
    return out / np.abs(np.diff(grid.drum_edges))


class LightPatch:
    """Light [3, rows, samples] around contacts: valid for low to high across, and per stretch for its rows."""

    def __init__(self, grid, low, high, light, first_y, step_y, rows):
        self.grid, self.low, self.high, self.light = grid, low, high, light
        self.first_y, self.step_y, self.rows = first_y, step_y, rows


def patches_of_light(page, p):
    layout, length = page.layout, page.chart["sheet_mm"][1]
    out = []
    for low, high, residues, scratches in contact.windows(layout, page.case):
        if contact.varies(residues):
            step = contact.ROW_MM
            y = (np.arange(int(length / step)) + 0.5) * step
            edges = [s.low for s in page.stretches] + [1e9]
            of = np.searchsorted(edges, y, side="right") - 1
            rows = []
            for s in range(len(page.stretches)):
                mine = np.flatnonzero(of == s)
                rows.append((mine[0], mine[-1] + 1) if len(mine) else (0, 1))
        else:
            step, y = 1.0, np.array([s.middle for s in page.stretches])
            of = np.arange(len(y))
            rows = [(s, s + 1) for s in range(len(y))]
        bands = [page.stretches[s].patches for s in of]
        window = contact.Window(layout, page.case, page.chart, page.volumes, low, high, y, bands)
        if len(window.columns) == 0:
            continue
        ink = window.follow(residues, scratches)
        ends = sorted(layout.sheet_from_drum(x) for x in (window.x.min(), window.x.max()))
        h = p / 5
        grid = Grid(page, ends[0], h, int((ends[1] - ends[0]) / h) + 1)
        optics = Optics(layout, page.case, h)
        density = np.repeat(page.haze(grid.drum).astype(np.float32)[:, None, :], len(y), 1)
        for name, amount in ink.items():
            some = np.flatnonzero(amount.any(1))
            laid = np.zeros((len(y), grid.count), np.float32)
            laid[some] = convolve(window.spread_on(amount[some], grid.drum_edges).astype(np.float32), optics.drop)
            own = page.density(name, laid)
            for s, stretch in enumerate(page.stretches):
                a, b = rows[s]
                own[:, a:b] = page.tinted(own[:, a:b], stretch.patches)
            density += own
        seen = along_smoothed(convolve(optics.reflected(density), optics.lens), rows, step, page.case, p)
        trim = min(1.2, (grid.count * h) / 4)
        out.append(LightPatch(grid, ends[0] + trim, ends[1] - trim, seen.astype(np.float32), y[0], step, rows))
    return out


def along_smoothed(light, rows, step, case, p):
    """Lens and paper along the sheet, within each stretch; its edges are blended where the page is put together."""
    if step >= 1:
        return light
    spread = np.hypot(case["blur_px"] * p, np.hypot(p / 3.5, case["paper_spread_mm"]))
    side = 0.5 * np.exp(-0.5 * (step / spread) ** 2)
    side = side / (1 + 2 * side)
    for a, b in rows:
        if b - a > 2:
            part = light[:, a:b]
            part[:, 1:-1] = (1 - 2 * side) * part[:, 1:-1] + side * (part[:, :-2] + part[:, 2:])
    return light
