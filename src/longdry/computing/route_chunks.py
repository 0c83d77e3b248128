"""A route cut into short pieces, and the pieces gathered in chunks with a centre and a radius."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.geodesy import ecef_km, squared_norms
from longdry.computing.route_legs import ChosenLegs
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import MeasuredRoute, Route

LONGEST_PIECE_KM = 1.0
"""The chord of such a piece runs 2 cm under the ground at its middle."""
PIECES_A_CHUNK = 64
_CHUNKS_A_BLOCK = 128
"""So few that what is worked out of them stays near the processor."""
_BULGE_KM = 2e-5
"""How far the ground of the longest piece rises above its chord."""


@dataclass(frozen=True, slots=True, eq=False)
class RouteChunks:
    """Pieces of legs in travel order, ``PIECES_A_CHUNK`` to a chunk; lengths in km, ECEF.

    The last chunk is filled up with pieces of no length at the route's end.
    """

    corners_km: FloatArray
    """Shape (chunks, pieces + 1, 3): where pieces begin and end. A view: chunks share corners."""
    squared_piece_km2: FloatArray
    """Shape (chunks, pieces): squared chords of the pieces."""
    centre_km: FloatArray
    """Shape (chunks, 3): the corner in the middle of each chunk."""
    radius_km: FloatArray
    """Shape (chunks,): no point of the chunk is farther from its centre."""
    leg: IntArray
    """Shape (corners,): the leg that each corner stands on."""
    fraction: FloatArray
    """Shape (corners,): where on that leg."""

    @classmethod
    def of(cls, measured: MeasuredRoute) -> RouteChunks:
        """Cut a route."""
        route = measured.route
        leg, fraction = _corners(measured.leg_km)
        chunks = -(-(leg.size - 1) // PIECES_A_CHUNK)
        filled = np.empty((chunks * PIECES_A_CHUNK + 1, 3))
        filled[: leg.size] = _corner_points(route, leg, fraction)
        filled[leg.size :] = filled[leg.size - 1]
        corners = _in_chunks(filled)
        squared = np.empty((chunks, PIECES_A_CHUNK))
        radius = np.empty(chunks)
        for begin in range(0, chunks, _CHUNKS_A_BLOCK):
            block = slice(begin, begin + _CHUNKS_A_BLOCK)
            squared[block], radius[block] = _pieces_and_radius(corners[block])
        centre = corners[:, PIECES_A_CHUNK // 2]
        return cls(corners, squared, centre, radius + _BULGE_KM, leg, fraction)

    def leg_and_fraction(self, piece: IntArray, share: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return leg and fraction of the leg for shares (0 to 1) of pieces."""
        piece = np.minimum(piece, self.leg.size - 2)
        leg = self.leg[piece]
        begin = self.fraction[piece]
        end = np.where(self.leg[piece + 1] == leg, self.fraction[piece + 1], 1.0)
        return leg, begin + share * (end - begin)


def _corners(leg_km: FloatArray) -> tuple[IntArray, FloatArray]:
    """Return leg and fraction of every corner; the last is the end of the last leg."""
    pieces = np.maximum(np.ceil(leg_km / LONGEST_PIECE_KM), 1.0).astype(np.int64)
    if pieces.max() == 1:
        leg = np.minimum(np.arange(leg_km.size + 1), leg_km.size - 1)
        fraction = np.zeros(leg.size)
    else:
        leg = np.append(np.repeat(np.arange(leg_km.size), pieces), leg_km.size - 1)
        number = np.arange(leg.size) - (np.cumsum(pieces) - pieces)[leg]
        fraction = number / pieces[leg]
    fraction[-1] = 1.0
    return leg, fraction


def _pieces_and_radius(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return squared chords of the pieces, and the radius of each chunk about its middle."""
    from_centre = corners - corners[:, PIECES_A_CHUNK // 2, np.newaxis]
    radius = np.sqrt(squared_norms(from_centre).max(axis=1))
    return squared_norms(np.diff(corners, axis=1)), radius


def _corner_points(route: Route, leg: IntArray, fraction: FloatArray) -> FloatArray:
    if leg.size == route.points:
        return ecef_km(route.lat_deg, route.lon_deg)
    points = np.empty((leg.size, 3))
    between = fraction > 0.0
    between[-1] = False
    points[~between] = ecef_km(route.lat_deg, route.lon_deg)
    lat_deg, lon_deg, _ = ChosenLegs.of(route, leg[between]).at(fraction[between])
    points[between] = ecef_km(lat_deg, lon_deg)
    return points


def _in_chunks(corners: FloatArray) -> FloatArray:
    """View corners of shape (chunks * pieces + 1, 3) as overlapping chunks."""
    windows = np.lib.stride_tricks.sliding_window_view(corners, PIECES_A_CHUNK + 1, axis=0)
    return windows[::PIECES_A_CHUNK].transpose(0, 2, 1)
