"""What every model is built on: frozen values, strict about unknown fields, with tuples as collections."""

from __future__ import annotations

import hashlib
import json
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from engine.base.printable import is_seen

LONGEST_SENTENCE = 400
"""Characters."""

Slug = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=64)]
"""A stable id: small letters, digits and single hyphens."""


class NotSeen(ValueError):
    """Raised for a name of which nothing can be seen."""


def _seen(name: str) -> str:
    if not is_seen(name):
        raise NotSeen
    return name


Identifier = Annotated[str, Field(min_length=1, max_length=100)]
LONGEST_NAME = 120
Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME), AfterValidator(_seen)]
Sentence = Annotated[str, Field(min_length=1, max_length=LONGEST_SENTENCE)]
Rating = Annotated[int, Field(ge=0, le=10)]
JsonObject = dict[str, Any]


class Model(BaseModel):
    """A value: equal by content, never changed in place. Its validator is built when it is first used."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)


def canonical_json(model: BaseModel) -> str:
    """The one text of a content: keys sorted, no spaces, defaults written out."""
    return json.dumps(
        model.model_dump(mode="json"), sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )


def revision_of(model: BaseModel) -> str:
    """The revision of a document: the first 16 hex digits of SHA-256 of its canonical JSON."""
    return hashlib.sha256(canonical_json(model).encode()).hexdigest()[:16]
