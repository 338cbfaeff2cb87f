"""The picture of the rooms shows what imports what, and is the one that is drawn today."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

from picture import PICTURE, imports_of_rooms, layout, levels, name_of, picture, without_implied

INVENTED = {
    "boat.mast": frozenset({"boat.keel", "boat.deck"}),
    "boat.deck": frozenset({"boat.keel"}),
    "boat.rudder": frozenset({"boat.keel"}),
    "boat.keel": frozenset[str](),
}


def test_the_picture_in_the_documents_is_drawn_from_today_s_imports() -> None:
    assert PICTURE.read_text(encoding="utf-8") == picture(), "python3 build/dev.py renew picture"


def test_an_import_that_follows_from_others_is_left_out() -> None:
    assert without_implied(INVENTED) == INVENTED | {"boat.mast": frozenset({"boat.deck"})}


def test_a_room_lies_above_everything_it_imports() -> None:
    assert levels(INVENTED) == {"boat.keel": 0, "boat.deck": 1, "boat.rudder": 1, "boat.mast": 2}
    rows, arrows = layout(INVENTED)
    assert [{spot.room for spot in row if spot.room} for row in rows] == [
        {"boat.mast"},
        {"boat.deck", "boat.rudder"},
        {"boat.keel"},
    ]
    assert all(upper.row + 1 == lower.row for arrow in arrows for upper, lower in pairwise(arrow))


def test_nothing_in_a_row_overlaps_or_leaves_the_picture() -> None:
    rows, _ = layout(INVENTED)
    for row in rows:
        assert row[0].left >= 0
        for left, right in pairwise(row):
            assert left.left + left.width < right.left


def test_every_room_is_named_in_the_picture() -> None:
    shown = {element.text for element in ElementTree.fromstring(picture()).iter() if element.text}
    assert {name_of(room) for room in imports_of_rooms()} <= shown
