from collections.abc import Sequence
from typing import Any

from foldswing.cut_list import Blank, Layout, Sheet

def lay_out(
    blanks: Sequence[Blank],
    sheets: Sequence[Sheet],
    kerf: Any,
    edge: Any,
    guillotine: bool,
    least_remnant: Any,
) -> Layout: ...
