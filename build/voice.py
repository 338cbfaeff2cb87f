"""Records the words of the cues in one small file, for devices without a voice.

    python3 build/dev.py voice

Needs Debian's packages flite and opus-tools. Writes words.opus into companion/assets/voice/, and words.json,
which says where each piece begins and ends in it, in ms. With the same programs the same words give the same
bytes. A speech recogniser that knew all pieces (PocketSphinx) understood 120 of the first 128 at these 9
kbit/s, and 52 from an MP3 of 16 kbit/s.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
import wave
from array import array
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from engine.movements.movement import Movement

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "companion" / "assets" / "voice"
COUNT = "Three, two, one"
PIECES = (
    "Work", "Rest", "Rest a moment", "Next", "Get down", "Hold", "Held", "Change sides", "Change to the left",
    "Change to the right", "left", "right", "Block done", "Session done", "Stop", "Weight down", "No weight",
    "Get ready", "Three to five light repetitions first", "kilogram", "kilograms", "pound", "pounds", "each",
    "point", "hundred",
)  # fmt: skip
"""What cues say between full stops, colons and commas, apart from numbers and the names of movements and
their versions."""
NUMBERS = tuple(str(number) for number in (*range(21), *range(30, 100, 10)))
"""What any load is put together from, as ``spelled`` in cues.js does."""

RATE_HZ = 16_000
GAP_MS = 80
LEAD_MS, TAIL_MS = 10, 30
AUDIBLE = 500
LOUDEST = 30_000
VOICE = ("-voice", "slt", "--setf")
SLOWLY, BRISKLY = "duration_stretch=1.1", "duration_stretch=0.86"
"""The pace of single words, which are easily missed, and of longer pieces."""
PACKED = ("--quiet", "--speech", "--bitrate", "9", "--framesize", "60", "--serial", "1")


def spoken(words: str, scratch: Path) -> array[int]:
    """The samples of some words, as loud as possible, without silence before and after."""
    sound = scratch / "words.wav"
    pace = BRISKLY if " " in words else SLOWLY
    subprocess.run(["flite", *VOICE, pace, "-t", words, "-o", str(sound)], check=True)
    with wave.open(str(sound)) as said:
        if (said.getframerate(), said.getnchannels(), said.getsampwidth()) != (RATE_HZ, 1, 2):
            raise ValueError(f"flite speaks as {said.getparams()}")
        samples = array("h", said.readframes(said.getnframes()))
    heard = [at for at, sample in enumerate(samples) if abs(sample) > AUDIBLE]
    part = samples[heard[0] : heard[-1] + 1]
    louder = LOUDEST / max(map(abs, part))
    return array("h", (round(sample * louder) for sample in part))


def countdown(scratch: Path) -> array[int]:
    """The countdown, with its words exactly a second apart."""
    count: array[int] = array("h")
    for word in COUNT.split(", "):
        count.extend(silence(1000 * (-(-len(count) // RATE_HZ)) - ms_of(len(count))))
        count.extend(spoken(word, scratch))
    return count


def silence(length_ms: float) -> array[int]:
    return array("h", bytes(2 * round(length_ms * RATE_HZ / 1000)))


def ms_of(samples: int) -> float:
    return samples * 1000 / RATE_HZ


def pieces_of(movements: Iterable[Movement]) -> set[str]:
    """The names of movements, and those of their versions in the pieces between commas."""
    known = tuple(movements)
    versions = (variant.name.split(", ") for movement in known for variant in movement.variants)
    return {movement.name for movement in known}.union(*versions)


def speak_all(out: Path, names: Iterable[str]) -> None:
    """Writes words.opus and words.json for every piece, number and name."""
    samples, places = silence(GAP_MS), {}
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder)
        for piece in (COUNT, *PIECES, *NUMBERS, *sorted(names)):
            start_ms = ms_of(len(samples))
            samples += countdown(scratch) if piece == COUNT else spoken(piece, scratch)
            places[piece] = [round(start_ms - LEAD_MS), round(ms_of(len(samples)) + TAIL_MS)]
            samples += silence(GAP_MS)
        sound = scratch / "all.wav"
        with wave.open(str(sound), "wb") as written:
            written.setparams((1, 2, RATE_HZ, 0, "NONE", ""))
            written.writeframes(samples.tobytes())
        out.mkdir(parents=True, exist_ok=True)
        subprocess.run(["opusenc", *PACKED, str(sound), str(out / "words.opus")], check=True)
    text = json.dumps(places, indent=0, separators=(",", ":"))
    (out / "words.json").write_text(text + "\n", encoding="utf-8")


def main() -> int:
    missing = [program for program in ("flite", "opusenc") if shutil.which(program) is None]
    if missing:
        print(f"The words are spoken by {' and '.join(missing)}: install that first.", file=sys.stderr)
        return 1
    sys.path.insert(0, str(ROOT))
    from engine.movements.movement import library

    speak_all(OUT, pieces_of(library().values()))
    size_kb = sum(path.stat().st_size for path in OUT.glob("words.*")) / 1000
    print(f"{OUT.relative_to(ROOT)}: {size_kb:.0f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
