"""KMZ files made to harm: small, and huge once they are unpacked or listed. All invented.

Fields of a zip archive as in APPNOTE.TXT 6.3.3 (4.3.7 local header, 4.3.12 list, 4.3.16 its end).
"""

from __future__ import annotations

import hashlib
import io
import struct
import zipfile
from collections.abc import Callable

from hard_files import ENTITY_BOMB

MB = 1 << 20
_LINE = b"<kml><Placemark><LineString><coordinates>"
_MANY = 30_000


def zipped(*members: tuple[str, str | bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Pack members into a zip archive."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", how) as archive:
        for name, content in members:
            archive.writestr(name, content)
    return packed.getvalue()


def _lying(archive: bytes, offset: int, number: int) -> bytes:
    """Say another number in the header of the one member, and in the list: offset in the list."""
    data = bytearray(archive)
    struct.pack_into("<I", data, offset - 2, number)
    struct.pack_into("<I", data, data.index(b"PK\x01\x02") + offset, number)
    return bytes(data)


def _many_entries(name_of: Callable[[int], str]) -> bytes:
    """List tens of thousands of files, all the same empty one."""
    listed = io.BytesIO()
    for number in range(_MANY):
        name = name_of(number).encode()
        facts = struct.pack("<6H3L5H2L", 20, 20, 0, 0, 0, 0, 0, 0, 0, len(name), 0, 0, 0, 0, 0, 0)
        listed.write(b"PK\x01\x02" + facts + name)
    length = listed.tell()
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, _MANY, _MANY, length, 64, 0)
    return b"PK\x03\x04" + bytes(60) + listed.getvalue() + end


def _nested(levels: int) -> bytes:
    """Pack an archive sixteen times into another, and that again."""
    data = zipped(("doc.kml", b"0" * 10 * MB))
    for _ in range(levels):
        data = zipped(*((f"{number}.kmz", data) for number in range(16)))
    return data


_NOISE = hashlib.shake_128(b"7").digest(300_000)
_BLANKS = zipped(("doc.kml", _LINE + b" " * 12 * MB))
_OVER = ["over 50 times its size"]
_DAMAGED = ["breaks off or is damaged"]
_TOO_MANY = ["more files than are looked at"]
KMZ_BOMBS: dict[str, tuple[bytes, list[str]]] = {
    "entities": (zipped(("doc.kml", ENTITY_BOMB.replace("gpx", "kml"))), ["DOCTYPE"]),
    "12 MB of blanks": (_BLANKS, _OVER),
    "12 MB of blanks behind 300 kB that cannot be packed": (
        zipped(("a.png", _NOISE), ("doc.kml", b" " * 12 * MB)), _OVER),
    "12 MB of blanks that say to be 1 kB": (_lying(_BLANKS, 24, 1000), _DAMAGED),
    "12 MB of blanks that say to be packed into 2 GB": (_lying(_BLANKS, 20, 1 << 31), _OVER),
    "12 MB of places": (zipped(("doc.kml", _LINE + b"1,1 " * 3 * MB)), _OVER),
    "1 MB of places": (zipped(("doc.kml", _LINE + b"1,1 " * (MB // 4 - 99))), ["breaks off"]),
    "1 MB of placemarks": (
        zipped(("doc.kml", b"<kml>" + b"<Placemark/>" * (MB // 12 - 99))), ["breaks off"]),
    "6 MB by bzip2": (zipped(("doc.kml", b" " * 6 * MB), how=zipfile.ZIP_BZIP2), _OVER),
    "6 MB by LZMA": (zipped(("doc.kml", b" " * 6 * MB), how=zipfile.ZIP_LZMA), _OVER),
    "archives in archives": (_nested(3), ["holds no KML"]),
    "a list of 30,000 files": (_many_entries(str), _TOO_MANY),
    "a list of 30,000 KML": (_many_entries("{}.kml".format), _TOO_MANY),
}  # fmt: skip
"""What it holds -> the bytes, and what the one answer must hold."""
