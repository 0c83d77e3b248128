"""How much a backdrop may add to the page."""

from __future__ import annotations

BYTES_PER_MB = 1_000_000
MOST_BACKDROP_MB = 6.0
"""What a backdrop may add to the page unless the user says otherwise."""
