"""The catalogues of companion/words/catalogues: extracted from the code, merged, compiled.

    python3 build/dev.py words [--check]

It finds the texts of ``say`` and ``several`` in the code, the sentences of the engine's messages, the library
and the samples; adds what is new to each ``LANGUAGE.po`` and drops what is gone; compiles the catalogues and
the locales' tables; and says what has no translation yet. With ``--check`` it changes nothing, and fails
where something is stale or missing.
"""

from __future__ import annotations

import ast
import io
import json
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from babel import Locale as Cldr
from babel.dates import get_period_names
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from environment import ROOT

from companion.words.language import SOURCE
from companion.words.locale import LOCALES, TABLES, Locale
from companion.words.plural import Plural
from companion.words.registry import ALOUD, OF_LIBRARY, SENTENCES, UNKNOWN
from engine.movements.limits import ENDS_SOONER, LIMIT_RULES
from engine.today.easy_movement import NAME, RULES

CATALOGUES = ROOT / "companion" / "words" / "catalogues"
LIBRARIES = (ROOT / "engine" / "library", ROOT / "companion" / "samples" / "plans")
WRITTEN = {"name", "other_names", "cues", "end_point", "stop_rules", "placing", "note"}
"""The fields of the library and the samples that people read."""
ONE, SEVERAL = ("say", "msgid"), "several"
MADE_AT = datetime(2026, 1, 1, tzinfo=UTC)
"""A time that never changes, so that the same texts make the same file."""


class Text(NamedTuple):
    """What a catalogue has one entry for; ``context`` tells apart what reads the same in English."""

    context: str | None
    one: str
    other: str | None = None


def texts() -> dict[Text, set[str]]:
    """Every text, with the places that it comes from."""
    found: dict[Text, set[str]] = {}
    for text, place in (*_of_code(), *_of_messages(), *_of_library(), *_of_engine()):
        found.setdefault(text, set()).add(place)
    return found


def _of_code() -> Iterator[tuple[Text, str]]:
    for path in sorted((ROOT / "companion").rglob("*.py")):
        place = path.relative_to(ROOT).as_posix()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                yield from ((text, place) for text in _said_by(node.func.id, node.args))


def _said_by(name: str, arguments: Sequence[ast.expr]) -> Iterator[Text]:
    if name in ONE:
        yield from (Text(None, text) for text in _literals(arguments[0]))
    elif name == SEVERAL:
        (one,), (other,) = _literals(arguments[0]), _literals(arguments[1])
        yield Text(None, one, other)


def _literals(node: ast.expr) -> list[str]:
    """The texts that are written out there, one of two where a condition chooses."""
    if isinstance(node, ast.IfExp):
        return [*_literals(node.body), *_literals(node.orelse)]
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def _of_messages() -> Iterator[tuple[Text, str]]:
    for code, sentence in SENTENCES.items():
        if isinstance(sentence, Plural):
            yield Text(code, sentence.one, sentence.other), "messages"
        else:
            yield Text(code, sentence), "messages"
    yield Text(None, UNKNOWN), "messages"
    yield from ((Text(None, aloud.one, aloud.other), "messages") for aloud in ALOUD.values())


def _of_library() -> Iterator[tuple[Text, str]]:
    for folder in LIBRARIES:
        for path in sorted(folder.glob("*.json")):
            place = path.relative_to(ROOT).as_posix()
            for text in _written(json.loads(path.read_text(encoding="utf-8"))):
                yield Text(OF_LIBRARY, text), place


def _of_engine() -> Iterator[tuple[Text, str]]:
    """What the engine writes into a session beside the words of the library and the plan."""
    for text in (*LIMIT_RULES.values(), ENDS_SOONER):
        yield Text(OF_LIBRARY, text), "engine/movements/limits.py"
    for text in (NAME, *RULES):
        yield Text(OF_LIBRARY, text), "engine/today/easy_movement.py"


def _written(node: Any, *, is_text: bool = False) -> Iterator[str]:
    match node:
        case dict():
            for name, value in node.items():
                yield from _written(value, is_text=name in WRITTEN)
        case list():
            for value in node:
                yield from _written(value, is_text=is_text)
        case str() if is_text:
            yield node


def merged(code: str) -> Catalog:
    """The catalogue of a language with every text that there is now, translated or not yet."""
    path = CATALOGUES / f"{code}.po"
    before = read_po(io.BytesIO(path.read_bytes())) if path.is_file() else Catalog(locale=code)
    catalogue = Catalog(locale=LOCALES[code], fuzzy=False, charset="utf-8")
    for text, places in sorted(texts().items(), key=_in_order):
        key = text.one if text.other is None else (text.one, text.other)
        known = before.get(text.one, text.context)
        kept = known.string if known is not None and known.id == key else None
        locations = [(place, None) for place in sorted(places)]
        catalogue.add(key, kept, locations, context=text.context)  # type: ignore[arg-type]
    return catalogue


def _in_order(found: tuple[Text, set[str]]) -> tuple[list[str], str, str]:
    text, places = found
    return sorted(places), text.context or "", text.one


def missing(catalogue: Catalog) -> list[str]:
    """The texts without a translation."""
    return [str(one.id) for one in catalogue if one.id and not all(_forms(one.string))]


def _forms(translated: object) -> tuple[object, ...]:
    return tuple(translated) if isinstance(translated, tuple | list) else (translated,)


def written(catalogue: Catalog) -> bytes:
    """The catalogue as a file of gettext, the same whenever its texts are the same."""
    file = io.BytesIO()
    write_po(file, catalogue, width=100, omit_header=True, sort_output=False)
    head = f'msgid ""\nmsgstr ""\n"Language: {catalogue.locale_identifier}\\n"\n'
    head += f'"Plural-Forms: {catalogue.plural_forms}\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'
    return head.encode() + file.getvalue()


def compiled(catalogue: Catalog) -> bytes:
    """The translated texts as gettext reads them."""
    file, translated = io.BytesIO(), Catalog(locale=catalogue.locale, fuzzy=False)
    for one in catalogue:
        if one.id and all(_forms(one.string)):
            translated.add(one.id, one.string, context=one.context)
    catalogue = translated
    catalogue.revision_date = catalogue.creation_date = MADE_AT
    write_mo(file, catalogue)
    return file.getvalue()


def tables() -> bytes:
    """The tables of the locales, by language."""
    made = {code: table(name)._asdict() for code, name in LOCALES.items()}
    return (json.dumps(made, ensure_ascii=False, indent=1) + "\n").encode()


def table(name: str) -> Locale:
    cldr = Cldr.parse(name)
    patterns, lists = cldr.datetime_skeletons, cldr.list_patterns["standard"]
    halves = get_period_names(locale=cldr)
    without_year = re.sub(r"[,\s]*('[^']*'\s*)?y+.*$", "", cldr.date_formats["full"].pattern)
    weekday_pattern = patterns.get("MMMMEEEEd", without_year)
    return Locale(
        decimal=cldr.number_symbols["latn"]["decimal"],
        group=cldr.number_symbols["latn"]["group"],
        days=tuple(cldr.days["format"]["wide"][day] for day in range(7)),
        months=tuple(cldr.months["format"]["wide"][month] for month in range(1, 13)),
        halves=(halves.get("am", "AM"), halves.get("pm", "PM")),
        first_day=cldr.first_week_day,
        is_rtl=cldr.text_direction == "rtl",
        pair=lists["2"],
        start=lists["start"],
        middle=lists["middle"],
        end=lists["end"],
        weekday_pattern=str(weekday_pattern),
        date_pattern=cldr.date_formats["long"].pattern,
        time_pattern=cldr.time_formats["short"].pattern,
    )


def made() -> tuple[dict[str, bytes], dict[str, list[str]]]:
    """The files of the catalogues by name, and what each language has no words for."""
    files, lacking = {TABLES: tables()}, {}
    for code in LOCALES:
        if code != SOURCE:
            catalogue = merged(code)
            files[f"{code}.po"], files[f"{code}.mo"] = written(catalogue), compiled(catalogue)
            lacking[code] = missing(catalogue)
    return files, lacking


def stale(files: Mapping[str, bytes] | None = None) -> list[str]:
    """The files that are not what the code says now."""
    files = made()[0] if files is None else files
    return [name for name, content in files.items() if not _is_there(CATALOGUES / name, content)]


def _is_there(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def main(arguments: Sequence[str] | None = None) -> int:
    only_checks = "--check" in (sys.argv[1:] if arguments is None else arguments)
    files, lacking = made()
    old, count = stale(files), len(texts())
    for code, without in lacking.items():
        print(f"{code}: {len(without)} of {count} texts have no translation yet.")
        print("".join(f"    {text}\n" for text in without[:10]), end="")
    if only_checks and old:
        print(f"Stale: {', '.join(old)}. Run: python3 build/dev.py words")
        return 1
    for name in old:
        (CATALOGUES / name).write_bytes(files[name])
    return 0


if __name__ == "__main__":
    sys.exit(main())
