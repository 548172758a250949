"""recolour.py FILE writes the picture in other colour models beside it, as programs do that save scans (Pillow)."""
import os
import sys

from PIL import Image

rgb = Image.open(sys.argv[1]).convert("RGB")


def save(picture, name, **options):
    picture.save(os.path.join(os.path.dirname(sys.argv[1]), name), dpi=(300, 300), **options)


save(rgb.convert("CMYK"), "cmyk.tif")
save(rgb.convert("CMYK"), "cmyk.jpg", quality=97)
save(rgb.quantize(256), "median_cut.png")
save(rgb.quantize(64), "median_cut_64.png")
save(rgb.quantize(256, method=Image.Quantize.FASTOCTREE), "octree.png")
save(rgb.convert("P"), "web.png")
save(rgb.convert("L").convert("1"), "bilevel.png")
save(rgb.convert("L").point(lambda code: code // 16 * 17), "greys_16.png")
save(rgb.convert("L"), "greys.png")
save(rgb.point(lambda code: max(0, min(255, int(1.4 * (code - 40))))), "contrast.png")
