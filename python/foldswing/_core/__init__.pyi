from typing import Any, type_check_only

from foldswing._core import adjustment as adjustment
from foldswing._core import arc as arc
from foldswing._core import axis as axis
from foldswing._core import bend as bend
from foldswing._core import bend_check as bend_check
from foldswing._core import bend_order as bend_order
from foldswing._core import blank as blank
from foldswing._core import carry as carry
from foldswing._core import clearance as clearance
from foldswing._core import crowned_edge as crowned_edge
from foldswing._core import cure as cure
from foldswing._core import curved_flange as curved_flange
from foldswing._core import cut_list as cut_list
from foldswing._core import development as development
from foldswing._core import drafting as drafting
from foldswing._core import edge_finish as edge_finish
from foldswing._core import fitting as fitting
from foldswing._core import flip_panel as flip_panel
from foldswing._core import folding_stay as folding_stay
from foldswing._core import gate as gate
from foldswing._core import hinge as hinge
from foldswing._core import motion as motion
from foldswing._core import opening as opening
from foldswing._core import plane as plane
from foldswing._core import ready_section as ready_section
from foldswing._core import relief as relief
from foldswing._core import seam as seam
from foldswing._core import station as station
from foldswing._core import stay as stay
from foldswing._core import tolerance as tolerance
from foldswing._core import tray as tray
from foldswing._core import virtual_shop as virtual_shop
from typing_extensions import Self

__version__: str

class InvalidInput(ValueError): ...

@type_check_only
class _BoundType(type): ...

@type_check_only
class Bound(metaclass=_BoundType):
    """What every bound class has."""

@type_check_only
class BoundValue(Bound):
    """What every bound value has."""

    def __copy__(self, _memo: Any = None) -> Self: ...
    def __deepcopy__(self, _memo: Any = None) -> Self: ...
    def to_dict(self) -> dict[str, Any]: ...
    @classmethod
    def from_dict(cls, fields: dict[str, Any]) -> Self: ...
