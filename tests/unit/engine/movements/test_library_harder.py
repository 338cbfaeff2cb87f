"""The harder versions of the library, as a strength coach would check them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.movements.movement import Kit, Movement, MovementPattern, Variant, harder_version, library

LIBRARY = library()
PATTERNS = [p for p in MovementPattern if p not in (MovementPattern.mobility, MovementPattern.carry)]


def every_variant() -> Iterator[tuple[Movement, Variant]]:
    return ((movement, variant) for movement in LIBRARY.values() for variant in movement.variants)


def versions_after(movement: Movement, variant: Variant) -> Iterator[tuple[Movement, Variant]]:
    """The harder versions of a variant, one after another."""
    seen = {(movement.slug, variant.id)}
    while (harder := harder_version(variant, LIBRARY)) is not None:
        movement, variant = harder
        assert (movement.slug, variant.id) not in seen, "harder and harder again goes in a circle"
        seen.add((movement.slug, variant.id))
        yield harder


def test_harder_belongs_to_the_version_and_leads_on_without_a_circle() -> None:
    """The next version has the same dumbbells, or one where there is none without; the same pattern; a level
    that is not lower, and at most two higher."""
    for movement, variant in every_variant():
        for _ in versions_after(movement, variant):
            pass
        harder = harder_version(variant, LIBRARY)
        if harder is not None:
            other, version = harder
            assert other.pattern is movement.pattern, movement.slug
            assert version.kit is variant.kit or variant.kit is Kit.none, movement.slug
            assert 0 <= other.level_of(version) - movement.level_of(variant) <= 2, movement.slug
            assert (other.slug, version.id) != (movement.slug, variant.id)


def test_an_easier_movement_leads_to_something_harder() -> None:
    for movement in LIBRARY.values():
        if movement.easier is not None:
            assert any(variant.harder for variant in LIBRARY[movement.easier].variants), movement.slug


@pytest.mark.parametrize("pattern", PATTERNS)
def test_each_pattern_grows_without_a_weight(pattern: MovementPattern) -> None:
    """From a beginner's version a chain of harder ones without a weight reaches at least a usual level; a
    squat one that is practised."""
    reached = [
        other.level_of(version)
        for movement, variant in every_variant()
        if movement.pattern is pattern and variant.kit is Kit.none and movement.level_of(variant) <= 2
        for other, version in versions_after(movement, variant)
        if version.kit is Kit.none
    ]
    assert max(reached) >= (4 if pattern is MovementPattern.squat else 3)


def test_a_squat_without_a_weight_goes_on_to_one_leg() -> None:
    names = [(m.slug, f.id) for m, f in versions_after(LIBRARY["squat"], LIBRARY["squat"].variants[0])]
    assert names == [
        ("staggered-squat", "bodyweight"),
        ("one-leg-chair-squat", "wall"),
        ("one-leg-chair-squat", "free"),
    ]
