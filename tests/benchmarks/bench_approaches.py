"""Finding all approaches, side by side with general recipes in one run.

Run it: ``python tests/benchmarks/bench_approaches.py [--long]``. It prints seconds and ratios;
no test depends on them. It ends with status 1 where longdry at the largest size is slower than
1.3 times what the last release took beside the same recipe. Track and places are invented. Every
recipe starts from latitudes and longitudes and ends with what it finds. The recipes:

- exploded: geopandas ``sjoin_nearest`` of the places to the route's segments; one approach each.
- dwithin: shapely ``STRtree`` over the segments, ``query(..., "dwithin")``; all near segments.
- one line: geopandas ``sjoin_nearest`` to the route as one line, then ``line_locate_point``; one
  approach each. Quadratic: only up to 100,000 points, above that with ``--long``.

All three measure in a projection (transverse Mercator about the track's middle), longdry on
the ellipsoid.
"""

from __future__ import annotations

import argparse
import platform
import resource
import sys
import time

import geopandas
import numpy as np
import shapely
from pyproj import Transformer

from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.model.route import Route

MAX_DETOUR_KM = 10.0
PROJECTION = "+proj=tmerc +lat_0=0 +lon_0=50 +ellps=WGS84 +units=m"
CASES = ((20_000, 200, 0.05, 1.0), (100_000, 20_000, 0.02, 0.05), (1_000_000, 200_000, 0.01, 0.01))
"""Points, places, km between points, share of the places near the route."""
MOST_ON_ONE_LINE = 100_000
LEAST_TIMES = {"exploded": 5.3 / 1.3, "dwithin": 9.3 / 1.3}
"""At the largest size the last release was 5.3 and 9.3 times as fast."""


class Case:
    """An invented track with bends and jitter, and places near it and far from it."""

    def __init__(self, points, places, spacing_km, near_share):
        dice = np.random.default_rng(20_000)
        lon, lat = winding_track(points, spacing_km, dice)
        self.route = Route("invented", "invented.gpx", lat, lon, np.full(lat.size, np.nan), [0])
        near = int(places * near_share)
        at = dice.integers(0, points, near)
        far = places - near
        self.lat = np.append(lat[at] + dice.normal(0.0, 0.03, near), dice.uniform(-10, 20, far))
        self.lon = np.append(lon[at] + dice.normal(0.0, 0.03, near), dice.uniform(0, 100, far))


def winding_track(points, spacing_km, dice):
    """Follow a Lissajous figure over 2,000 km, bends of a few km laid over it."""
    turn = np.linspace(0.0, 2.0 * np.pi, 400_000)
    east_km = 1000.0 * np.sin(3.0 * turn) + 0.7 * np.sin(turn * 4000.0)
    north_km = 800.0 * np.sin(2.0 * turn + 0.4) + 0.7 * np.cos(turn * 3100.0)
    run_km = np.append(0.0, np.cumsum(np.hypot(np.diff(east_km), np.diff(north_km))))
    at_km = np.arange(points) * spacing_km
    jitter_km = dice.normal(0.0, spacing_km / 5.0, (2, points))
    east_m = (np.interp(at_km, run_km, east_km) + jitter_km[0]) * 1000.0
    north_m = (np.interp(at_km, run_km, north_km) + jitter_km[1]) * 1000.0
    return Transformer.from_crs(PROJECTION, "EPSG:4326", always_xy=True).transform(east_m, north_m)


def by_longdry(case):
    """All approaches, measuring the route included."""
    found = find_approaches(
        measure_route(case.route), case.lat, case.lon, max_detour_km=MAX_DETOUR_KM
    )
    return len(found)


def projected(case):
    """Return the track's corners and the places in metres."""
    to_metres = Transformer.from_crs("EPSG:4326", PROJECTION, always_xy=True)
    track = np.column_stack(to_metres.transform(case.route.lon_deg, case.route.lat_deg))
    return track, shapely.points(*to_metres.transform(case.lon, case.lat))


def segments_of(track):
    """Return the track's legs as lines of two points."""
    return shapely.linestrings(np.stack([track[:-1], track[1:]], axis=1))


def by_exploded(case):
    """The nearest segment of each place."""
    track, places = projected(case)
    near = nearest_join(places, segments_of(track))
    return near.index.nunique()


def by_dwithin(case):
    """All segments within the detour of each place."""
    track, places = projected(case)
    tree = shapely.STRtree(segments_of(track))
    pairs = tree.query(places, "dwithin", MAX_DETOUR_KM * 1000.0)
    return np.unique(pairs[0]).size


def by_one_line(case):
    """The km of the nearest point of the whole line to each place."""
    track, places = projected(case)
    line = shapely.linestrings(track)
    near = nearest_join(places, [line])
    return shapely.line_locate_point(line, near.geometry.to_numpy()).size


def nearest_join(places, lines):
    """Join places to their nearest lines within the detour."""
    left = geopandas.GeoDataFrame(geometry=places, crs=PROJECTION)
    right = geopandas.GeoDataFrame(geometry=lines, crs=PROJECTION)
    return geopandas.sjoin_nearest(
        left, right, max_distance=MAX_DETOUR_KM * 1000.0, distance_col="offset_m"
    )


RECIPES = {"exploded": by_exploded, "dwithin": by_dwithin, "one line": by_one_line}


def seconds_of(recipe, case, times):
    """Return the best of several runs and what was found."""
    best = np.inf
    for _ in range(times):
        begin = time.perf_counter()
        found = recipe(case)
        best = min(best, time.perf_counter() - begin)
    return best, found


def compare(case, *, long):
    """Print one line for each recipe; return how many goals are missed."""
    missed = 0
    points, places = case.route.points, case.lat.size
    own_s, found = seconds_of(by_longdry, case, 3)
    size = f"{points:,} x {places:,}"
    print(f"| {size} | longdry | {own_s:.3f} | 1.0 | {found:,} approaches |")
    for name, recipe in RECIPES.items():
        if name == "one line" and points > MOST_ON_ONE_LINE and not long:
            continue
        other_s, found = seconds_of(recipe, case, 3 if points <= MOST_ON_ONE_LINE // 2 else 1)
        print(f"| {size} | {name} | {other_s:.3f} | {other_s / own_s:.1f} | {found:,} places |")
        is_largest = (points, places) == CASES[-1][:2]
        missed += is_largest and other_s / own_s < LEAST_TIMES.get(name, 0.0)
    return missed


def growth():
    """Print what doubling the points, the places or both does to the time."""
    base = (250_000, 50_000, 0.01, 0.04)
    base_s, _ = seconds_of(by_longdry, Case(*base), 5)
    for what, points, places in (("points", 2, 1), ("places", 1, 2), ("both", 2, 2)):
        case = Case(base[0] * points, base[1] * places, *base[2:])
        doubled_s, _ = seconds_of(by_longdry, case, 5)
        print(f"doubling {what}: {doubled_s / base_s:.2f} times the time")


def main():
    """Print the table; 1 where a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--long", action="store_true", help="one line at the largest size, too")
    long = parser.parse_args().long
    cases = [Case(*sizes) for sizes in CASES]
    before_mb = peak_mb()
    by_longdry(cases[-1])
    after_mb = peak_mb()
    print(f"{platform.machine()}, Python {platform.python_version()}, numpy {np.__version__}")
    print(f"memory: {after_mb:.0f} MB at the largest size, {before_mb:.0f} MB of it before\n")
    print("| points x places | recipe | s | times longdry | finds |\n|---|---|---|---|---|")
    missed = sum(compare(case, long=long) for case in cases)
    print()
    growth()
    return int(missed > 0)


def peak_mb():
    """Return the most memory that this process has held."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


if __name__ == "__main__":
    sys.exit(main())
