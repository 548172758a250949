"""What drop, paper and lens make of a profile: kernels in mm, and convolution along the last axis."""
import math

import numpy as np
from scipy import fft


def convolve(profile, kernel):
    """Along the last axis; the profile goes on beyond its ends as it ended."""
    half = len(kernel) // 2
    before = np.repeat(profile[..., :1], half, -1)
    after = np.repeat(profile[..., -1:], half, -1)
    padded = np.concatenate([before, profile, after], -1)
    n = profile.shape[-1]
    if len(kernel) < 12:
        return sum(w * padded[..., 2 * half - i:2 * half - i + n] for i, w in enumerate(kernel))
    size = fft.next_fast_len(padded.shape[-1] + len(kernel), real=True)
    out = fft.irfft(fft.rfft(padded, size) * fft.rfft(kernel.astype(profile.dtype), size), size)
    return out[..., 2 * half:2 * half + n]


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


class Optics:
    """The kernels of one scan on a grid of step h."""

    def __init__(self, layout, case, h):
        self.h = h
        self.lens = lens_kernel(case, 25.4 / case["dpi"], h)
        self.paper = sampled(lambda d: np.exp(-np.abs(d) / case["paper_spread_mm"]), h, 8 * case["paper_spread_mm"])
        spread = max(case["ink_spread_px"] * layout.px, h)
        self.drop = sampled(lambda d: np.maximum(0, 1 - np.abs(d) / spread), h, spread)
        self.white = np.array(case["paper_white"])

    def reflected(self, density):
        """Light passes the ink twice, and wanders in the paper in between (optical dot gain)."""
        through = 10 ** (-density / 2)
        white = self.white.astype(density.dtype).reshape((3,) + (1,) * (density.ndim - 1))
        return through * convolve(through, self.paper) * white

    def edge(self):
        """The light across a straight edge: distances in mm and what has risen there."""
        kernel = np.convolve(self.lens, self.paper)
        return (np.arange(len(kernel)) - len(kernel) // 2 + 0.5) * self.h, np.cumsum(kernel)


class Field:
    """Slow noise over the whole image, kept coarse and enlarged band by band."""

    def __init__(self, rng, width_mm, height_mm, cell_mm, spectrum, spread):
        from PIL import Image
        self.nx, self.ny = int(width_mm / cell_mm) + 8, int(height_mm / cell_mm) + 8
        self.cell = cell_mm
        fx, fy = np.fft.rfftfreq(self.nx, cell_mm), np.fft.fftfreq(self.ny, cell_mm)
        amplitude = np.sqrt(spectrum(np.hypot(fx[None, :], fy[:, None])))
        amplitude[0, 0] = 0
        noise = np.fft.irfft2(np.fft.rfft2(rng.standard_normal((self.ny, self.nx))) * amplitude, (self.ny, self.nx))
        self.values = (noise * (spread / max(noise.std(), 1e-12))).astype(np.float32)
        self.image = Image.fromarray(self.values, mode="F")
        self.filter = Image.BICUBIC

    def band(self, row, rows, columns, p):
        box = (2.0, 2 + row * p / self.cell, 2 + columns * p / self.cell, 2 + (row + rows) * p / self.cell)
        return np.asarray(self.image.resize((columns, rows), self.filter, box=box))
