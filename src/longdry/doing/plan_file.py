"""``plan.txt``: the arguments of ``longdry plan``, one a line, and how that file is changed.

An empty line says nothing, nor does one that begins with ``#``. A path in it is found from the
folder of the file. ``longdry plan @plan.txt`` plans what it says, and so does the desk.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from longdry.doing.argument_words import options_of
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.like_names import nearest_name

PLAN_FILE = "plan.txt"
LARGEST_BYTES = 1_000_000
Said = Sequence[str] | bool
"""The values of an option, or whether it is said."""
_REMARK = "#"
_AS_UTF_8 = (
    "open it in a text editor and save it as UTF-8; at the desk you can also move it out of the"
    " folder and choose the files anew"
)
_HEAD = """\
# What this plan is made of: arguments of longdry plan, one a line.
# On a command line: longdry plan @plan.txt
"""


def words_in(text: str) -> list[str]:
    r"""Return the arguments that the text of a file holds.

    >>> words_in("# of ours\n\nroute.gpx\n--water\nwater.geojson\n")
    ['route.gpx', '--water', 'water.geojson']
    >>> words_in("")
    []
    """
    lines = (line.strip() for line in text.removeprefix("\ufeff").splitlines())
    return [line for line in lines if line and not line.startswith(_REMARK)]


def read_plan_file(path: Path) -> str:
    """Return the text of a file of arguments.

    Raises
    ------
    UsageError
        It is not there, cannot be read, or names another such file.
    """
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
        text = content.decode("utf-8")
    except OSError as problem:
        reason = (problem.strerror or str(problem)).lower()
        raise _refused(path, f"cannot be read ({reason})", "check its name") from problem
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        raise _refused(path, f"is not UTF-8 text in line {line}", _AS_UTF_8) from problem
    if len(content) > LARGEST_BYTES:
        raise _refused(path, "is larger than 1 MB", "name a file of arguments, one a line")
    for word in words_in(text):
        if word.startswith("@"):
            what = f'the line "{word}" names another file of arguments'
            raise _refused(path, what, "write the arguments themselves, one a line")
    return text


def _refused(path: Path, what: str, mend: str) -> Exception:
    return UsageError.single(str(path), "", what, mend)


def words_from_folder(
    words: Sequence[str], folder: Path, parser: argparse.ArgumentParser
) -> list[str]:
    """Return arguments with their paths found from ``folder``.

    Parameters
    ----------
    words
        As they stand in the file.
    folder
        That of the file.
    parser
        The parser that will take them: it knows which of them are paths.
    """
    return [
        part.written
        if not part.is_path or not part.value.strip()
        else f"{part.option}={folder / part.value}"
        if part.option
        else plain_word(str(folder / part.value))
        for part in arguments_of(words, parser)
    ]


def plain_word(name: str) -> str:
    """Return the name of a file as an argument that nothing takes for an option or a remark.

    >>> plain_word("route.gpx"), plain_word("-1.gpx"), plain_word("#1.gpx")
    ('route.gpx', './-1.gpx', './#1.gpx')
    """
    return f"./{name}" if name.startswith(("-", _REMARK, "@")) else name


def refuse_strange_words(words: Sequence[str], file: Path, parser: argparse.ArgumentParser) -> None:
    """Refuse what no option is, naming the file that says it: a parser sees words alone.

    Raises
    ------
    UsageError
        The file says nothing, an option that nobody knows, or two arguments in one line.
    """
    if not words:
        raise _refused(file, "names no argument", "write the route and the options, one a line")
    known = options_of(parser)
    for part in arguments_of(words, parser):
        line = part.written
        name, blank, value = line.partition(" ")
        if name in known and blank:
            mend = f"write {name}={value}"
            raise _refused(file, f'the line "{line}" has a blank where = belongs', mend)
        if part.option and part.option not in known:
            close = nearest_name(part.option, known)
            mend = f"the nearest is {close}" if close else "take the line out"
            raise _refused(file, f'the line "{line}" is no option that plan takes', mend)
        if " --" in line and not part.option and not (file.parent / line).exists():
            mend = "write each on a line of its own"
            raise _refused(file, f'the line "{line}" holds several arguments', mend)


class Argument:
    """One argument: an option with its value, an option alone, or a word without an option."""

    def __init__(self, option: str, value: str, *, has_value: bool, is_path: bool) -> None:
        self.option = option
        self.value = value
        self.has_value = has_value
        self.is_path = is_path

    @property
    def written(self) -> str:
        """As it stands on a line of its own."""
        if not self.option:
            return self.value
        return f"{self.option}={self.value}" if self.has_value else self.option


def arguments_of(words: Sequence[str], parser: argparse.ArgumentParser) -> Iterator[Argument]:
    """Take arguments apart; an option and its value may stand in two words or in one."""
    known = options_of(parser)
    waiting = iter(words)
    for word in waiting:
        option, has_value, value = word.partition("=") if word.startswith("--") else ("", "", word)
        action = known.get(option)
        is_path = not option if action is None else action.type is file_path
        if action is not None and not has_value and action.nargs != 0:
            value = next(waiting, "")
            has_value = "=" if value else ""
        yield Argument(option, value, has_value=bool(has_value), is_path=is_path)


def changed_plan_text(
    old: str,
    parser: argparse.ArgumentParser,
    *,
    route: str,
    options: Mapping[str, Said],
) -> str:
    """Return the text of a file with another route and other values of some options.

    Remarks and all other arguments stay as they are and where they are.

    Parameters
    ----------
    old
        The text as it is; empty: a new file.
    route
        The line to be travelled.
    options
        Option -> its values, or whether it is said.
    """
    kept = old if words_in(old) else _HEAD
    new = [route, *(word for option in options for word in _lines_of(option, options[option]))]
    lines, spans = kept.splitlines(), _spans(kept.splitlines(), parser)
    gone = [span for part, span in spans if not part.option or part.option in options]
    at = gone[0][0] if gone else len(lines)
    dropped = {number for first, stop in gone for number in range(first, stop)}
    before = [line for number, line in enumerate(lines[:at]) if number not in dropped]
    behind = [line for number, line in enumerate(lines[at:], at) if number not in dropped]
    return "\n".join([*before, *new, *behind]) + "\n"


def _lines_of(option: str, values: Said) -> list[str]:
    if isinstance(values, bool):
        return [option] if values else []
    return [f"{option}={value}" for value in values]


def _spans(
    lines: Sequence[str], parser: argparse.ArgumentParser
) -> list[tuple[Argument, tuple[int, int]]]:
    """Return each argument with the lines that it stands on."""
    said = [(number, words_in(line)) for number, line in enumerate(lines)]
    numbers = [number for number, words in said if words]
    words = [words[0] for _, words in said if words]
    spans = []
    at = 0
    for part in arguments_of(words, parser):
        taken = 2 if part.has_value and part.written != words[at] else 1
        last = numbers[min(at + taken, len(numbers)) - 1]
        spans.append((part, (numbers[at], last + 1)))
        at += taken
    return spans
