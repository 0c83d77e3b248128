"""The plan as text for the terminal: may the party start, why, and the way, stop by stop."""

from __future__ import annotations


