"""Several files are put in place together, or none of them."""

from __future__ import annotations

import pytest

from longdry.errors import StorageError
from longdry.storage import (
    new_file_beside,
    put_in_place,
    replace_files,
    sole_right,
    sweep_coming,
)


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


def test_a_file_taken_piece_by_piece_is_put_in_place_whole_or_gone(tmp_path):
    """Not put in place, nothing of it stays; put in place, it has the mode of the old one."""
    place = tmp_path / "route.gpx"
    place.write_text("old")
    place.chmod(0o600)
    with new_file_beside(place) as (file, _):
        file.write(b"half")
    assert [path.name for path in tmp_path.iterdir()] == ["route.gpx"]
    assert place.read_text() == "old"
    with new_file_beside(place) as (file, path):
        file.write(b"new")
        file.flush()
        put_in_place(path, place)

    assert [path.name for path in tmp_path.iterdir()] == ["route.gpx"]
    assert place.read_text() == "new"
    assert place.stat().st_mode & 0o777 == 0o600


def test_what_was_being_taken_at_a_kill_is_swept_and_nothing_else(tmp_path):
    """Only hidden folders with our ending go."""
    for name in (".a.gpx.0badcafe.coming", ".keep", "b.coming"):
        (tmp_path / name).mkdir()
    sweep_coming(tmp_path)

    assert sorted(path.name for path in tmp_path.iterdir()) == [".keep", "b.coming"]


def test_one_process_has_the_sole_right_to_a_folder(tmp_path):
    """A second asks in vain until the first lets go; the folder stays empty."""
    with sole_right(tmp_path) as first, sole_right(tmp_path) as second:
        assert (first, second) == (True, False)
    with sole_right(tmp_path) as again:
        assert again
    assert not list(tmp_path.iterdir())
