from foldswing._core import arc as arc
from foldswing._core import bend as bend
from foldswing._core import blank as blank
from foldswing._core import clearance as clearance
from foldswing._core import hinge as hinge
from foldswing._core import motion as motion
from foldswing._core import plane as plane

__version__: str

class InvalidInput(ValueError): ...
