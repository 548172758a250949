"""PNGs by hand, by Python's zlib, as any encoder might write them (PNG Specification, third edition).

make_pngs.py good FOLDER writes whole files of every kind that is read directly; make_pngs.py bad FOLDER writes files
that no decoder may take for whole ones; make_pngs.py chunks FOLDER those with other chunks before the pixels.
"""
import itertools
import random
import struct
import sys
import zlib

FILTERS = (0, 1, 2, 3, 4)


def chunk(kind, data=b"", crc=None):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data) if crc is None else crc)


def header(width, height, bits, colour, interlace=0):
    return chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, interlace))


def samples(width, height, pixel, seed=5):
    """Rows of soft gradients with noise, and stretches of nought and of 255."""
    dice = random.Random(seed)
    rows = []
    for v in range(height):
        row = bytearray((3 * u // pixel + 2 * v + 50 * (u % pixel) + dice.randrange(12)) & 255 for u in range(width * pixel))
        if v % 7 == 3:
            row[: len(row) // 2] = bytes(dice.choice((0, 255)) for _ in range(len(row) // 2))
        rows.append(bytes(row))
    return rows


def paeth(a, b, c):
    p = a + b - c
    pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
    return a if pa <= pb and pa <= pc else b if pb <= pc else c


def filtered(rows, pixel, kind_of_row):
    out = bytearray()
    above = bytes(len(rows[0]))
    for v, row in enumerate(rows):
        kind = kind_of_row(v)
        out.append(kind)
        for i, x in enumerate(row):
            a, b, c = (row[i - pixel] if i >= pixel else 0), above[i], (above[i - pixel] if i >= pixel else 0)
            out.append((x - (0, a, b, (a + b) // 2, paeth(a, b, c))[kind]) & 255)
        above = row
    return bytes(out)


def deflated(data, level=6, strategy=zlib.Z_DEFAULT_STRATEGY, window=15):
    coder = zlib.compressobj(level, zlib.DEFLATED, window, 8, strategy)
    return coder.compress(data) + coder.flush()


def in_chunks(stream, size):
    return b"".join(chunk(b"IDAT", stream[k : k + size]) for k in range(0, len(stream), size))


def png(width, height, bits, colour, stream, size=8192, before=b"", after=b""):
    return (b"\x89PNG\r\n\x1a\n" + header(width, height, bits, colour) + before + in_chunks(stream, size) + after +
            chunk(b"IEND"))


def good(folder):
    def write(name, data):
        with open(f"{folder}/{name}.png", "wb") as out:
            out.write(data)

    for bits, colour in itertools.product((8, 16), (0, 2)):
        pixel = (1 if colour == 0 else 3) * bits // 8
        for kind in FILTERS:
            rows = samples(37, 29, pixel)
            write(f"filter{kind}_{bits}_{colour}", png(37, 29, bits, colour, deflated(filtered(rows, pixel, lambda v: kind))))
        dice = random.Random(7)
        for width, height in ((1, 1), (1, 90), (2, 5), (3, 200), (90, 1), (1500, 40)):
            data = filtered(samples(width, height, pixel), pixel, lambda v: dice.choice(FILTERS))
            write(f"mixed_{width}x{height}_{bits}_{colour}", png(width, height, bits, colour, deflated(data)))
    data = filtered(samples(301, 120, 3), 3, lambda v: v % 5)
    for level, strategy in itertools.product((0, 1, 9), (zlib.Z_DEFAULT_STRATEGY, zlib.Z_FIXED, zlib.Z_HUFFMAN_ONLY, zlib.Z_RLE)):
        write(f"coder_{level}_{strategy}", png(301, 120, 8, 2, deflated(data, level, strategy)))
    for window in (9, 12):
        write(f"window_{window}", png(301, 120, 8, 2, deflated(data, 6, window=window)))
    for size in (1, 2, 13, 1000, 70000, 10**9):
        write(f"chunks_{size}", png(301, 120, 8, 2, deflated(data), size))
    flat = bytes(1 + 3 * 400) * 300  # inflates to far more than it is stored as
    write("flat", png(400, 300, 8, 2, deflated(flat)))
    more = chunk(b"tEXt", b"Comment\0" + bytes(range(32, 127)) * 4000)
    write("words", png(301, 120, 8, 2, deflated(data), before=more, after=more))
    write("empty_chunks", png(301, 120, 8, 2, deflated(data), before=chunk(b"IDAT"), after=chunk(b"IDAT")))
    write("more_behind", png(301, 120, 8, 2, deflated(data)) + b"and whatever")


def chunks(folder):
    """Small files with chunks before the pixels: plain ones say nothing but size, layout and resolution."""
    stream = deflated(filtered(samples(20, 30, 3), 3, lambda v: 0))

    def physical(across, along, unit=1):
        return chunk(b"pHYs", struct.pack(">IIB", across, along, unit))

    profile = chunk(b"iCCP", b"some\0\0" + deflated(bytes(200)))
    exif = chunk(b"eXIf", b"II*\0\x08\0\0\0\0\0\0\0\0\0")
    primaries = chunk(b"cHRM", struct.pack(">8I", 31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000))
    text = chunk(b"tEXt", b"Software\0a scanner's program")
    gamma, space = chunk(b"gAMA", struct.pack(">I", 45455)), chunk(b"sRGB", b"\0")
    for name, before in {
        "plain": b"", "plain_300": physical(11811, 11811), "plain_odd": physical(11811, 23622), "plain_0": physical(0, 0),
        "plain_huge": physical(0x7FFFFFFF, 1), "plain_72": physical(2835, 2835), "plain_srgb": space, "plain_gamma": gamma,
        "plain_colours": gamma + primaries + space + physical(11811, 11811), "plain_linear": chunk(b"gAMA", struct.pack(">I", 100000)),
        "plain_words": text * 16, "plain_time": chunk(b"tIME", bytes((7, 232, 1, 2, 3, 4, 5))) + physical(11811, 11811),
        "no_unit": physical(300, 300, 0), "unit_2": physical(300, 300, 2), "beyond": physical(0x80000000, 5),
        "twice": physical(11811, 11811) + physical(23622, 23622), "short": chunk(b"pHYs", bytes(8)),
        "profile": profile, "exif": exif, "many_words": text * 25, "palette": chunk(b"PLTE", bytes(30)),
        "background": chunk(b"bKGD", bytes(6)), "unknown": chunk(b"abCd", b"1"), "long_srgb": chunk(b"sRGB", b"\0\0"),
        "clear": chunk(b"tRNS", bytes(6)), "packed_words": chunk(b"zTXt", b"a\0\0" + deflated(b"b")),
        "sum": physical(11811, 11811)[:-1] + b"\0",
    }.items():
        with open(f"{folder}/{name}.png", "wb") as out:
            out.write(png(20, 30, 8, 2, stream, before=before))


def bad(folder):
    width, height = 301, 120
    rows = samples(width, height, 3)
    data = filtered(rows, 3, lambda v: v % 5)
    stream = deflated(data)
    start = b"\x89PNG\r\n\x1a\n" + header(width, height, 8, 2)
    whole = png(width, height, 8, 2, stream, 1000)
    middle = len(stream) // 2

    def write(name, content):
        with open(f"{folder}/{name}.png", "wb") as out:
            out.write(content)

    write("sum_of_chunk", start + in_chunks(stream[:middle], 1000) + chunk(b"IDAT", stream[middle:], crc=1) + chunk(b"IEND"))
    write("sum_of_stream", png(width, height, 8, 2, stream[:-1] + bytes([stream[-1] ^ 1])))
    write("no_sum_of_stream", png(width, height, 8, 2, stream[:-4]))
    write("half_a_stream", png(width, height, 8, 2, stream[:middle]))
    write("too_few_rows", png(width, height, 8, 2, deflated(data[: -3 * width])))
    write("a_byte_short", png(width, height, 8, 2, deflated(data[:-1])))
    write("filter_5", png(width, height, 8, 2, deflated(data[: 50 * (1 + 3 * width)] + b"\5" + data[50 * (1 + 3 * width) + 1 :])))
    write("wrong_bits", png(width, height, 8, 2, stream[:middle] + bytes(b ^ 0x55 for b in stream[middle : middle + 40]) + stream[middle + 40 :]))
    write("not_deflate", png(width, height, 8, 2, b"\x79" + stream[1:]))
    write("dictionary", png(width, height, 8, 2, b"\x78\xbb" + bytes(4) + stream[2:]))
    write("far_back", png(width, height, 8, 2, b"\x78\x9c\x63\x00\x82\xff\xff\xff\xff" + stream[9:]))
    write("interrupted", start + in_chunks(stream[:middle], 1000) + chunk(b"tEXt", b"a\0b") + in_chunks(stream[middle:], 1000) + chunk(b"IEND"))
    write("interrupted_by_unknown", start + in_chunks(stream[:middle], 1000) + chunk(b"CRIT", b"ab") + in_chunks(stream[middle:], 1000) + chunk(b"IEND"))
    write("long_chunk", start + struct.pack(">I", 0x7FFFFFFF) + b"IDAT" + stream)
    write("longer_chunk", start + struct.pack(">I", 0xFFFFFFF0) + b"IDAT" + stream)
    write("no_letters", start + in_chunks(stream[:middle], 1000) + chunk(b"\0\0\0\0", b"ab") + in_chunks(stream[middle:], 1000))
    write("no_end", whole[:-12])
    for cut in (45, 300, len(whole) // 2, len(whole) - 900, len(whole) - 60):
        write(f"cut_{cut}", whole[:cut])


if __name__ == "__main__":
    globals()[sys.argv[1]](sys.argv[2])
