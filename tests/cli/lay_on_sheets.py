"""Lays an installed package's pictures on sheets, as a scanner at 200 dpi would give them.

lay_on_sheets.py OUT: from python3-skimage's data (photographs, textures, pages of text), used where they are.
"""
import pathlib
import sys

import skimage
from PIL import Image

NAMES = ["astronaut.png", "coffee.png", "chelsea.png", "page.png", "text.png", "brick.png", "gravel.png", "retina.jpg",
         "hubble_deep_field.jpg", "coins.png", "camera.png"]
PHONE = ["coffee.png", "page.png", "brick.png"]
SHEET = (1654, 2339)
WIDTH = 1500

folder = pathlib.Path(skimage.__file__).parent / "data"
out = pathlib.Path(sys.argv[1])
for name in NAMES:
    picture = Image.open(folder / name).convert("RGB")
    height = min(2200, round(picture.height * WIDTH / picture.width))
    picture = picture.resize((WIDTH, height), Image.BICUBIC)
    sheet = Image.new("RGB", SHEET, (236, 236, 234))
    sheet.paste(picture, ((SHEET[0] - WIDTH) // 2, (SHEET[1] - height) // 2))
    sheet.save(out / (pathlib.Path(name).stem + ".png"), dpi=(200, 200))
    if name in PHONE:
        # As a phone gives them: large, and without a resolution that means anything.
        picture.resize((3000, 4000), Image.BICUBIC).save(out / ("phone_" + pathlib.Path(name).stem + ".jpg"),
                                                         quality=92, dpi=(72, 72))
Image.new("RGB", SHEET, (236, 236, 234)).save(out / "plain_paper.png", dpi=(200, 200))
