"""What the scanner does to light: where its sensors stand, its lamp, noise, tone and sharpening.

`case["device"]`: gamma, black, white (contrast stretched: light that becomes 0 and 255), sharpen, sharpen_times (passes
of a blur of three), fringe_px (red and blue beside green), joints_px (sensors beside their place), joints, wobble_mm,
wobble_period_mm, seed.
"""
import numpy as np


def srgb_table():
    light = np.arange(65536) / 65535.0
    code = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(code * 255).astype(np.uint8)


class Device:
    def __init__(self, case, rows, columns, p, rng):
        self.case, self.own = case, case["device"]
        self.rows, self.columns, self.p = rows, columns, p
        u = (np.arange(columns, dtype=np.float32) + 0.5) / columns
        gain = 1 + case["column_gain"] * rng.standard_normal((3, columns)).astype(np.float32)
        tilt = case["light_tilt"]
        self.lamp = gain * (1 + tilt[0] * (u - 0.5) + tilt[2] * (0.25 - (2 * u - 1) ** 2))
        self.table = self._tone()

    def _tone(self):
        if not self.own or not self.own.get("gamma"):
            return srgb_table()
        light = np.arange(65536) / 65535.0
        black, white = self.own["black"], self.own["white"]
        return np.round(255 * np.clip((light - black) / (white - black), 0, 1) ** (1 / self.own["gamma"])).astype(np.uint8)

    def places(self):
        """Pixel centres across as the sensors really stand, and how far each scan row slips (mm)."""
        u, slip = np.arange(self.columns) + 0.5, np.zeros(self.rows)
        if self.own:
            rng = np.random.default_rng(self.own["seed"])
            if self.own.get("joints"):
                ends = np.sort(rng.uniform(0, self.columns, self.own["joints"]))
                steps = np.concatenate([[0], rng.choice([-1, 1], len(ends)) * self.own["joints_px"]])
                steps[2:] -= steps[1:-1] * (rng.random(len(ends) - 1) < 0.6)  # most stand beside the bar, not each other
                u = u + np.cumsum(steps)[np.searchsorted(ends, u)]
            if self.own.get("wobble_mm"):
                step = self.own["wobble_period_mm"] / 4
                n = int(self.rows * self.p / step) + 8
                wave = np.convolve(rng.standard_normal(n + 4), [0.25, 0.5, 0.25], "valid")
                slip = smooth_at(wave / max(np.abs(wave).max(), 1e-9), np.arange(self.rows) * self.p / step) \
                    * self.own["wobble_mm"] / 2
        return u.astype(np.float64), slip

    def fringes(self):
        """How far red, green and blue stand aside, in pixels."""
        return (np.array([1, 0, -1]) * self.own.get("fringe_px", 0.0)) if self.own else np.zeros(3)

    def expose(self, light, rng, factor):
        """light [3, rows, columns] into 8 bits [rows, columns, 3]."""
        light *= self.lamp[:, None, :]
        light *= factor
        np.maximum(light, 0, out=light)
        noise = rng.standard_normal(light.shape, np.float32)
        noise *= np.sqrt(np.float32(self.case["read"] ** 2) + np.float32(self.case["shot"] ** 2) * light)
        light += noise
        light *= 65535
        light += 0.5
        np.clip(light, 0, 65535, out=light)
        return np.take(self.table, light.astype(np.uint16)).transpose(1, 2, 0)

    def sharpened(self, image):
        """What a driver adds: the difference from its own blur."""
        if not self.own or not self.own.get("sharpen"):
            return image
        out, more = image.copy(), np.float32(self.own["sharpen"])
        for row in range(0, len(image), 128):
            above, below = max(0, row - 2), min(len(image), row + 130)
            part = image[above:below].astype(np.float32)
            blurred = part
            for _ in range(self.own["sharpen_times"]):
                blurred = np.pad(blurred, ((1, 1), (1, 1), (0, 0)), "edge")
                blurred = (blurred[:-2] + 2 * blurred[1:-1] + blurred[2:]) * np.float32(0.25)
                blurred = (blurred[:, :-2] + 2 * blurred[:, 1:-1] + blurred[:, 2:]) * np.float32(0.25)
            sharp = np.clip(part + more * (part - blurred) + 0.5, 0, 255).astype(np.uint8)
            out[row:row + 128] = sharp[row - above:row - above + 128]
        return out


def smooth_at(values, place):
    """Values at whole places, joined by half cosines."""
    i = np.clip(place.astype(int), 0, len(values) - 2)
    t = 0.5 - 0.5 * np.cos(np.pi * (place - i))
    return values[i] * (1 - t) + values[i + 1] * t
