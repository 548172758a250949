"""Scans as other programs store them (Pillow, img2pdf).

turned_files.py turns SCAN FOLDER: 1.tif to 8.tif and 1.jpg to 8.jpg, turned and mirrored with the orientation tag that says
how to undo it (Exif 2.32, tag 274), so that Pillow's own reading of each is the scan.
turned_files.py pages FOLDER SCAN...: pages.tif and pages.pdf, a page for each scan.
"""
import sys

import img2pdf
from PIL import Image, ImageChops, ImageOps

ORIENTATION = 274
# What a program does to an upright picture so that a reader who follows the tag undoes it.
STORED = {1: None, 2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180, 4: Image.Transpose.FLIP_TOP_BOTTOM,
          5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE,
          8: Image.Transpose.ROTATE_270}


def turns(scan, folder):
    upright = Image.open(scan).convert("RGB")
    dpi = Image.open(scan).info["dpi"]
    for tag, method in STORED.items():
        stored = upright if method is None else upright.transpose(method)
        exif = Image.Exif()
        exif[ORIENTATION] = tag
        stored.save(f"{folder}/{tag}.tif", dpi=dpi, tiffinfo={ORIENTATION: tag})
        stored.save(f"{folder}/{tag}.jpg", dpi=dpi, quality=97, subsampling=0, exif=exif)
        # Pillow's TIFF reader follows the tag by itself; for others ImageOps does.
        undone = Image.open(f"{folder}/{tag}.tif").convert("RGB")
        undone_too = ImageOps.exif_transpose(Image.open(f"{folder}/{tag}.jpg")).convert("RGB")
        if undone.size != upright.size or ImageChops.difference(undone, upright).getbbox():
            sys.exit(f"Pillow reads {tag}.tif otherwise")
        if undone_too.size != upright.size or max(high for _, high in ImageChops.difference(undone_too, upright).getextrema()) > 60:
            sys.exit(f"Pillow reads {tag}.jpg otherwise")


def pages(folder, *scans):
    pictures = [Image.open(scan).convert("RGB") for scan in scans]
    dpi = Image.open(scans[0]).info["dpi"]
    pictures[0].save(f"{folder}/pages.tif", save_all=True, append_images=pictures[1:], dpi=dpi, compression="tiff_lzw")
    with open(f"{folder}/pages.pdf", "wb") as out:
        out.write(img2pdf.convert(*scans))


{"turns": turns, "pages": pages}[sys.argv[1]](*sys.argv[2:])
