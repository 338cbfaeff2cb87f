"""The clock and the names of movements fit the page, whatever its width and the text scale."""

import pytest

from companion.views.controls import big_words, frame, theme


def test_the_clock_is_at_least_96_px_and_fits_between_the_margins_of_a_phone() -> None:
    for text in ("0:30", "12:45"):
        size = theme.clock_px(412, text)
        assert size >= 96
        assert size * theme.clock_ems(text) <= 412 - 2 * theme.Space.M


@pytest.mark.parametrize("page_px", [320, 412, 700, 991, 992, 1040, 1280, 1920])
def test_the_clock_fits_the_column_it_stands_in(page_px: int) -> None:
    room_px = frame.column_px(page_px) - 2 * theme.Space.M
    assert room_px <= page_px - 2 * theme.Space.M
    if page_px >= 412:
        assert theme.clock_px(frame.column_px(page_px), "12:45") * theme.clock_ems("12:45") <= room_px


def test_the_longest_word_of_a_name_fits_a_phone_at_any_text_scale() -> None:
    """WCAG 2.2, 1.4.4: text up to 200 per cent without loss."""
    for scale in (1.0, 1.3, 2.0):
        size = big_words.fitting_size("Alternating reverse lunge", 56, page_px=412, scale=scale)
        assert size * scale * len("Alternating") * big_words.WIDEST_EM <= 412 - 2 * theme.Space.M
    assert big_words.fitting_size("Wide row", 56, page_px=412, scale=1.0) == 56
    longest_name = "Lunge with a turn " * 6
    assert big_words.fitting_size(longest_name, 56, page_px=412, scale=1.0) == theme.Type.TITLE
