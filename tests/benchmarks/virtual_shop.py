"""The virtual shop, in full: python tests/benchmarks/virtual_shop.py [GATES]. Shares of gates that come out right."""

from __future__ import annotations

import sys
import time

from foldswing import fitting, virtual_shop

ROWS = (
    ("right at first fit", "first_fit", None),
    ("after one correction by adjusters, jamb, gate or both", "adjusted", "adjusted_ceiling"),
    ("after one correction by one adjuster, jamb or gate", "one_adjuster", None),
    ("after one correction by drilling anew, as advised", "redrilled", "redrilled_ceiling"),
    ("after drilling through both together anew", "through", "through_ceiling"),
    ("rubbed on the way at first fit", "rubbed", None),
)


def main(gates: int) -> None:
    """Print one table for holes drilled apart and one for holes drilled through together."""
    for together in (False, True):
        shop = virtual_shop.Shop(together=together)
        start = time.perf_counter()
        tally = virtual_shop.run(shop, gates=gates)
        took = time.perf_counter() - start
        how = "through together" if together else "apart"
        print(f"\n{gates} gates, holes drilled {how}; {1e3 * took / gates:.1f} ms each\n{shop!r}")
        for words, name, ceiling in ROWS:
            share = tally.share(name)
            line = f"{words:55s} {100 * share.share:5.1f} % +- {100 * share.standard_error:.1f}"
            if ceiling is not None:
                line += f"   ceiling, holes known exactly: {100 * tally.share(ceiling).share:.1f} %"
            print(line)
        print(
            f"of {tally.through_drilled} drilled through anew, holes known exactly: {tally.through_drilled_right} right"
        )
    limit = fitting.drilling_ceiling(0.4, [90, 125])
    print(
        "\none hole drilled through both at 0.4 mm, one landing at 90 and one at 125 degrees: "
        f"at most {100 * limit:.1f} %"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
