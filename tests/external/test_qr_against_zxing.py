"""The QR code of a link, read from its picture by an independent decoder (zxing-cpp)."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
import segno
import zxingcpp
from PIL import Image, ImageFilter
from places import GOLDEN, SAMPLES
from qr_size import qr_modules

from companion.paper.qr import LARGEST_ON_PAPER_MODULES, modules_a_side, qr_code
from engine.base.reading import read
from engine.plan.adjustment import Adjustment
from engine.plan.link import link, read_link
from engine.plan.plan import SessionPlan

BASE = "https://saltmarrow-rowing.example.org/companion/"
SAMPLE_FILES = sorted(SAMPLES.glob("*.json"))


def sample_plan(path: Path) -> SessionPlan:
    return read(SessionPlan, path.read_bytes())


def made(written: str) -> segno.QRCode:
    code = qr_code(written)
    assert code is not None
    return code


def modules(plan: SessionPlan) -> int:
    return qr_modules(plan, BASE)


def picture(written: str, *, module_px: int = 4) -> Image.Image:
    out = BytesIO()
    made(written).save(out, kind="png", scale=module_px, border=4)
    return Image.open(out).convert("L")


def decoded(image: Image.Image) -> str:
    found = zxingcpp.read_barcode(image, formats=zxingcpp.BarcodeFormat.QRCode)
    assert found is not None, "no code was found in the picture"
    return found.text


@pytest.mark.parametrize("sample", SAMPLE_FILES, ids=lambda path: path.stem)
def test_the_code_of_every_sample_is_read_back_as_its_link_and_stays_small(sample: Path) -> None:
    plan = sample_plan(sample)
    written = str(link(BASE, plan))
    assert decoded(picture(written)) == written
    assert read_link(decoded(picture(written))) == plan
    assert 0 < modules(plan) <= LARGEST_ON_PAPER_MODULES == 85


def test_a_code_is_read_small_large_soft_tilted_and_upside_down() -> None:
    """The widest sample, as the camera of a phone might see it."""
    written = str(link(BASE, max(map(sample_plan, SAMPLE_FILES), key=modules)))
    sharp = picture(written)
    seen = {
        "at half the size": sharp.resize((sharp.width // 2, sharp.height // 2), Image.Resampling.LANCZOS),
        "at 1.7 times the size": sharp.resize((sharp.width * 17 // 10,) * 2, Image.Resampling.BICUBIC),
        "out of focus": sharp.filter(ImageFilter.GaussianBlur(1.5)),
        "tilted by 7 degrees": sharp.rotate(7, expand=True, fillcolor=255, resample=Image.Resampling.BICUBIC),
        "upside down": sharp.rotate(180),
        "pale": sharp.point(lambda grey: 90 + grey * 120 // 255),
        "larger, soft and tilted": sharp.resize((sharp.width * 2,) * 2)
        .filter(ImageFilter.GaussianBlur(3))
        .rotate(-12, expand=True, fillcolor=255, resample=Image.Resampling.BICUBIC),
    }
    assert {how: decoded(image) for how, image in seen.items()} == dict.fromkeys(seen, written)


def test_an_adjustment_travels_in_a_smaller_code() -> None:
    adjustment = read(Adjustment, (GOLDEN / "adjustment.json").read_bytes())
    written = str(link(BASE, adjustment))
    assert decoded(picture(written)) == written
    assert modules_a_side(made(written)) <= 61


def test_packing_the_text_by_itself_makes_the_smaller_code() -> None:
    """A code of one segment spends 8 bits on every character, as base 64 would."""
    written = str(link(BASE, sample_plan(SAMPLE_FILES[0])))
    one_segment = segno.make(written, error="L", micro=False, mode="byte")
    assert modules_a_side(made(written)) < modules_a_side(one_segment)
