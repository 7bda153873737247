from typing import Any

def swing(
    chord: Any, rise: Any, axis: str, from_middle: Any, opening_deg: Any
) -> tuple[float, float, float, float, float, float]: ...
