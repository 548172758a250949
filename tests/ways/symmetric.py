"""Machines and charts of our own invention that do not tell which way round a sheet lies, drawn from seeds.

Shifts in arithmetic progression and heads that stand symmetrically draw the same combs when the sheet is mirrored; a
chart of bands without a mark in a corner looks the same mirrored, and, its bands symmetric too, turned by half. With
`alike` false heads stand and shift so that the jets tell.
"""
import math

import numpy as np

KINDS = {  # heads, carriages
    "four_on_two": (4, 2),
    "three_on_one": (3, 1),
    "two_on_two": (2, 2),
    "four_on_one": (4, 1),
}
INKS = {"cyan": [1.10, 0.32, 0.12], "magenta": [0.16, 1.15, 0.42], "yellow": [0.03, 0.09, 0.95],
        "black": [1.35, 1.38, 1.40]}
SHEET_MM = [110.0, 170.0]
PRINT_MM = 116.0


def unlike(rng, pitch, step):
    """Shifts that hit each residue once, in no arithmetic progression from either end."""
    while True:
        order = rng.permutation(pitch)
        shifts = [int(k) * step for k in order]
        low = min(shifts)
        shifts = [s - low for s in shifts]
        if len(set(np.diff(shifts))) > 2:
            return shifts


def draw_layout(rng, kind, alike):
    heads, carriages = KINDS[kind]
    dpi = float(rng.choice([300, 400, 600]))
    px = 25.4 / dpi
    pitch = int(rng.choice([6, 8, 10, 12]))
    step = int(rng.choice([s for s in range(1, pitch) if math.gcd(s, pitch) == 1 and s * (pitch - 1) < 70]))
    shifts = [k * step for k in range(pitch)]
    reach = max(shifts)
    # Where neighbours stand a whole number of pitches apart or not, all of them do alike.
    apart = int(PRINT_MM / px / heads) + int(rng.integers(pitch))
    jets = (apart + reach) // pitch + 3
    first = int(rng.integers(30, 60))
    begin = [first + k * apart for k in range(heads)]
    number = [jets] * heads
    if not alike:
        if rng.random() < 0.5:
            shifts = unlike(rng, pitch, 1 if step * (pitch - 1) > 40 else step)
        for k in range(1, heads):
            begin[k] -= int(rng.integers(0, pitch)) + k
        number = [(apart + max(shifts)) // pitch + 4 + int(rng.integers(3)) for _ in begin]
    printed = (begin[0] + max(shifts), begin[-1] + (number[-1] - 1) * pitch)
    middle_mm = 0.5 * (printed[0] + printed[1] + 1) * px
    mirrored = bool(rng.random() < 0.5)
    left = middle_mm + (SHEET_MM[0] / 2 if mirrored else -SHEET_MM[0] / 2) + float(rng.normal(0, 0.3))
    stagger = [k % carriages for k in range(heads)]
    travel = [1] * carriages if alike or rng.random() < 0.6 else [1, -1][:carriages]
    width_mm = math.ceil((begin[-1] + (number[-1] + 2) * pitch + max(shifts)) * px + 5)
    if travel[-1] < 0:  # as far to the other side
        begin = [b + (max(shifts) if stagger[k] else 0) for k, b in enumerate(begin)]
    zones = [("faceplate", -2.5, 3.5, 0.6, 4.0), ("insulation", 3.5, 9.0, 0.4, 9.0)]
    lines = ['schema = "scrapetrace.layout/1"', f'name = "{kind} {"alike" if alike else "unlike"}"', "[drum]",
             f"width_mm = {float(width_mm)}", "circumference_mm = 300.0", "[raster]", f"cross_process_dpi = {dpi}",
             f"process_dpi = {dpi}", "[interleave]", f"jet_pitch_px = {pitch}", f"shift_px = {shifts}", "[transfer]",
             f"mirrored = {str(mirrored).lower()}", "scale_cross = 1.0", f"sheet_left_on_drum_mm = {left:.4f}"]
    for name, density in INKS.items():
        lines += ["[[ink]]", f'name = "{name}"', f"solid_density_rgb = {density}"]
    for k in range(carriages):
        lines += ["[[carriage]]", f'name = "{"ab"[k]}"', f"angle_deg = {30.0 + 100 * k}", f"travel = {travel[k]}"]
    for k in range(heads):
        lines += ["[[head]]", f'name = "{k + 1}"', f'carriage = "{"ab"[stagger[k]]}"', f"first_jet_px = {begin[k]}",
                  f"jets = {number[k]}"]
    for surface, near, far, prior, effort in zones:
        for side in ("left", "right"):
            lines += ["[[zone]]", f'surface = "{surface}"', f'side = "{side}"', f"from_mm = {near}", f"to_mm = {far}",
                      f"prior = {prior}", f"effort_min = {effort}"]
    return "\n".join(lines) + "\n"


def draw_chart(rng, turnable, tags=False):
    """Bands from side to side about the sheet's middle. `turnable`: the same end for end."""
    wide, long = SHEET_MM
    side = float(np.round(rng.uniform(3, 5), 2))
    order = list(rng.permutation(list(INKS)))
    bands = [[ink] for ink in order]
    bands += [bands[1], bands[0]] if turnable else [[order[0], order[1]], [order[2], order[0]]]
    if turnable:
        bands = [bands[0], bands[1], bands[2], bands[2], bands[1], bands[0]]
    margin, gap = (18.0 if tags else 8.0), 5.0
    each = (long - 2 * margin - (len(bands) - 1) * gap) / len(bands)
    lines = ['schema = "scrapetrace.chart/1"', f'name = "{"bands end for end" if turnable else "bands"}"',
             f"sheet_mm = [{wide}, {long}]"]
    for k, inks in enumerate(bands):
        y = margin + k * (each + gap)
        lines += ["[[patch]]", f"inks = {str([str(i) for i in inks])}".replace("'", '"'),
                  f"x_mm = [{side}, {wide - side}]", f"y_mm = [{y:.3f}, {y + each:.3f}]", "coverage = 1.0"]
    if tags:
        for k, (x, y) in enumerate([(12, 9), (wide / 2, 9), (wide - 12, 9), (12, long - 9), (wide / 2, long - 9),
                                    (wide - 12, long - 9)]):
            lines += ["[[mark]]", 'kind = "tag"', f"id = {k}", f"center_mm = [{float(x)}, {float(y)}]", "size_mm = 8.0"]
    return "\n".join(lines) + "\n"
