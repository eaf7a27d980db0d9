"""Small files made to swell, to nest or to loop: what they do to a reader is known; they say nothing."""

import io
import struct
import zipfile
import zlib

from damage import one_page, pdf, stream

A_PAGE = b"BT /F 12 Tf 72 700 Td (Seal 4471-208 is replaced by seal 4471-301.) Tj ET"


def zeros_packed(size: int, sign: bytes = b"\0") -> bytes:
    """So many megabytes of one sign, packed once, without packing each megabyte anew."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    piece = packer.compress(sign * (1 << 20)) + packer.flush(zlib.Z_FULL_FLUSH)
    total, low, high = size << 20, 1 + ord(sign) * (size << 20), 0
    high = (total + ord(sign) * total * (total + 1) // 2) % 65521
    return b"\x78\xda" + piece * size + packer.flush() + struct.pack(">I", high << 16 | low % 65521)


def swelling(megabytes: int, times: int) -> bytes:
    """A PDF of one sheet whose content is blanks without end, packed so many times."""
    data = zeros_packed(megabytes, b" ")
    for _ in range(times - 1):
        data = zlib.compress(data, 9)
    names = b"[" + b"/FlateDecode " * times + b"]"
    body = b"<</Length %d/Filter %s>>\nstream\n%s\nendstream" % (len(data), names, data)
    return pdf(one_page(body))


def nested(depth: int) -> bytes:
    """A sheet whose content holds lists within lists."""
    return pdf(one_page(stream(b"[" * depth + b"]" * depth + b" TJ " + A_PAGE)))


def deep_objects(depth: int) -> bytes:
    """A PDF whose own description nests dictionaries."""
    objects = one_page(stream(A_PAGE))
    objects[6] = b"<</A " * depth + b"1" + b">>" * depth
    objects[1] = b"<</Type/Catalog/Pages 2 0 R/Names 6 0 R>>"
    return pdf(objects)


def looping_tree() -> bytes:
    """Page nodes that hold each other."""
    objects = one_page(stream(A_PAGE))
    objects[2] = b"<</Type/Pages/Kids[3 0 R 6 0 R]/Count 2>>"
    objects[6] = b"<</Type/Pages/Kids[2 0 R]/Count 1/Parent 2 0 R>>"
    return pdf(objects)


def no_pages() -> bytes:
    """A sound PDF without a sheet."""
    objects = one_page(stream(A_PAGE))
    objects[2] = b"<</Type/Pages/Kids[]/Count 0>>"
    return pdf(objects)


def many_pages(claimed: int, real: int) -> bytes:
    """A PDF that claims more sheets than it has."""
    objects = one_page(stream(A_PAGE))
    kids = b" ".join(b"3 0 R" for _ in range(real))
    objects[2] = b"<</Type/Pages/Kids[%s]/Count %d>>" % (kids, claimed)
    return pdf(objects)


def boxed(box: bytes) -> bytes:
    """A sheet of a given size."""
    return pdf(one_page(stream(A_PAGE), box))


def forms_in_forms(levels: int, each: int) -> bytes:
    """Drawings that call each other: `each` to the power of `levels` words in all."""
    objects = one_page(stream(b"/X Do"), resources=b"/XObject<</X 10 0 R>>")
    head = b"/Type/XObject/Subtype/Form/BBox[0 0 595 842]/Resources<</Font<</F 5 0 R>>/XObject<</X %d 0 R>>>>"
    for level in range(levels):
        last = level == levels - 1
        objects[10 + level] = stream(A_PAGE if last else b"/X Do " * each, head % (11 + level))
    return pdf(objects)


def picture_in_pdf(side: int) -> bytes:
    """A sheet that is one grey picture of so many pixels a side, packed twice to some kilobytes."""
    data = zlib.compress(zeros_packed((side * side >> 20) + 1, b"\xff"), 9)
    head = b"/Type/XObject/Subtype/Image/Width %d/Height %d/ColorSpace/DeviceGray/BitsPerComponent 8"
    body = b"<</Length %d/Filter[/FlateDecode/FlateDecode]%s>>\nstream\n%s\nendstream"
    objects = one_page(stream(b"q 595 0 0 842 0 0 cm /X Do Q"), resources=b"/XObject<</X 6 0 R>>")
    objects[6] = body % (len(data), head % (side, side), data)
    return pdf(objects)


def png(wide: int, high: int) -> bytes:
    """A PNG that says it is so large, with the data for it packed small."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zeros_packed(20)) + chunk(b"IEND", b"")
    )


def tiff(wide: int, high: int) -> bytes:
    """A TIFF that says it is so large, with next to no data."""
    tags = (
        (256, 4, wide),
        (257, 4, high),
        (258, 3, 8),
        (259, 3, 1),
        (262, 3, 1),
        (273, 4, 8),
        (278, 4, high),
    )
    entries = b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in (*tags, (279, 4, 8)))
    return b"II*\0" + struct.pack("<I", 16) + bytes(8) + struct.pack("<H", 8) + entries + bytes(4)


def jpeg(wide: int, high: int) -> bytes:
    """A JPEG's head that says it is so large."""
    frame = struct.pack(">BHHB", 8, high, wide, 1) + b"\1\x11\0"
    return (
        b"\xff\xd8\xff\xe0\0\x10JFIF\0\1\1\0\0\1\0\1\0\0\xff\xc0\0\x0b"
        + frame
        + b"\xff\xda\0\x08\1\1\0\0\x3f\0\xff\xd9"
    )


def office(main: str, megabytes: int) -> bytes:
    """A workbook or text document whose main part swells."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", "<Types/>")
        with packed.open(main, "w", force_zip64=True) as part:
            for _ in range(megabytes):
                part.write(b" " * (1 << 20))
    return held.getvalue()


def web_page(depth: int) -> bytes:
    """A web page of elements within elements."""
    return b"<html><body>" + b"<div>" * depth + b"Seal 4471-208" + b"</div>" * depth + b"</body></html>"


def mail(depth: int) -> bytes:
    """A mail of parts within parts."""
    lines = ["From: a@example.org", "To: b@example.org", "Subject: seals", "MIME-Version: 1.0"]
    for level in range(depth):
        lines += [f'Content-Type: multipart/mixed; boundary="b{level}"', "", f"--b{level}"]
    return "\r\n".join([*lines, "Content-Type: text/plain", "", "Seal 4471-208 is replaced."]).encode()
