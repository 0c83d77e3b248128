"""Show that a change of the code left every output of the command line equal, byte for byte.

    python tests/golden_outputs.py write    # writes tests/reference/golden_digests.json
    python tests/golden_outputs.py check    # tells which outputs differ; status 1 where any does

With ``--keep FOLDER`` either also leaves the outputs as ``FOLDER/case/output``: keep them before
and after a change, and ``diff -r`` tells what it changed. ``--only TEXT`` checks the cases whose
name holds the text.

Only the command line is called, as a user would call it, so that modules can move. The cases are
in ``golden_trips.py``. Each runs in a folder of its own with names relative to it; nothing in an
output may depend on the folder or on the day. Figures may differ in a last digit where other
versions of Python or of the libraries are used: the digests tell which were, and ``check`` says
where yours are others. Then first write the digests with the code from before the change.

A page is taken apart: its text, its own style sheets, the data of its map, its scripts, and the
style sheet of the map library are outputs of their own, so that a change of one does not hide
another.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import importlib
import json
import multiprocessing
import os
import platform
import re
import resource
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from html.parser import HTMLParser
from importlib import metadata
from pathlib import Path

from golden_trips import Case, all_cases
from longdry.cli.main import main as longdry

DIGESTS = Path(__file__).parent / "reference" / "golden_digests.json"
LIBRARIES = (
    "numpy", "pyproj", "shapely", "geopandas", "pandas", "pyogrio", "folium", "branca", "gpxpy",
    "django-js-lib-leaflet", "astral", "pythermalcomfort", "pmtiles",
)  # fmt: skip
LOADING_CASES = ("stock_route_ride-plain", "water-water-gpkg")
"""Plans that between them load nearly all that plans need."""
PROCESSES = 2
SECONDS_OF_A_STEP = 60
LIBRARY_STYLE_MARKS = (".leaflet-pane", ".leaflet-marker-shadow", ".leaflet-zoom-box")
"""A style sheet that holds all of them is the map library's."""
EMPTY_MAP = re.compile(r'\s*<div\b[^>]*\b(?:id|class)="[^">]*map[^">]*"[^>]*>\s*</div>\s*')
"""The element that the scripts draw the map in: it has no content of the page."""
POLICY_HASHES = re.compile(r"(?:\s*(?:'|&#x27;|&#39;)sha\d+-[\w+/=-]+(?:'|&#x27;|&#39;))+")
"""The content security policy has a hash of each script and style, which are outputs themselves."""
VERSION = re.compile(rb"\blongdry \d+\.\d+[\w.+]*")

Outputs = dict[str, bytes]


class RawElements(HTMLParser):
    """Finds where in a page the script and style elements are, by the rules of HTML."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=False)
        self._starts = [0]
        for line in text.split("\n"):
            self._starts.append(self._starts[-1] + len(line) + 1)
        self._open: tuple[str, str, int, int] | None = None
        self.found: list[tuple[str, str, int, int, int]] = []
        """Name, type, begin of the element, begin and end of its content."""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember where a script or style begins."""
        if tag in {"script", "style"}:
            begin = self._here()
            content = begin + len(self.get_starttag_text() or "")
            self._open = tag, dict(attrs).get("type") or "", begin, content

    def handle_endtag(self, tag: str) -> None:
        """Keep the element that ends here."""
        if self._open and tag == self._open[0]:
            self.found.append((*self._open, self._here()))
            self._open = None

    def _here(self) -> int:
        line, column = self.getpos()
        return self._starts[line - 1] + column


def page_parts(page: str) -> dict[str, str]:
    """Take a page apart: text, styles, data, scripts, and the style of the map library."""
    parts: dict[str, list[str]] = {
        name: [] for name in ("text.html", "styles.css", "data.json", "scripts.js", "library.css")
    }
    behind = 0
    for name, kind, begin, content, end in RawElements(page).found:
        parts["text.html"].append(page[behind:begin])
        inside = page[content:end]
        behind = page.index(">", end) + 1
        behind += page[behind : behind + 1] == "\n"
        if name == "script":
            parts["data.json" if "json" in kind else "scripts.js"].append(inside)
        else:
            is_library = all(mark in inside for mark in LIBRARY_STYLE_MARKS)
            parts["library.css" if is_library else "styles.css"].append(inside)
    text = "".join([*parts.pop("text.html"), page[behind:]])
    text = EMPTY_MAP.sub("\n<!-- map -->\n", POLICY_HASHES.sub(" 'sha-...'", text))
    return {"text.html": text} | {name: "\n".join(inside) for name, inside in parts.items()}


def in_fork(work: Callable[[], int]) -> int:
    """Do the work in a process of its own and return its exit status."""
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if child == 0:
        status = 70
        try:
            status = work()
        except SystemExit as ended:
            status = int(ended.code or 0)
        except BaseException:  # noqa: BLE001 - as Python ends a process
            traceback.print_exc()
        finally:
            with contextlib.suppress(Exception):
                sys.stdout.flush()
                sys.stderr.flush()
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def run_step(folder: Path, beside: Path, words: list[str]) -> Outputs:
    """Run one command in the folder; what it printed goes into files beside it."""

    def work() -> int:
        os.chdir(folder)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        for number, name in ((1, "stdout"), (2, "stderr")):
            place = os.open(beside / name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(place, number)
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS_OF_A_STEP, SECONDS_OF_A_STEP))
        sys.argv = ["longdry", *words]
        return longdry()

    status = in_fork(work)
    printed = {name: (beside / name).read_bytes() for name in ("stdout", "stderr")}
    return {**printed, "status": f"{status}\n".encode()}


def files_in(folder: Path) -> Outputs:
    """Return what the files of a folder hold."""
    return {
        path.relative_to(folder).as_posix().replace("/", "__"): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def run_case(case: Case, top: Path) -> Outputs:
    """Make the files of a case, run its commands one after the other, gather what comes out."""
    folder, beside = top / "run" / case.name, top / "printed" / case.name
    folder.mkdir(parents=True)
    beside.mkdir(parents=True)
    if in_fork(lambda: case.write_files(folder)) != 0:
        raise SystemExit(f"{case.name}: its files could not be made")
    outputs: Outputs = {}
    for number, words in enumerate(case.steps, 1):
        before = files_in(folder)
        step = run_step(folder, beside, list(words))
        after = files_in(folder)
        step |= {name: held for name, held in after.items() if before.get(name) != held}
        step |= {f"{name}.gone": b"" for name in before if name not in after}
        mark = (
            f"{number:02d}-{''.join(words[:1]).strip('-') or 'nothing'}."
            if len(case.steps) > 1
            else ""
        )
        outputs |= {f"{mark}{name}": held for name, held in parted(step).items()}
    return {name: freed(held, folder) for name, held in outputs.items()}


def parted(outputs: Outputs) -> Outputs:
    """Put the parts of each page in its place."""
    parts: Outputs = {}
    for name, held in outputs.items():
        if name.endswith(".html"):
            pieces = page_parts(held.decode("utf-8"))
            parts |= {f"{name}.{part}": text.encode() for part, text in pieces.items()}
        else:
            parts[name] = held
    return parts


def freed(held: bytes, folder: Path) -> bytes:
    """Take out the version of longdry, which every release changes, and the folder of the case."""
    return VERSION.sub(b"longdry VERSION", held).replace(str(folder).encode(), b"FOLDER")


def complaints(case: Case, outputs: Outputs, top: Path) -> list[str]:
    """Tell of outputs that must not be taken for good ones: folders, failures of the code."""
    bad = {
        "the folder it ran in": str(top).encode(),
        "the folder of Python's libraries": sys.prefix.encode(),
        "a traceback": b"Traceback (most recent call last)",
    }
    return [
        f"{case.name}/{name}: holds {what}"
        for name, held in outputs.items()
        for what, mark in bad.items()
        if mark in held
    ]


def load_once() -> None:
    """Load what plans load, as plans in forks tell it, so that each fork has it already."""
    for name in LOADING_CASES:
        with tempfile.TemporaryDirectory(prefix="golden") as made:
            for module in modules_loaded_by(CASES[name], Path(made)):
                if module not in sys.modules:
                    with contextlib.suppress(Exception):
                        importlib.import_module(module)


def modules_loaded_by(case: Case, folder: Path) -> list[str]:
    """Return what Python has loaded when the first command of a case is done."""
    told = folder / "modules"

    def first() -> int:
        case.write_files(folder)
        os.chdir(folder)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(1, 2)
        sys.argv = ["longdry", *case.steps[0]]
        longdry()
        told.write_text("\n".join(sorted(sys.modules)), "utf-8")
        return 0

    in_fork(first)
    return told.read_text("utf-8").split() if told.exists() else []


def worked(task: tuple[str, str, str | None]) -> tuple[str, dict[str, str], list[str], float]:
    """Run the case of a name; return its digests and what is to complain of."""
    name, made, keep = task
    top = Path(made)
    case = CASES[name]
    since = time.monotonic()
    outputs = run_case(case, top)
    if keep:
        for output, held in outputs.items():
            place = Path(keep) / name / output
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(held)
    digests = {output: hashlib.sha256(held).hexdigest() for output, held in outputs.items()}
    return name, digests, complaints(case, outputs, top), time.monotonic() - since


CASES: dict[str, Case] = {}


def run_all(names: list[str], keep: str | None) -> tuple[dict[str, str], list[str]]:
    """Run the cases in two processes; return a digest for each case/output, and complaints."""
    digests: dict[str, str] = {}
    bad: list[str] = []
    seconds: dict[str, float] = {}
    with tempfile.TemporaryDirectory(prefix="golden") as made:
        top = str(Path(made).resolve())
        tasks = [(name, top, keep) for name in names]
        with multiprocessing.get_context("fork").Pool(PROCESSES) as pool:
            for name, of_case, told, took in pool.imap_unordered(worked, tasks):
                digests |= {f"{name}/{output}": digest for output, digest in of_case.items()}
                bad += told
                seconds[name] = took
    slowest = sorted(seconds, key=seconds.__getitem__)[-3:]
    say("slowest: " + ", ".join(f"{name} {seconds[name]:.1f} s" for name in slowest))
    return dict(sorted(digests.items())), sorted(bad)


def made_with() -> dict[str, str]:
    """Tell what the figures may hang on besides longdry."""
    return {"python": platform.python_version(), "machine": platform.machine()} | {
        name: metadata.version(name) for name in LIBRARIES if is_there(name)
    }


def is_there(name: str) -> bool:
    """Whether a library is installed; one that longdry no longer needs may not be."""
    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def differences(expected: dict[str, str], got: dict[str, str]) -> list[str]:
    """Name each output that differs, is missing or is new."""
    told = []
    for name in sorted(expected | got):
        if name not in got:
            told.append(f"missing: {name}")
        elif name not in expected:
            told.append(f"new: {name}")
        elif got[name] != expected[name]:
            told.append(f"differs: {name}")
    return told


def say(text: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{text}\n")


def write(digests: dict[str, str]) -> None:
    """Write the digests, one a line."""
    held = {"made_with": made_with(), "digests": digests}
    DIGESTS.write_text(json.dumps(held, indent=1) + "\n", "utf-8")


def check(digests: dict[str, str], only: str) -> int:
    """Compare with the digests that were written; return the exit status."""
    held = json.loads(DIGESTS.read_text("utf-8"))
    expected = {name: digest for name, digest in held["digests"].items() if only in case_of(name)}
    told = differences(expected, digests)
    if told and held["made_with"] != made_with():
        now = made_with()
        others = [
            f"{name} {then}, now {now.get(name, 'none')}"
            for name, then in held["made_with"].items()
            if now.get(name) != then
        ]
        say(f"The digests were made with others than yours: {'; '.join(others)}")
    for line in told:
        say(line)
    cases = {case_of(line.partition(": ")[2]) for line in told}
    say(f"{len(told)} of {len(expected)} outputs differ, in {len(cases)} cases.")
    return 1 if told else 0


def case_of(name: str) -> str:
    """Return the case of a case/output."""
    return name.partition("/")[0]


def settle_surroundings() -> None:
    """Let nothing of the user's terminal, language or clock reach the outputs."""
    for name in ("NO_COLOR", "FORCE_COLOR", "LINES", "LC_ALL", "LANGUAGE"):
        os.environ.pop(name, None)
    os.environ.update(
        COLUMNS="80", TZ="UTC", LANG="C.UTF-8", OPENBLAS_NUM_THREADS="1", PYTHONWARNINGS="default"
    )
    time.tzset()


def run() -> int:
    """Read the words, run the cases, write or compare."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("what", choices=("check", "write"))
    parser.add_argument("--keep", metavar="FOLDER", help="leave the outputs here")
    parser.add_argument("--only", metavar="TEXT", default="", help="cases whose name holds this")
    options = parser.parse_args()
    if options.what == "check" and not DIGESTS.exists():
        parser.error(f"there is no {DIGESTS.name} yet: run write first")
    if options.only and options.what == "write":
        parser.error("write takes all cases")
    settle_surroundings()
    since = time.monotonic()
    CASES.update({case.name: case for case in all_cases()})
    load_once()
    names = [name for name in CASES if options.only in name]
    digests, bad = run_all(names, str(Path(options.keep).absolute()) if options.keep else None)
    for line in bad:
        say(f"NOT GOOD: {line}")
    say(f"{len(names)} cases, {len(digests)} outputs, {time.monotonic() - since:.0f} s")
    if options.what == "check":
        return check(digests, options.only) or (1 if bad else 0)
    if bad:
        say("nothing written")
        return 1
    write(digests)
    return 0


if __name__ == "__main__":
    raise SystemExit(run())
