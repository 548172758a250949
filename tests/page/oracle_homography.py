"""Homographies by other libraries.

usage: oracle_homography.py FILE   the file holds pairs, one "x y u v" a line
prints OpenCV's least-squares homography and scikit-image's, row by row, each scaled to a last entry of 1
"""

import sys

import cv2
import numpy
from skimage import transform

pairs = numpy.loadtxt(sys.argv[1])
h, _ = cv2.findHomography(pairs[:, :2], pairs[:, 2:], 0)
other = transform.ProjectiveTransform()
assert other.estimate(pairs[:, :2], pairs[:, 2:])
for m in (h, other.params):
    print(*[repr(float(v)) for v in (m / m[2, 2]).flatten()])
