"""How short the parts of a session may get, whatever a plan or a fit asks for. Seconds."""

from __future__ import annotations

SHORTEST_REST_S = 15
"""The rest before a movement that is done standing, with the same load. † Our judgement, no source."""
SHORTEST_REST_BEFORE_FLOOR_S = 30
"""The rest before floor work, a change of load, or after an effort of 8 or more. † Our judgement, no
source."""
SHORTEST_WORK_S = 20
"""What a work interval keeps when it is shortened: with 10 s for a change of legs, 5 s a side. † Our
judgement, no source."""
SHORTEST_COOL_DOWN_S = 120
"""What a cool-down keeps when it is shortened. † Our judgement, no source."""


def shortest_rest_s(on_floor: bool, *, other_load: bool = False) -> int:
    """The least rest before a movement that is done on the floor or not, with another load or the same."""
    return SHORTEST_REST_BEFORE_FLOOR_S if on_floor or other_load else SHORTEST_REST_S
