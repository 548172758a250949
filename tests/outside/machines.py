"""Machines that no file in the project describes, and charts for them, drawn at random and written as TOML."""
import math
import os

import numpy as np

from machine import Layout, read_chart

INKS = {"cyan": [1.1, 0.33, 0.13], "magenta": [0.17, 1.12, 0.44], "yellow": [0.04, 0.1, 0.97], "black": [1.36, 1.38, 1.4]}


def draw_layout(rng):
    """2 to 6 heads on 1 to 3 carriages, pitch 4 to 20, shifts in arithmetic progression or permuted."""
    dpi = float(rng.choice([300, 360, 400, 600]))
    px = 25.4 / dpi
    pitch = int(rng.integers(4, 21))
    heads, carriages = int(rng.integers(2, 7)), int(rng.integers(1, 4))
    carriages = min(carriages, heads)
    if rng.random() < 0.6:
        steps = [n for n in range(1, 2 * pitch) if math.gcd(n, pitch) == 1 and n * pitch * px < 14]
        step = int(rng.choice(steps))
        shift = [k * step for k in range(pitch)]
    else:
        shift = [int(r) + pitch * int(rng.integers(0, 2)) for r in rng.permutation(pitch)]
        shift = [v - min(shift) for v in shift]
    reach = max(shift)
    wide = float(rng.uniform(200, 330))
    first, total = int(6 / px) + reach, int((wide - 12) / px) - 2 * reach
    each, overlap = total // heads, int(rng.integers(2, 2 * pitch))
    symmetric = rng.random() < 0.5
    cuts = [first + n * each + (0 if symmetric or n == 0 else int(rng.integers(-2 * pitch, 2 * pitch)))
            for n in range(heads)] + [first + heads * each]
    travel = [int(rng.choice([-1, 1])) for _ in range(carriages)]
    if rng.random() < 0.5:
        travel = [travel[0]] * carriages
    used = [n % carriages if rng.random() < 0.85 else int(rng.integers(carriages)) for n in range(heads)]
    used[:carriages] = range(carriages)
    angles = sorted(int(a) for a in rng.choice(np.arange(0, 300, 7), carriages, replace=False))
    lines = ['schema = "scrapetrace.layout/1"', 'name = "Drawn at random"', "[drum]", f"width_mm = {wide:.1f}",
             f"circumference_mm = {rng.uniform(300, 520):.1f}", "[raster]", f"cross_process_dpi = {dpi}",
             f"process_dpi = {dpi}", "[interleave]", f"jet_pitch_px = {pitch}", f"shift_px = {shift}", "[transfer]"]
    mirrored = rng.random() < 0.5
    lines += [f"mirrored = {str(mirrored).lower()}", "scale_cross = 1.0",
              f"sheet_left_on_drum_mm = {wide - 4 if mirrored else 4.0:.1f}"]
    for ink, density in INKS.items():
        lines += ["[[ink]]", f'name = "{ink}"',
                  f"solid_density_rgb = {[round(d * rng.uniform(0.92, 1.08), 3) for d in density]}"]
    for n in range(carriages):
        lines += ["[[carriage]]", f'name = "c{n}"', f"angle_deg = {float(angles[n])}", f"travel = {travel[n]}"]
    for n in range(heads):
        # A head covers the columns between its innermost limits; its neighbour begins some columns before it ends.
        begin, end, way = cuts[n], cuts[n + 1] + overlap, travel[used[n]]
        jet0 = begin - (reach if way > 0 else 0)
        jets = -(-(end - jet0 + (0 if way > 0 else reach)) // pitch) + 1
        lines += ["[[head]]", f'name = "{n + 1}"', f'carriage = "c{used[n]}"', f"first_jet_px = {jet0}", f"jets = {jets}",
                  f"rotated = {str(bool(rng.random() < 0.3)).lower()}"]
    inner, faces, outer = -rng.uniform(1, 5), rng.uniform(3, 8), rng.uniform(10, 16)
    for surface, a, b, prior in (("faceplate", inner, faces, 0.6), ("insulation", faces, outer, 0.4)):
        for side in ("left", "right"):
            lines += ["[[zone]]", f'surface = "{surface}"', f'side = "{side}"', f"from_mm = {a:.1f}", f"to_mm = {b:.1f}",
                      f"prior = {prior * rng.uniform(0.3, 0.7):.2f}", f"effort_min = {rng.uniform(2, 14):.1f}"]
    return "\n".join(lines) + "\n", wide - 8


def draw_chart(rng, wide, long, inked, coverage):
    """Bands of solids and overprints where the machine can print; symmetric both ways, or not."""
    symmetric, mark = rng.random() < 0.5, rng.random() < 0.4
    solids = [[i] for i in rng.permutation(list(INKS))]
    mixed = [["cyan", "magenta"], ["magenta", "yellow"], ["cyan", "yellow"]]
    mixed = [mixed[i] for i in rng.permutation(3)[:rng.integers(0, 4)]]
    bands = solids + mixed
    weights = [1.0] * len(bands) if symmetric else list(rng.uniform(0.6, 1.4, len(bands)))
    margin = max(inked[0], wide - inked[1]) + 0.5
    left, right = margin, margin + (0 if symmetric else rng.uniform(0, 8))
    top, foot, gap = 10.0, 10.0 + (12 if mark else 0), 5.0
    free = long - top - foot - gap * (len(bands) - 1)
    patches, y = [], top
    for inks, weight in zip(bands, weights):
        tall = free * weight / sum(weights)
        patches.append((inks, [left, wide - right], [y, y + tall], coverage))
        y += tall + gap
    if mark:
        patches.append((["black"], [left, left + 11], [long - 19, long - 8], 1.0))
    return chart_text("random bands", [wide, long], patches)


def chart_text(name, size, patches):
    out = [f'schema = "scrapetrace.chart/1"\nname = "{name}"\nsheet_mm = [{size[0]:.1f}, {size[1]:.1f}]']
    for inks, x, y, coverage in patches:
        names = ", ".join(f'"{i}"' for i in inks)
        out.append(f"[[patch]]\ninks = [{names}]\nx_mm = [{x[0]:.2f}, {x[1]:.2f}]\ny_mm = [{y[0]:.2f}, {y[1]:.2f}]\n"
                   f"coverage = {coverage:.3f}")
    return "\n".join(out) + "\n"


def shorter(path, share, coverage):
    """A chart of the project on a part of its length."""
    chart = read_chart(path)
    patches = [(p["inks"], p["x_mm"], [y * share for y in p["y_mm"]], p["coverage"] * coverage) for p in chart["patch"]]
    return chart_text(chart["name"] + ", shortened", [chart["sheet_mm"][0], chart["sheet_mm"][1] * share], patches)


def printable(layout):
    """Sheet mm between the outermost columns that have a jet."""
    owned = np.flatnonzero(layout.head >= 0)
    return sorted(float(layout.sheet_from_drum(c * layout.px)) for c in (owned[0], owned[-1] + 1))


def machine_files(rng, root, folder, shipped, coverage=1.0):
    """Paths of layout and chart, written to folder; coverage leaves the draws as they are."""
    os.makedirs(folder, exist_ok=True)
    chart_path = os.path.join(folder, "chart.toml")
    if rng.random() < shipped:
        name = str(rng.choice(["hobdrel", "quennip", "tavvick"]))
        layout = os.path.join(root, "geometry", name + ".toml")
        text = shorter(os.path.join(root, "geometry", "charts", name + "_bands.toml"), 0.5, coverage)
    else:
        text, wide = draw_layout(rng)
        layout = os.path.join(folder, "layout.toml")
        with open(layout, "w") as file:
            file.write(text)
        text = draw_chart(rng, wide, float(rng.uniform(150, 225)), printable(Layout(layout)), coverage)
    with open(chart_path, "w") as file:
        file.write(text)
    return layout, chart_path
