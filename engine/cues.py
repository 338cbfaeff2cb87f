from enum import StrEnum
from pydantic import BaseModel, ConfigDict


class CueKind(StrEnum):
    WORK = "work"
    CHANGE_SIDE = "change_side"
    REST = "rest"
    GET_DOWN = "get_down"
    COUNT = "count"
    BLOCK_DONE = "block_done"
    SESSION_DONE = "session_done"
    STOP = "stop"


class Tone(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")
    start_ms: int
    length_ms: int
    hz: int


class TimedCue(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")
    at_ms: int
    kind: CueKind
    pattern_ms: tuple[int, ...]
    tone: tuple[Tone, ...]
    words: str
