"""``longdry desk``: a page of this computer's own in the browser, for a folder that is a trip."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from longdry.cli.answer import Answer
from longdry.cli.printing import write_answer
from longdry.desk.serving import run_desk
from longdry.doing.common_options import file_path

EXAMPLE = "longdry desk sample_routes/saltbush_loop"
_LARGEST_PORT = 65_535


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``desk`` takes."""
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        type=file_path,
        nargs="?",
        default=Path(),
        help="folder of a trip: route, water, trip file (default: the one that you are in)",
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the link, and open no browser"
    )
    parser.add_argument(
        "--port", metavar="N", type=_port, default=0, help="port to use (default: any unused one)"
    )


def _port(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() else -1
    if not 0 <= number <= _LARGEST_PORT:
        raise argparse.ArgumentTypeError(f"'{text}' is no port from 0 to {_LARGEST_PORT}")
    return number


def run(options: argparse.Namespace) -> Answer:
    """Serve the folder until Ctrl-C."""
    if options.folder.is_dir():
        os.chdir(options.folder)  # paths are told as they stand in the folder
        options.folder = Path()
    run_desk(
        options.folder,
        _told,
        port=options.port,
        browser=not options.no_browser,
    )
    return Answer("The desk is closed.\n")


def _told(words: str) -> None:
    write_answer(words, 0)
