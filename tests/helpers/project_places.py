"""Where the project's own folders are, for tests in any room."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample_routes"
DOCS = ROOT / "docs"
HELPERS = ROOT / "tests" / "helpers"
REFERENCE = ROOT / "tests" / "reference"
"""Reference data of published standards."""
