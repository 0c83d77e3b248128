"""Several files are put in place together, or none of them."""

from __future__ import annotations

import pytest

from longdry.errors import StorageError
from longdry.storage import replace_files


def test_where_one_of_three_cannot_be_written_none_is_new(tmp_path):
    """The third is in no folder: the first two keep what they hold, and nothing lies beside."""
    first, second = tmp_path / "a", tmp_path / "b"
    first.write_text("old")
    lost = tmp_path / "nowhere" / "c"

    with pytest.raises(StorageError, match="nowhere"):
        replace_files([(first, "new"), (second, "new"), (lost, "new")])

    assert first.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_all_are_new_where_all_can_be_written(tmp_path):
    """And nothing unfinished is left."""
    replace_files([(tmp_path / name, name) for name in "abc"])

    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {
        "a": "a", "b": "b", "c": "c",
    }  # fmt: skip
