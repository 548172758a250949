"""Ink on the drum around contacts: cells of rows x parts of columns, per ink, followed through the passes in time.

A contact of `case["residue"]` has carriage, contact, x_drum_mm (left end, at home), width_mm and loss, and optionally
y_mm        where along the sheet it touches
section     how much it removes across its width: numbers of at most 1, evenly spaced
along       how its pressure varies in time: seed, flutter_mm, depth, growth_from, stops, begin_pass, begin_mm
by_ink      factors of the loss
last_share  in overprints, the part of the loss that comes off the ink laid last
smear       side, side_mm, side_left, drag, drag_mm, specks, by_ink, seed: where the ink goes that it took
"""
import numpy as np

from machine import printed

MARGIN_MM = 2.5
ROW_MM = 0.17  # step along the sheet where contacts vary


class Window:
    """The cells within reach of one or more contacts, and where they lie."""

    def __init__(self, layout, case, chart, volumes, low, high, rows_mm, bands):
        self.layout, self.case, self.y = layout, case, rows_mm
        self.parts = 3
        place = layout.middle()
        near = np.flatnonzero((place > low) & (place < high))
        self.columns = np.arange(near[0], near[-1] + 1) if len(near) else near
        within = (np.arange(self.parts) + 0.5) / self.parts - 0.5
        self.step = layout.px / self.parts
        self.x = (place[self.columns][:, None] + within * layout.px).ravel()
        # The forward model counts a contact by the column's middle; real crumbs do not know where columns begin.
        self.met = self.x if case["within_columns"] else np.repeat(place[self.columns], self.parts)
        each = lambda values: np.repeat(values[self.columns], self.parts)
        self.passes, self.head = each(layout.passes), each(layout.head)
        self.order = case["ink_order"] or list(layout.inks)
        self.volume = np.stack([each(volumes[ink]) for ink in self.order]).astype(np.float32)
        self.wanted = np.zeros((len(self.order), len(rows_mm), len(self.x)), np.float32)
        for r, patches in enumerate(bands):
            for patch in patches:
                where = each(printed(layout, patch))
                for ink in patch["inks"]:
                    self.wanted[self.order.index(ink), r] += where
        self.ink = np.zeros_like(self.wanted)
        self.later = {}

    def lay(self, carriage, k):
        on = np.array([h["carriage"] == carriage for h in self.layout.heads] + [False])[self.head]
        own = np.flatnonzero(on & (self.passes == k))
        self.ink[:, :, own] += self.volume[:, None, own] * self.wanted[:, :, own]

    def touch(self, residue, k, pressure):
        into = self.met - residue["x_drum_mm"] - self.layout.contact_steps(residue["carriage"])[k] * self.layout.px
        under = np.flatnonzero((into >= 0) & (into < residue["width_mm"]))
        if len(under) == 0:
            return
        strength = np.full(len(under), residue["loss"])
        if "section" in residue:
            knots = np.linspace(0, residue["width_mm"], len(residue["section"]))
            strength = strength * np.interp(into[under], knots, residue["section"])
        if self.case["taper_mm"] > 0:
            ends = np.minimum(into[under], residue["width_mm"] - into[under])
            strength = strength * np.clip(ends / min(self.case["taper_mm"], residue["width_mm"] / 2), 0, 1)
        by_ink = np.array([residue.get("by_ink", {}).get(ink, 1.0) for ink in self.order])
        part = np.clip(by_ink[:, None, None] * pressure[None, :, None] * strength, 0, 0.995).astype(np.float32)
        there = self.ink[:, :, under]
        taken = there * part
        if residue.get("last_share", 0) > 0:
            taken = from_the_last(there, taken, residue["last_share"])
        self.ink[:, :, under] = there - taken
        if "smear" in residue:
            self.push(residue["smear"], taken, under, k)

    def push(self, smear, taken, under, k):
        by_ink = np.array([smear["by_ink"].get(ink, 1.0) for ink in self.order], np.float32)[:, None, None]
        pile = smear["side"] * by_ink[:, :, 0] * taken.sum(2)
        low, high = self.x[under[0]], self.x[under[-1]]
        beside = np.maximum(low - self.x, self.x - high)
        weight = np.where(beside > 0, np.exp(-np.maximum(beside, 0) / smear["side_mm"]), 0)
        wet = weight * (self.passes == k)
        weight = wet if wet.sum() > 0 else weight
        left = self.x < low
        for side, share in ((left, smear["side_left"]), (~left, 1 - smear["side_left"])):
            total = (weight * side).sum()
            if total > 0:
                self.ink += (pile * share)[:, :, None] * (weight * side / total).astype(np.float32)
        if len(self.y) > 1:
            step = self.y[1] - self.y[0]
            stay = np.float32(np.exp(-step / smear["drag_mm"]))
            carried = np.zeros_like(taken[:, 0])
            gain = by_ink[:, 0] * np.float32(smear["drag"])
            for r in range(len(self.y)):
                self.ink[:, r, under] += carried * (1 - stay)
                carried = carried * stay + gain * taken[:, r]

    def speckle(self, residue):
        """Crumbs of ink that fall back beside the contact."""
        smear = residue["smear"]
        rng = np.random.default_rng(smear["seed"])
        middle = residue["x_drum_mm"] + residue["width_mm"] / 2
        for _ in range(smear["specks"] if len(self.y) > 1 else 0):
            x = middle + rng.normal(0, 0.5 + residue["width_mm"] / 2)
            r = int(rng.integers(len(self.y)))
            size, amount = rng.uniform(0.04, 0.16), rng.uniform(0.1, 0.6)
            near = np.abs(self.x - x) < size
            tall = max(1, round(size / ROW_MM))
            self.ink[:, r:r + tall, near] += amount * (self.ink[:, r:r + tall].max(2) > 0)[:, :, None]

    def rub(self, scratch):
        into = self.x - scratch["x_drum_mm"]
        under = np.flatnonzero((into >= 0) & (into < scratch["width_mm"]))
        low, high = scratch.get("y_mm", (-np.inf, np.inf))
        rows = np.flatnonzero((self.y >= low) & (self.y < high))
        self.ink[:, rows[:, None], under] *= 1 - scratch["loss"]

    def follow(self, residues, scratches):
        """All passes in the order of time; amounts of ink per cell come back."""
        carriages = sorted(self.layout.carriages, key=lambda name: self.layout.carriages[name]["angle"])
        pressures = [pressure_in_time(self.layout, r, self.y) for r in residues]
        for k in range(len(self.layout.shift)):
            for carriage in carriages:
                for contact in ("upstream", None, "downstream"):
                    if contact is None:
                        self.lay(carriage, k)
                        continue
                    for residue, pressure in zip(residues, pressures):
                        if residue["carriage"] == carriage and residue["contact"] == contact:
                            self.touch(residue, k, pressure[k])
        for residue in residues:
            if "smear" in residue:
                self.speckle(residue)
        for scratch in scratches:
            self.rub(scratch)
        return dict(zip(self.order, self.ink))

    def spread_on(self, amount, drum_edges):
        """Amounts per cell as ink per sample between the edges, exact by area."""
        offset = self.layout.offset()[self.columns]
        out = np.zeros((amount.shape[0], len(drum_edges) - 1))
        for value in np.unique(offset):
            cells = np.repeat(offset == value, self.parts)
            first = self.columns[0] * self.layout.px + value
            total = np.concatenate([np.zeros((amount.shape[0], 1)), np.cumsum(amount * cells, 1)], 1) * self.step
            # Cells of other groups count as empty; gaps in the column numbers do not occur within a group's run.
            place = np.clip((drum_edges - first) / self.step, 0, total.shape[1] - 1.001)
            index = place.astype(int)
            at = total[:, index] * (1 - (place - index)) + total[:, index + 1] * (place - index)
            out += np.abs(np.diff(at, axis=1))
        return out / np.abs(np.diff(drum_edges))


def from_the_last(there, taken, share):
    """The same total, most of it off the uppermost ink."""
    total = taken.sum(0)
    several = (there > 0).sum(0) > 1
    out = np.where(several, (1 - share) * taken, taken)
    owed = np.where(several, share * total, 0)
    for i in range(len(there) - 1, -1, -1):
        more = np.minimum(np.maximum(there[i] - out[i], 0), owed)
        out[i] += more
        owed = owed - more
    return out


def pressure_in_time(layout, residue, y):
    """pressure[k, row]: 0 to 1. Time runs on from pass to pass: one turn of the drum after the other."""
    passes = len(layout.shift)
    out = np.ones((passes, len(y)))
    along = residue.get("along")
    if along:
        rng = np.random.default_rng(along["seed"])
        time = np.arange(passes)[:, None] * layout.round_mm + y[None, :]
        if "flutter_mm" in along:
            out *= 1 - along["depth"] * 0.5 * (1 + flutter(rng, along["flutter_mm"], time))
        if "growth_from" in along:
            steps = np.concatenate([[0], np.cumsum(rng.gamma(0.6, 1.0, 60))])
            grown = along["growth_from"] + (1 - along["growth_from"]) * steps / steps[-1]
            out *= np.interp(y, np.linspace(y[0], y[-1] + 1e-9, 61), grown)
        for a, b in along.get("stops", []):
            out *= 1 - (np.clip((y - a) / 0.8, 0, 1) * np.clip((b - y) / 0.8, 0, 1))
        if "begin_pass" in along:
            out[:along["begin_pass"]] = 0
            if along["begin_pass"] < passes:
                out[along["begin_pass"]] *= y >= along["begin_mm"]
    low, high = residue.get("y_mm", (-np.inf, np.inf))
    return out * ((y >= low) & (y < high))


def flutter(rng, period_mm, time):
    """Noise of a narrow band around one period, within -1 and 1: its phase wanders from turn to turn."""
    step = period_mm / 12
    count = int(time.max() / step) + 16
    f = np.fft.rfftfreq(count, step)
    band = np.exp(-0.5 * ((f - 1 / period_mm) / (0.12 / period_mm)) ** 2)
    noise = np.fft.irfft(np.fft.rfft(rng.standard_normal(count)) * band, count)
    return np.interp(time, np.arange(count) * step, np.clip(noise / (1.6 * noise.std()), -1, 1))


def windows(layout, case):
    """Reaches of the contacts and scratches on the drum, those that meet joined: [low, high, residues, scratches]."""
    found = []
    for residue in case["residue"]:
        steps = layout.contact_steps(residue["carriage"]) * layout.px
        found.append([residue["x_drum_mm"] + steps.min() - MARGIN_MM,
                      residue["x_drum_mm"] + residue["width_mm"] + steps.max() + MARGIN_MM, [residue], []])
    for scratch in case["scratch"]:
        found.append([scratch["x_drum_mm"] - MARGIN_MM, scratch["x_drum_mm"] + scratch["width_mm"] + MARGIN_MM, [],
                      [scratch]])
    found.sort(key=lambda w: w[0])
    joined = []
    for window in found:
        if joined and window[0] < joined[-1][1]:
            joined[-1] = [joined[-1][0], max(joined[-1][1], window[1]), joined[-1][2] + window[2],
                          joined[-1][3] + window[3]]
        else:
            joined.append(window)
    return joined


def varies(residues):
    return any("along" in r or "smear" in r for r in residues)
