"""Words on the still map, each where there is room for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from longdry.model.arrays import FloatArray
from longdry.showing.label_room import LabelBox, free_box
from longdry.showing.markup import Markup
from longdry.showing.overview_frame import WIDTH, Sheet, halo_text

_FAR = 1e6
Wanted = tuple[tuple[float, float], str]
"""A place in the picture and the words for it."""


class Labels:
    """Keeps the room that is taken; words that find none are left out."""

    def __init__(self, route: FloatArray, sheet: Sheet) -> None:
        """Begin with the route, points in the picture, shape (n, 2); what lies outside is taken."""
        self._route = route
        self._taken = [
            LabelBox(-_FAR, -_FAR, 0.0, _FAR),
            LabelBox(WIDTH, -_FAR, _FAR, _FAR),
            LabelBox(-_FAR, -_FAR, _FAR, 0.0),
            LabelBox(-_FAR, sheet.height, _FAR, _FAR),
        ]

    def placed(self, wanted: Iterable[Wanted], css: str = "halo") -> Iterator[Markup]:
        """Write the words, the more important first."""
        for at, words in wanted:
            box = free_box(at, words, self._route, self._taken)
            if box:
                self._taken.append(box)
                yield halo_text(
                    (box.left + box.right) / 2.0, box.bottom - 4.0, words, "middle", css
                )
