"""The family's patterns, and where OpenCV sees the tags of a picture.

OpenCV stores this family turned by half a turn: patterns are turned back, and so is the order of the corners.

usage: oracle.py patterns ID...   prints 64 cells per id, rows from the top, 1 for black
       oracle.py corners PGM      prints per tag: id, then four corners x y (top left, clockwise), by id
"""

import sys

import cv2
import numpy

FAMILY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)

if sys.argv[1] == "patterns":
    for tag in sys.argv[2:]:
        cells = cv2.aruco.drawMarker(FAMILY, int(tag), 8)  # one pixel per cell, border of one cell
        print(*[int(v == 0) for v in cells[::-1, ::-1].flatten()])
else:
    parameters = cv2.aruco.DetectorParameters_create()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    parameters.cornerRefinementWinSize = 4
    corners, ids, _ = cv2.aruco.detectMarkers(cv2.imread(sys.argv[2], 0), FAMILY, parameters=parameters)
    for tag, quad in sorted(zip(ids.flatten().tolist(), corners), key=lambda pair: pair[0]):
        # OpenCV's pixel centres lie at whole numbers.
        print(tag, *[repr(float(v) + 0.5) for v in numpy.roll(quad.reshape(4, 2), 2, axis=0).flatten()])
