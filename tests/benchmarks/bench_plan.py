"""Time whole commands side by side with the imports that they rest on.

    python tests/benchmarks/bench_plan.py [rounds]

Prints medians and ratios of whole processes, each pair measured in turn in one run.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from made_files import write_route, write_sources

STACK = [sys.executable, "-c", "import geopandas, folium, gpxpy, pyproj"]
BARE = [sys.executable, "-c", "pass"]
LONGDRY = [str(Path(sys.executable).with_name("longdry"))]


def seconds(command: list[str]) -> float:
    """Time one whole process."""
    begun = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def compare(name: str, command: list[str], other: list[str], limit: float, rounds: int) -> None:
    """Run both in turn and print their medians and the ratio of them."""
    pairs = [(seconds(command), seconds(other)) for _ in range(rounds + 1)][1:]
    ratio = statistics.median(a / b for a, b in pairs)
    ours = statistics.median(a for a, _ in pairs)
    theirs = statistics.median(b for _, b in pairs)
    print(f"| {name} | {ours:.3f} s | {theirs:.3f} s | {ratio:.2f} | {limit:g} |")


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_route(folder / "route.gpx", 20_000)
        write_sources(folder / "water.geojson", 200, 20_000)
        plan = [*LONGDRY, "plan", str(folder / "route.gpx"), "--water"]
        plan.append(str(folder / "water.geojson"))
        page = [*plan, "--out", str(folder / "plan.html"), "--json", str(folder / "plan.json")]
        print("| whole process | longdry | beside it | ratio | goal |\n|---|---|---|---|---|")
        compare("plan and page, 20,000 points, 200 sources / imports", page, STACK, 1.5, rounds)
        compare("plan, JSON only / imports", [*plan, "--json", str(folder / "plan.json")],
                STACK, 0.6, rounds)  # fmt: skip
        compare("--help / bare python", [*LONGDRY, "--help"], BARE, 3.0, rounds)


if __name__ == "__main__":
    main()
