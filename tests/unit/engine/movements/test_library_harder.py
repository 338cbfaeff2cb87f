"""The harder versions of the library, as a strength coach would check them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.movements.movement import Form, Kit, Movement, MovementPattern, harder_version, library

LIBRARY = library()
PATTERNS = [p for p in MovementPattern if p not in (MovementPattern.mobility, MovementPattern.carry)]


def every_form() -> Iterator[tuple[Movement, Form]]:
    return ((movement, form) for movement in LIBRARY.values() for form in movement.forms)


def versions_after(movement: Movement, form: Form) -> Iterator[tuple[Movement, Form]]:
    """The harder versions of a form, one after another."""
    seen = {(movement.slug, form.id)}
    while (harder := harder_version(form, LIBRARY)) is not None:
        movement, form = harder
        assert (movement.slug, form.id) not in seen, "harder and harder again goes in a circle"
        seen.add((movement.slug, form.id))
        yield harder


def test_harder_belongs_to_the_version_and_leads_on_without_a_circle() -> None:
    """The next version has the same dumbbells, or one where there is none without; the same pattern; a level
    that is not lower, and at most two higher."""
    for movement, form in every_form():
        for _ in versions_after(movement, form):
            pass
        harder = harder_version(form, LIBRARY)
        if harder is not None:
            other, version = harder
            assert other.pattern is movement.pattern, movement.slug
            assert version.kit is form.kit or form.kit is Kit.none, movement.slug
            assert 0 <= other.level_of(version) - movement.level_of(form) <= 2, movement.slug
            assert (other.slug, version.id) != (movement.slug, form.id)


def test_an_easier_movement_leads_to_something_harder() -> None:
    for movement in LIBRARY.values():
        if movement.easier is not None:
            assert any(form.harder for form in LIBRARY[movement.easier].forms), movement.slug


@pytest.mark.parametrize("pattern", PATTERNS)
def test_each_pattern_grows_without_a_weight(pattern: MovementPattern) -> None:
    """From a beginner's version a chain of harder ones without a weight reaches at least a usual level; a
    squat one that is practised."""
    reached = [
        other.level_of(version)
        for movement, form in every_form()
        if movement.pattern is pattern and form.kit is Kit.none and movement.level_of(form) <= 2
        for other, version in versions_after(movement, form)
        if version.kit is Kit.none
    ]
    assert max(reached) >= (4 if pattern is MovementPattern.squat else 3)


def test_a_squat_without_a_weight_goes_on_to_one_leg() -> None:
    names = [(m.slug, f.id) for m, f in versions_after(LIBRARY["squat"], LIBRARY["squat"].forms[0])]
    assert names == [
        ("staggered-squat", "bodyweight"),
        ("one-leg-chair-squat", "wall"),
        ("one-leg-chair-squat", "free"),
    ]
