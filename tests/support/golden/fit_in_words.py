"""What ``companion fit`` says in each language, for readers to judge: tests/golden/fit-LANGUAGE.txt.

python3 build/dev.py renew fit_in_words
"""

from __future__ import annotations

import io
from contextlib import redirect_stderr, redirect_stdout

from places import GOLDEN

from companion.cli.main import main as companion
from companion.words.locale import LOCALES

ASKED = (
    "fit 1-harbour-circuit --minutes 25 --kit pair",
    "fit 2-allotment-evening --minutes 20 --kit single --pain knee-left:2,shoulder-right:3",
    "fit 3-slipway-without-weights --minutes 12 --without wall,floor --first-time",
    "fit 4-regatta-week --minutes 40 --kit pair --pain low-back:2 --rounds 3",
    "fit 5-net-loft-loop --minutes 4 --kit single",
    "fit 1-harbour-circuit --minutes 20 --pain knee-right:7",
    "fit 2-allotment-evening --minutes 18 --kit single --side-change inside",
    "fit no-such-plan --minutes many",
)
"""Cuts, pain, a room that lacks something, an exact number of rounds, too few minutes, and bad input."""


def told(language: str) -> str:
    """Everything that the commands print in a language, each after its own line."""
    parts = []
    for asked in ASKED:
        out = io.StringIO()
        with redirect_stdout(out), redirect_stderr(out):
            code = companion(["--language", language, *asked.split()])
        parts.append(f"$ companion --language {language} {asked}\n{out.getvalue()}[{code}]\n")
    return "\n".join(parts)


def main() -> int:
    for language in LOCALES:
        (GOLDEN / f"fit-{language}.txt").write_text(told(language), "utf-8")
    return 0
