"""Any XML file, streamed through expat: its encoding honoured, its traps refused.

Nothing that the file names is ever fetched: a DOCTYPE ends the reading before an entity can be
declared, so entities can neither reach out nor multiply. The file is read in chunks and never
held whole.
"""

from __future__ import annotations

import codecs
import os
import re
from collections.abc import Iterator
from itertools import chain
from xml.parsers import expat

from longdry.errors import InputError
from longdry.reading.files import opening as file_bytes
from longdry.reading.files.text import COPY_AGAIN, quoted

MOST_TOKEN_BYTES = 1 << 22
"""No single tag, comment or attribute may be longer: expat re-reads an unfinished one."""
NAMESPACE_SEPARATOR = " "
MOST_DEPTH = 100
"""Elements that may stand inside one another; no good file comes near it."""

_HEAD_BYTES = 1024
_DECLARED = re.compile(rb"""^\s*<\?xml[^>]{0,200}?encoding\s*=\s*["']([A-Za-z][\w.\-]*)["']""")
_EXPAT_NAMES = {
    "utf-8": "UTF-8",
    "utf-16": "UTF-16",
    "utf-16-le": "UTF-16LE",
    "utf-16-be": "UTF-16BE",
    "iso8859-1": "ISO-8859-1",
    "ascii": "US-ASCII",
}
"""What expat reads by itself, by Python's name; all else is turned into UTF-8 for it."""
_NOT_FOR_FILES = {"unicode-escape", "raw-unicode-escape", "punycode", "idna", "utf-7", "undefined"}

_TRUE_ENCODING = "save it as UTF-8, or let its first line name the true encoding"
_BREAKS_OFF = "the file breaks off here", COPY_AGAIN

_codes = expat.errors.codes
_BAD_TOKEN = _codes[expat.errors.XML_ERROR_INVALID_TOKEN]
_FIRST_PRINTABLE, _LAST_ASCII = 0x20, 0x7F
_WRITTEN_OTHERWISE = {"&": "&amp;", "<": "&lt;"}
_WORDS = {
    _codes[expat.errors.XML_ERROR_NO_ELEMENTS]: _BREAKS_OFF,
    _codes[expat.errors.XML_ERROR_UNCLOSED_TOKEN]: _BREAKS_OFF,
    _codes[expat.errors.XML_ERROR_UNCLOSED_CDATA_SECTION]: _BREAKS_OFF,
    _codes[expat.errors.XML_ERROR_PARTIAL_CHAR]: _BREAKS_OFF,
    _codes[expat.errors.XML_ERROR_UNBOUND_PREFIX]: (
        "uses a prefix that is not declared",
        "declare it with xmlns in the first element",
    ),
    _codes[expat.errors.XML_ERROR_UNDEFINED_ENTITY]: (
        "uses an entity that XML does not know",
        "write the letter itself, and & as &amp;",
    ),
    _codes[expat.errors.XML_ERROR_JUNK_AFTER_DOC_ELEMENT]: (
        "something stands behind the end of the first element",
        "delete all behind it, or put each part in a file of its own",
    ),
    _codes[expat.errors.XML_ERROR_TAG_MISMATCH]: (
        "a tag is closed that is not the one that is open",
        f"mend the tag, or {COPY_AGAIN}",
    ),
    _codes[expat.errors.XML_ERROR_BAD_CHAR_REF]: (
        "holds the number of a letter that XML does not know",
        "write the letter itself",
    ),
    _codes[expat.errors.XML_ERROR_DUPLICATE_ATTRIBUTE]: (
        "a tag says one thing twice",
        "take one of the two out",
    ),
    _codes[expat.errors.XML_ERROR_MISPLACED_XML_PI]: (
        "something stands before <?xml",
        "delete all before it",
    ),
}


class XmlStream:
    """One file on its way through expat; set handlers on ``parser``, then call `run`.

    Parameters
    ----------
    path
        The file, gzip-compressed or not.
    error
        The class of every complaint.
    """

    def __init__(self, path: str | os.PathLike[str], error: type[InputError]) -> None:
        self.origin = os.fspath(path)
        self._error = error
        chunks = file_bytes.file_chunks(path, error=error)
        head = next(chunks)
        self._refuse_other_kinds(head)
        encoding = self._encoding(head)
        self._chunks: Iterator[bytes] = chain([head], chunks)
        # expat knows a handful of encodings; all others are decoded here and fed to it as UTF-8,
        # whatever the first line of the file declares.
        if encoding not in _EXPAT_NAMES:
            self._chunks = self._as_utf8(self._chunks, encoding)
        self.parser = expat.ParserCreate(_EXPAT_NAMES.get(encoding, "UTF-8"), NAMESPACE_SEPARATOR)
        self.parser.buffer_text = True
        self.parser.StartDoctypeDeclHandler = self._refuse_doctype

    @property
    def line(self) -> str:
        """The place that is being read, in words."""
        return f"line {self.parser.CurrentLineNumber}"

    def complaint(self, where: str, what: str, mend: str) -> InputError:
        """Make the error for one fault of this file."""
        return self._error.single(self.origin, where, what, mend)

    def too_deep(self) -> InputError:
        """Make the error for elements that stand too deep inside one another."""
        return self.complaint(
            self.line,
            f"elements stand more than {MOST_DEPTH} deep inside one another",
            "take the nested elements out",
        )

    def run(self) -> None:
        """Read the file to its end; raises what the handlers raise and the file's own faults."""
        given_bytes = 0
        chunk = b""
        try:
            for chunk in self._chunks:
                self.parser.Parse(chunk, False)
                given_bytes += len(chunk)
                # What expat has been given and not yet passed is one unfinished token, and it looks
                # at that again from its start with each chunk: without a limit a file that is one
                # endless tag would take time with the square of its size.
                if given_bytes - self.parser.CurrentByteIndex > MOST_TOKEN_BYTES:
                    raise self.complaint(
                        self.line, "a single tag or comment goes on for over 4 MB", COPY_AGAIN
                    )
            self.parser.Parse(b"", True)
        except expat.ExpatError as problem:
            # The chunk at fault is not counted yet, so this is where in it the error lies; an error
            # that began in an earlier chunk lies outside of it.
            offset = self.parser.ErrorByteIndex - given_bytes
            byte, before = (chunk[at] if 0 <= at < len(chunk) else 0 for at in (offset, offset - 1))
            raise self._in_our_words(problem, byte, before) from problem
        except UnicodeError as problem:
            raise self._other_encoding(self.line) from problem

    def _refuse_other_kinds(self, head: bytes) -> None:
        if (kind := file_bytes.binary_kind(head)) is not None:
            mend = "name the GPX or KML file itself, unpacked"
            if kind == file_bytes.WORKBOOK:
                mend = "save what it holds as GPX where it is a route, as CSV where it is sources"
            raise self.complaint("", f"the file is {kind}, not XML", mend)
        if file_bytes.looks_like_html(head):
            raise self.complaint(
                "", "this is a web page, not the file itself", "download the file again"
            )
        if not head.strip():
            raise self.complaint("", "the file is empty", COPY_AGAIN)
        if b"<" not in head:
            raise self.complaint("", "this is no XML file", "name the right file")
        encoding = file_bytes.proved_encoding(head) or "latin-1"
        if (
            not head[:_HEAD_BYTES]
            .decode(encoding, "replace")
            .lstrip("\ufeff \t\r\n")
            .startswith("<")
        ):
            raise self.complaint(
                "line 1", "something stands before the first <", "delete all before it"
            )

    def _encoding(self, head: bytes) -> str:
        # What the bytes prove (a byte order mark, zeros between letters) counts for more than what
        # the first line says; what it says counts for more than the usual UTF-8.
        proved = file_bytes.proved_encoding(head)
        if proved is not None:
            return proved
        declared = _DECLARED.match(head[:_HEAD_BYTES])
        if declared is None:
            return "utf-8"
        name = declared[1].decode("ascii", "replace")
        try:
            codec = codecs.lookup(name).name
            codecs.getincrementaldecoder(name)
            "a".encode(name)
        except (LookupError, UnicodeError) as problem:
            raise self._unknown_encoding(name) from problem
        if codec in _NOT_FOR_FILES:
            raise self._unknown_encoding(name)
        if codec.startswith(("utf-16", "utf-32")):
            raise self.complaint(
                "line 1", f"declares the encoding {quoted(name)} but is not in it", _TRUE_ENCODING
            )
        return codec

    def _unknown_encoding(self, name: str) -> InputError:
        return self.complaint(
            "line 1", f"declares the encoding {quoted(name)}, which is unknown", _TRUE_ENCODING
        )

    def _as_utf8(self, chunks: Iterator[bytes], encoding: str) -> Iterator[bytes]:
        decoder = codecs.getincrementaldecoder(encoding)("strict")
        try:
            for chunk in chunks:
                yield decoder.decode(chunk).encode("utf-8")
            yield decoder.decode(b"", True).encode("utf-8")
        except UnicodeError as problem:
            raise self.complaint(
                self.line, f"holds bytes that are not {encoding}", _TRUE_ENCODING
            ) from problem

    def _refuse_doctype(self, *_declared: object) -> None:
        raise self.complaint(
            self.line, "holds a DOCTYPE, which no such file needs", "take the DOCTYPE out"
        )

    def _other_encoding(self, where: str) -> InputError:
        return self.complaint(
            where, "holds bytes that are not in the file's encoding", _TRUE_ENCODING
        )

    def _in_our_words(self, problem: expat.ExpatError, byte: int, before: int) -> InputError:
        where = f"line {problem.lineno}"
        # expat calls a byte that its encoding does not have a bad token, like a misplaced '<'.
        if problem.code == _BAD_TOKEN and byte > _LAST_ASCII:
            return self._other_encoding(where)
        if problem.code == _BAD_TOKEN and 0 < byte < _FIRST_PRINTABLE:
            return self.complaint(where, "holds a control character", "take it out")
        sign = next((chr(one) for one in (before, byte) if chr(one) in _WRITTEN_OTHERWISE), "")
        if problem.code == _BAD_TOKEN and sign:
            mend = f"write it as {_WRITTEN_OTHERWISE[sign]}, or mend the tag"
            return self.complaint(where, f"a {sign} stands where XML takes none", mend)
        reason = expat.ErrorString(problem.code)
        broken = f"broken XML ({reason})", f"mend the tag, or {COPY_AGAIN}"
        what, mend = _WORDS.get(problem.code, broken)
        return self.complaint(where, what, mend)
