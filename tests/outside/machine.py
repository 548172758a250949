"""A machine as its layout file states it, and as it really stands: who lays which column, when, and what touches it."""
import math
import tomllib

import numpy as np


class Layout:
    """Who lays which column, and when.

    `beside` is what the file does not know: `head_mm` (by head: how far it stands to the right of its place) and
    `pass_px` (by carriage: by how many columns each pass lands beside its place).
    """

    def __init__(self, path, beside=None):
        with open(path, "rb") as file:
            raw = tomllib.load(file)
        beside = beside or {}
        self.name = raw["name"]
        self.px = 25.4 / raw["raster"]["cross_process_dpi"]
        self.row_mm = 25.4 / raw["raster"]["process_dpi"]
        self.round_mm = raw["drum"]["circumference_mm"]
        self.pitch = raw["interleave"]["jet_pitch_px"]
        self.shift = raw["interleave"]["shift_px"]
        self.mirrored = raw["transfer"]["mirrored"]
        self.scale = raw["transfer"]["scale_cross"]
        self.sheet_left = raw["transfer"]["sheet_left_on_drum_mm"]
        self.inks = {ink["name"]: np.array(ink["solid_density_rgb"]) for ink in raw["ink"]}
        self.carriages = {}
        for c in raw["carriage"]:
            self.carriages[c["name"]] = {"angle": c["angle_deg"], "offset": c.get("offset_mm", 0.0),
                                         "steps": [c.get("travel", 1) * s for s in self.shift],
                                         "slips": beside.get("pass_px", {}).get(c["name"], [0] * len(self.shift))}
        self.heads = raw["head"]
        self.zones = raw["zone"]
        self.head_mm = [beside.get("head_mm", {}).get(h["name"], 0.0) for h in self.heads]
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

    def contact_steps(self, carriage):
        """How far a carriage really stands from home in each pass, in columns."""
        q = self.carriages[carriage]
        return np.array(q["steps"]) + np.array(q["slips"])

    def offset(self):
        """How far each column's ink really lies from its place in the raster."""
        out = np.zeros(self.columns)
        for number, head in enumerate(self.heads):
            q, own = self.carriages[head["carriage"]], self.head == number
            out[own] = q["offset"] + self.head_mm[number] + np.array(q["slips"])[self.passes[own]] * self.px
        return out

    def middle(self):
        return (np.arange(self.columns) + 0.5) * self.px + self.offset()

    def outermost(self, head, side):
        """X of a head's outermost jet on a stencilled side, and the direction of outward on the drum."""
        on_right = (side == "right") != head.get("rotated", False)
        jet = head["jets"] - 1 if on_right else 0
        x = (head["first_jet_px"] + jet * self.pitch + 0.5) * self.px + self.carriages[head["carriage"]]["offset"]
        return x + self.head_mm[self.heads.index(head)], 1.0 if on_right else -1.0

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
        begin = residue["x_drum_mm"] + self.contact_steps(residue["carriage"])[:, None] * self.px
        under = (x >= begin) & (x < begin + residue["width_mm"])
        under[:residue.get("along", {}).get("begin_pass", 0)] = False
        return (under & self.later(residue["carriage"], residue["contact"])).sum(0)


def printed(layout, patch):
    """Columns of a patch. Silent: a column is printed when its middle lies in the patch."""
    x = layout.sheet_from_drum((np.arange(layout.columns) + 0.5) * layout.px)
    return (x >= patch["x_mm"][0]) & (x < patch["x_mm"][1]) & (layout.head >= 0)


def holders(layout, carriage, x):
    """The (head, side, surface) of a carriage whose zones hold drum X."""
    found = []
    for head in layout.heads:
        if head["carriage"] != carriage:
            continue
        for zone in layout.zones:
            outermost, outward = layout.outermost(head, zone["side"])
            if zone["from_mm"] <= (x - outermost) * outward < zone["to_mm"]:
                found.append((head["name"], zone["side"], zone["surface"]))
    return found


def twins(layout, residue, truth, shown):
    """Other targets that draw exactly the same streak on the printed columns."""
    touches = layout.touches(residue)[shown]
    middle = residue["x_drum_mm"] + residue["width_mm"] / 2
    found = set()
    for carriage in layout.carriages:
        for contact in ("upstream", "downstream"):
            other = {**residue, "carriage": carriage, "contact": contact}
            if np.array_equal(layout.touches(other)[shown], touches):
                found |= set(holders(layout, carriage, middle))
    return sorted(found - {tuple(truth)})


def read_chart(path):
    with open(path, "rb") as file:
        return tomllib.load(file)


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
