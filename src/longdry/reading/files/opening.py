"""Opening what the user gave: missing, empty, compressed, binary or in which encoding."""

from __future__ import annotations

import codecs
import contextlib
import errno
import gzip
import lzma
import os
import zipfile
import zlib
from collections.abc import Iterator
from typing import IO, BinaryIO, Protocol

from longdry.errors import InputError
from longdry.reading.files.text import COPY_AGAIN, quoted

CHUNK_BYTES = 1 << 18
MOST_BYTES = 1 << 30
"""1 GiB unpacked: more than ten million track points."""

MOST_TIMES_UNPACKED = 50
"""The sample routes and layers unpack to under 8 times their packed size, what repeats itself
much to 30 (from memory); zeros to 1000 times."""
MOST_TIMES_A_TABLE_UNPACKED = 200
"""Of a zipped Shapefile: the table beside it fills each text with blanks (dBASE)."""
_SURELY_HELD_BYTES = 1 << 20
"""A file that is no larger is read however small it was packed: it costs a second at the most."""
_MOST_OF_A_ZIP_LIST = 1 << 20
"""Bytes of the list of files in a zip archive: some ten thousand of them."""

GZIP_MAGIC = b"\x1f\x8b"
ZIP_MAGIC = b"PK\x03\x04"
_ZIP_MAGICS = (ZIP_MAGIC, b"PK\x05\x06")
"""Of an archive, and of one that holds nothing."""
BOMS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""Byte order marks; the longer ones first, because UTF-32's begins like UTF-16's."""

_UNMARKED: dict[tuple[bool, ...], str] = {
    (True, False, False, False): "utf-32-le",
    (False, False, False, True): "utf-32-be",
    (True, False, True, False): "utf-16-le",
    (False, True, False, True): "utf-16-be",
}
"""By which of the first four bytes are not zero."""

_LOOKED_AT_BYTES = 4096


class _Readable(Protocol):
    def read(self, size: int, /) -> bytes: ...


def _cannot_open(origin: str, problem: OSError, error: type[InputError]) -> InputError:
    if isinstance(problem, FileNotFoundError):
        return error.single(origin, "", "there is no such file", "check the name and the folder")
    if isinstance(problem, IsADirectoryError):
        return error.single(origin, "", "this is a folder", "name the file inside it")
    if isinstance(problem, PermissionError):
        return error.single(origin, "", "may not be read", "change its permissions")
    if problem.errno == errno.ENAMETOOLONG:
        return error.single(origin, "", "no file has so long a name", "check the name")
    reason = problem.strerror or "it cannot be read"
    return error.single(origin, "", reason, "check the file and the disk that it is on")


def _pieces(
    stream: _Readable, raw: BinaryIO, origin: str, error: type[InputError]
) -> Iterator[bytes]:
    total_bytes = 0
    while piece := stream.read(CHUNK_BYTES):
        total_bytes += len(piece)
        refuse_bomb(total_bytes, raw.tell(), origin, error)
        yield piece


def refuse_bomb(
    unpacked_bytes: int,
    packed_bytes: int,
    origin: str,
    error: type[InputError],
    most_times: int = MOST_TIMES_UNPACKED,
) -> None:
    """Raise ``error`` for more than any map data unpack to, or more than can be held."""
    if unpacked_bytes > MOST_BYTES:
        raise error.single(
            origin, "", "holds more than 1 GiB when unpacked", "cut it into smaller files"
        )
    if unpacked_bytes > max(_SURELY_HELD_BYTES, most_times * packed_bytes):
        what = f"unpacks to over {most_times} times its size, as no map data do"
        raise error.single(origin, "", what, "unpack it and look at what it holds")


class _ShortReads:
    """A file of which no more is read in one piece than the list of a zip archive may take.

    The record at an archive's end says how long its list is, and may lie.
    """

    def __init__(self, raw: BinaryIO) -> None:
        self._raw = raw
        self.seek = raw.seek
        self.tell = raw.tell
        self.seekable = raw.seekable

    def read(self, size: int = -1) -> bytes:
        if size > _MOST_OF_A_ZIP_LIST:
            raise _LongListError
        return self._raw.read(size)


class _LongListError(Exception):
    """A zip archive says that it lists more files than are looked at."""


def zip_members(
    raw: BinaryIO, origin: str, error: type[InputError]
) -> tuple[zipfile.ZipFile, list[zipfile.ZipInfo]]:
    """Return an open archive and the list of its files.

    Raises
    ------
    InputError
        Of the class ``error``: it is damaged, or lists more files than are looked at.
    """
    narrow: IO[bytes] = _ShortReads(raw)  # type: ignore[assignment]
    try:
        archive = zipfile.ZipFile(narrow)
        return archive, archive.infolist()
    except _LongListError as problem:
        what = "is a zip archive of more files than are looked at"
        mend = "unpack it, and name the file with the map data"
        raise error.single(origin, "", what, mend) from problem
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError) as problem:
        what = "the zip archive breaks off or is damaged"
        raise error.single(origin, "", what, COPY_AGAIN) from problem


def _kml_in(raw: BinaryIO, origin: str, error: type[InputError]) -> _Readable | None:
    """Open the document of a KMZ (OGC 12-007r2, annex C: its first KML); None where there is none.

    What the archive says of the length of a file is no promise: but no more than that is unpacked.
    """
    archive, members = zip_members(raw, origin, error)
    kml = next((one for one in members if one.filename.lower().endswith(".kml")), None)
    if kml is None:
        return None
    if kml.flag_bits & 1:
        what = f"{quoted(kml.filename)} in it is locked with a password"
        raise error.single(origin, "", what, "unpack it, and name what it holds")
    length = os.fstat(raw.fileno()).st_size
    packed_bytes = min(kml.compress_size, length - kml.header_offset)
    refuse_bomb(kml.file_size, packed_bytes, origin, error)
    return archive.open(kml)


def _unzipped(raw: BinaryIO, origin: str, error: type[InputError]) -> Iterator[bytes]:
    """Yield the document of a KMZ; the bytes as they are of a zip archive that is none."""
    is_kmz = origin.lower().endswith(".kmz")
    raw.seek(0)
    head = raw.read(CHUNK_BYTES)
    try:
        stream = None if is_workbook(head) else _kml_in(raw, origin, error)
        if stream is None and is_kmz:
            raise error.single(origin, "", "holds no KML", "export it again, or unpack it and look")
        while stream and (piece := stream.read(CHUNK_BYTES)):
            yield piece
    except _DAMAGED_ZIP as problem:
        what = "the zip archive breaks off or is damaged"
        raise error.single(origin, "", what, COPY_AGAIN) from problem
    if stream is None:
        raw.seek(0)
        yield from _pieces(raw, raw, origin, error)


_DAMAGED_ZIP = (
    zipfile.BadZipFile, NotImplementedError, EOFError, zlib.error, lzma.LZMAError, OSError,
    RuntimeError, ValueError,
)  # fmt: skip
"""What unpacking may raise, by deflate, bzip2 and LZMA."""


def file_chunks(path: str | os.PathLike[str], *, error: type[InputError]) -> Iterator[bytes]:
    """Yield the file's bytes in pieces, unpacked where it is gzip-compressed or a KMZ.

    Raises
    ------
    InputError
        Of the class ``error``: the file is missing, a folder, unreadable, empty, a broken
        gzip file, or larger than 1 GiB or 50 times its size when unpacked.
    """
    origin = os.fspath(path)
    empty = True
    try:
        with open(path, "rb") as raw:  # noqa: PTH123 - a path may be text
            for piece in _unpacked(raw, origin, error):
                empty = False
                yield piece
    except EOFError as problem:
        raise error.single(origin, "", "the gzip file breaks off", COPY_AGAIN) from problem
    except (gzip.BadGzipFile, zlib.error) as problem:
        raise error.single(origin, "", "the gzip file is damaged", COPY_AGAIN) from problem
    except OSError as problem:
        raise _cannot_open(origin, problem, error) from problem
    except ValueError as problem:
        raise error.single(
            quoted(origin), "", "this cannot be the name of a file", "check the name"
        ) from problem
    if empty:
        raise error.single(origin, "", "the file is empty", COPY_AGAIN)


def _unpacked(raw: BinaryIO, origin: str, error: type[InputError]) -> Iterator[bytes]:
    head = raw.peek(4)[:4]  # type: ignore[attr-defined]
    if head.startswith(_ZIP_MAGICS):
        return _unzipped(raw, origin, error)
    stream: _Readable = gzip.GzipFile(fileobj=raw) if head.startswith(GZIP_MAGIC) else raw
    return _pieces(stream, raw, origin, error)


def file_head(path: str | os.PathLike[str], *, error: type[InputError]) -> bytes:
    """Return the first piece of the file, unpacked; raises as `file_chunks` does."""
    return next(file_chunks(path, error=error))


def refuse_packed(path: str | os.PathLike[str], *, error: type[InputError]) -> None:
    """Raise ``error`` for a gzip file or one that cannot be opened, where none can be unpacked."""
    origin = os.fspath(path)
    try:
        with open(path, "rb") as raw:  # noqa: PTH123 - a path may be text
            packed = raw.read(2) == GZIP_MAGIC
    except OSError as problem:
        raise _cannot_open(origin, problem, error) from problem
    if packed:
        raise error.single(origin, "", "the file is gzip-compressed", "unpack it first")


def bom_encoding(head: bytes) -> str | None:
    r"""Return the encoding that the file's byte order mark proves, None without one.

    >>> bom_encoding(b"\xef\xbb\xbf<gpx>"), bom_encoding(b"<gpx>")
    ('utf-8', None)
    """
    return next((name for mark, name in BOMS if head.startswith(mark)), None)


def proved_encoding(head: bytes) -> str | None:
    r"""Return the encoding that a byte order mark or the zeros of the first letters prove.

    A text whose first two letters are ASCII shows by where their zero bytes stand in which
    encoding it is (RFC 4627, section 3).

    >>> proved_encoding("id,lat".encode("utf-16-le")), proved_encoding(b"id,lat")
    ('utf-16-le', None)
    """
    return bom_encoding(head) or _UNMARKED.get(tuple(map(bool, head[:4])))


OLD_OFFICE_MAGIC = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""Compound files of [MS-CFB], as spreadsheets were before 2007."""
WORKBOOK = "a workbook of a spreadsheet program"
_FIRST_IN_WORKBOOKS = (b"[Content_Types].xml", b"_rels/.rels", b"xl/", b"opendocument.spreadsheet")
"""Open Packaging Conventions (ECMA-376, part 2) and OpenDocument 1.2 (part 3, media type first)."""
_LOCAL_HEADER_BYTES = 30


def is_workbook(head: bytes) -> bool:
    r"""Tell whether the beginning is that of a spreadsheet program's file.

    >>> is_workbook(b"PK\x03\x04" + 26 * b"\x00" + b"xl/workbook.xml"), is_workbook(b"PK\x03\x04")
    (True, False)
    """
    if head.startswith(OLD_OFFICE_MAGIC):
        return True
    first = head[_LOCAL_HEADER_BYTES : _LOCAL_HEADER_BYTES + 100]
    return head.startswith(ZIP_MAGIC) and any(name in first for name in _FIRST_IN_WORKBOOKS)


def binary_kind(head: bytes) -> str | None:
    r"""Say what a binary file is; None where the beginning looks like text.

    >>> binary_kind(b"PK\x03\x04..."), binary_kind(b"<gpx>"), binary_kind(b"")
    ('a zip archive', None, None)
    """
    if is_workbook(head):
        return WORKBOOK
    if head.startswith(ZIP_MAGIC):
        return "a zip archive"
    if head.startswith(GZIP_MAGIC):
        return "compressed twice"
    if _reads_as(proved_encoding(head), head):
        return None
    return "binary" if b"\x00" in head else None


def _reads_as(encoding: str | None, head: bytes) -> bool:
    """Tell whether the beginning is text in ``encoding``; its last letter may be cut."""
    if encoding is None:
        return False
    try:
        text = codecs.getincrementaldecoder(encoding)().decode(head[:_LOOKED_AT_BYTES])
    except UnicodeDecodeError:
        return False
    return "\x00" not in text


def looks_like_html(head: bytes) -> bool:
    r"""Tell whether the file begins as a web page does.

    >>> looks_like_html(b"\n<!DOCTYPE html>"), looks_like_html(b"<gpx>")
    (True, False)
    """
    start = head[:4096].removeprefix(codecs.BOM_UTF8).replace(b"\x00", b"").lstrip().lower()
    return start.startswith((b"<!doctype html", b"<html"))


def file_text(path: str | os.PathLike[str], *, error: type[InputError]) -> str:
    """Return the whole file as text: UTF-8, or what its byte order mark says.

    Raises
    ------
    InputError
        Of the class ``error``: as `file_chunks`, or binary, or not in that encoding.
    """
    return file_text_and_encoding(path, error=error, fallback="")[0]


def file_text_and_encoding(
    path: str | os.PathLike[str], *, error: type[InputError], fallback: str
) -> tuple[str, str]:
    """Return the whole file as text, and the encoding that it was read in.

    Parameters
    ----------
    fallback
        The encoding that is tried where the file proves none and is not UTF-8; empty: none is.

    Raises
    ------
    InputError
        As `file_text` does.
    """
    origin = os.fspath(path)
    data = b"".join(file_chunks(path, error=error))
    if (kind := binary_kind(data[:CHUNK_BYTES])) is not None:
        mend = "save it as text" if kind == WORKBOOK else "name the text file"
        raise error.single(origin, "", f"the file is {kind}, not text", mend)
    encoding = proved_encoding(data) or "utf-8"
    try:
        return data.decode(encoding).removeprefix("\ufeff"), encoding
    except UnicodeDecodeError as problem:
        if fallback and proved_encoding(data) is None:
            with contextlib.suppress(UnicodeDecodeError):
                return data.decode(fallback), fallback
        line = data.count(b"\n", 0, problem.start) + 1
        raise error.single(
            origin, f"line {line}", f"holds bytes that are not {encoding.upper()}",
            "save the file as UTF-8",
        ) from problem  # fmt: skip
