"""Image files as other programs write them (Pillow, img2pdf), and what Pillow itself reads from a file.

make_files.py KIND FOLDER writes the files of one kind; make_files.py read FILE prints Pillow's mean sRGB codes of
nine cells of the picture, upright, row by row.
"""
import sys

import img2pdf
import numpy
from PIL import Image, ImageCms, ImageOps

X_RESOLUTION, Y_RESOLUTION, RESOLUTION_UNIT, ORIENTATION = 0x011A, 0x011B, 0x0128, 0x0112


def picture(width=240, height=330):
    """Soft gradients, unlike in every corner."""
    v, u = numpy.mgrid[0:height, 0:width]
    bands = [127 + 90 * numpy.sin(0.02 * (u + 40 * b)) + 30 * numpy.cos(0.013 * v + b) for b in range(3)]
    return Image.fromarray(numpy.stack(bands, axis=2).clip(0, 255).astype("uint8"))


def exif(x_dpi=None, orientation=None):
    data = Image.Exif()
    if x_dpi:
        data[X_RESOLUTION] = data[Y_RESOLUTION] = x_dpi
        data[RESOLUTION_UNIT] = 2
    if orientation:
        data[ORIENTATION] = orientation
    return data


def densities(folder):
    for name, dpi in (("agree", 300.0), ("contradict", 600.0), ("placeholder", 72.0)):
        picture().save(f"{folder}/{name}.jpg", dpi=(300, 300), exif=exif(dpi))


def units(folder):
    picture().save(f"{folder}/inch.tif", tiffinfo={282: 300.0, 283: 300.0, 296: 2})
    picture().save(f"{folder}/centimetre.tif", tiffinfo={282: 118.11, 283: 118.11, 296: 3})
    picture().save(f"{folder}/no_unit.tif", tiffinfo={282: 300.0, 283: 300.0, 296: 1})
    picture().save(f"{folder}/no_tag.tif")


def with_black(rgb):
    """CMYK with all that the three colours share moved into black, so that R = (1 - C)(1 - K)."""
    light = numpy.asarray(rgb, dtype=float) / 255
    white = numpy.maximum(light.max(axis=2), 1e-6)
    inks = numpy.dstack([1 - light / white[..., None], 1 - white])
    return Image.frombytes("CMYK", rgb.size, (255 * inks).round().clip(0, 255).astype("uint8").tobytes())


def colours(folder):
    """The same picture in many colour models and codings."""
    rgb = picture()
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    rgb.save(f"{folder}/tagged.tif", icc_profile=srgb.tobytes(), dpi=(300, 300))
    rgb.save(f"{folder}/progressive.jpg", quality=97, subsampling=0, progressive=True, dpi=(300, 300))
    rgb.quantize(256).save(f"{folder}/palette.png", dpi=(300, 300))
    rgb.convert("L").save(f"{folder}/grey.tif", dpi=(300, 300))
    rgb.convert("1").save(f"{folder}/bilevel.tif", compression="group4", dpi=(300, 300))
    rgb.convert("CMYK").save(f"{folder}/cmyk.jpg", quality=97, dpi=(300, 300))
    rgb.convert("CMYK").save(f"{folder}/cmyk.tif", dpi=(300, 300))
    with open(f"{folder}/cmyk.pdf", "wb") as out:
        out.write(img2pdf.convert(f"{folder}/cmyk.jpg"))
    black = with_black(rgb)
    black.save(f"{folder}/cmyk_black.jpg", quality=97, dpi=(300, 300))
    black.save(f"{folder}/cmyk_black.tif", dpi=(300, 300))
    rgb.point(lambda code: 255 - (255 - code) // 4).convert("CMYK").save(f"{folder}/cmyk_pale.tif", dpi=(300, 300))
    for coding in ("tiff_lzw", "tiff_adobe_deflate", "packbits", "jpeg"):
        rgb.save(f"{folder}/{coding}.tif", compression=coding, dpi=(300, 300), **({"quality": 97} if coding == "jpeg" else {}))
    lab = ImageCms.createProfile("LAB")
    to_lab = ImageCms.buildTransform(srgb, lab, "RGB", "LAB")
    ImageCms.applyTransform(rgb, to_lab).save(f"{folder}/lab.tif", dpi=(300, 300))


def turned(folder):
    """The picture stored eight ways, each with the tag that makes it upright again."""
    for orientation in range(1, 9):
        # exif_transpose of a picture tagged with the inverse turn stores it that way round.
        inverse = {6: 8, 8: 6}.get(orientation, orientation)
        upright = picture()
        upright.getexif()[ORIENTATION] = inverse
        stored = ImageOps.exif_transpose(upright)
        stored.save(f"{folder}/turned{orientation}.jpg", quality=97, subsampling=0, dpi=(300, 300),
                    exif=exif(orientation=orientation))


def pages(folder):
    """Several pages in one file; the second of preview.tif is a smaller copy of its first."""
    first, second = picture(), ImageOps.mirror(picture())
    first.save(f"{folder}/two.tif", save_all=True, append_images=[second], dpi=(300, 300))
    first.save(f"{folder}/preview.tif", save_all=True, append_images=[first.resize((60, 82))], dpi=(300, 300))


def documents(folder):
    """PDFs as scanning programs make them: the picture fills the page."""
    rgb = picture()
    rgb.save(f"{folder}/a.png", dpi=(300, 300))
    rgb.save(f"{folder}/a.jpg", quality=97, subsampling=0, dpi=(300, 300))
    rgb.convert("1").save(f"{folder}/a1.png", dpi=(300, 300))
    for name, files in (("flate", ["a.png"]), ("dct", ["a.jpg"]), ("bilevel", ["a1.png"]), ("two", ["a.jpg", "a.png"])):
        with open(f"{folder}/{name}.pdf", "wb") as out:
            out.write(img2pdf.convert([f"{folder}/{f}" for f in files]))
    for turn in (90, 180, 270):
        with open(f"{folder}/dct{turn}.pdf", "wb") as out:
            out.write(img2pdf.convert(f"{folder}/a.jpg", rotation=getattr(img2pdf.Rotation, str(turn))))
    # Set in from the page's corner by what is no whole number of pixels.
    a4 = (img2pdf.mm_to_pt(60), img2pdf.mm_to_pt(80))
    layout = img2pdf.get_layout_fun(a4)
    with open(f"{folder}/inset.pdf", "wb") as out:
        out.write(img2pdf.convert(f"{folder}/a.png", layout_fun=layout))


def read(path):
    image = ImageOps.exif_transpose(Image.open(path))
    if image.mode != "RGB":
        image = image.convert("RGB")
    cells = numpy.asarray(image, dtype=float)
    for rows in numpy.array_split(cells, 3):
        for cell in numpy.array_split(rows, 3, axis=1):
            print(*cell.mean(axis=(0, 1)))


if __name__ == "__main__":
    globals()[sys.argv[1]](sys.argv[2])
