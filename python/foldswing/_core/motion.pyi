from typing import Any

from foldswing._core import Bound

class Motion(Bound):
    def __init__(self, *args: Any, **kwargs: Any) -> None: ...
