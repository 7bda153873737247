"""Throw damaged files at the readers of jobs and of first fits: each is read, or InvalidInput, never a hang.

python tests/fuzz/fuzz_job.py [--seconds 30] [--seed 0] [--cases N]
"""

from __future__ import annotations

import argparse
import faulthandler
import random
import re
import sys
import time
import traceback
from collections.abc import Callable

from foldswing import InvalidInput, evaluation, forms, job

TRACED = """\
[side.trace]
card = { inward = 80, down = 170 }
point = [
  { inward = 14, up = 250 },
  { outward = 125, up = 214 },
  { from_inner_edge = 303.5, from_lower_edge = 285 },
  { outward = 258, down = 14 },
  { outward = 208, down = 175 },
]
[side.marks]
lower = { from_lower_edge = 30, from_inner_face = 12 }
upper = { from_lower_edge = 330, from_inner_face = 12 }
[[side.pose]]
name = "shut"
lower = { inward = 16, down = 6 }
upper = { inward = 16, up = 294 }
[[side.pose]]
name = "level"
lower = { outward = 2, down = 12 }
upper = { outward = 302, down = 12 }
[[side.pose]]
name = "lean"
lower = { outward = 3.3, down = 20 }
tilt = 35
falls = "outward"
reading_error = 1
"""  # of the demo's gate, roughly
SET = """\
[[gate.stay.jamb_place]]
inward = 35
inward_to = 55
above_worktop = 150
above_worktop_to = 300
[[gate.stay.gate_place]]
corner = [
  { above_lower_edge = 200, from_inner_face = 8 },
  { above_lower_edge = 280, from_inner_face = 8 },
  { above_lower_edge = 280, from_inner_face = 20 },
]
[[gate.adjuster]]
kind = "slotted hole"
hole = "jamb"
runs = "at an angle"
angle = 30
rises = "outward"
up = 3
down = 2
[[gate.adjuster]]
kind = "eccentric bush"
hole = "gate"
throw = 1.5
diameter = 16
[[gate.adjuster]]
kind = "pad shim"
stop = "lean"
thickness = 2
"""  # pins to be chosen and adjusters, for the demo's gate
HANG = 60.0  # s for one case before the run is stopped as hung; a good file takes a few ms

VALUES = (
    "nan",
    "inf",
    "-inf",
    "-1",
    "0",
    "-0.0",
    "1e308",
    "1e-308",
    "1e999",
    "9" * 500,
    "0x7f",
    "0b1",
    "true",
    "false",
    "[]",
    "{}",
    "[[1]]",
    "[1, 'a', []]",
    "{a = 1}",
    "''",
    '""',
    "'x'",
    '"4 1/2""',
    '"4 1/2 in"',
    '"3\' 2 1/2\\""',
    '"1/0 in"',
    '"16 ga"',
    '"16 ga steel"',
    '"-5 mm"',
    '"nan mm"',
    '"1e400 mm"',
    '"5 kg"',
    '"35 deg"',
    '"½ in"',
    '"\\u0000"',
    '"\\ud800"',
    "2026-01-01",
    "12:00:00",
    "2026-13-45",
    "1_000",
    "0o17",
    '"""',
    "'''",
    "",
    "=",
    "#",
    '"' + "1" * 200 + ' in"',
    "[" * 300,
    "{" * 50,
    '"\\U0010ffff"',
    "1979-05-27T07:32:00Z",
    "\x00",
    "\u202e",
)
PIECES = (
    "[[",
    "]]",
    "[",
    "]",
    "=",
    ".",
    '"',
    "'",
    "\\",
    "\n",
    "#",
    ",",
    "{",
    "}",
    "\r",
    "\x00",
    "\xff",
    "\u2033",
    " = 1\n",
)


def damage(text: str, rng: random.Random) -> str | bytes:
    """Return the text with one to four things wrong with it."""
    lines = text.split("\n")

    def value() -> None:
        spots = [i for i, line in enumerate(lines) if "=" in line]
        if spots:
            i = rng.choice(spots)
            lines[i] = lines[i].split("=")[0] + "= " + rng.choice(VALUES)

    def name() -> None:
        i = rng.randrange(len(lines))
        at = rng.randrange(len(lines[i]) + 1)
        lines[i] = lines[i][:at] + rng.choice(PIECES) + lines[i][at + rng.randrange(2) :]

    def drop() -> None:
        i = rng.randrange(len(lines))
        del lines[i : i + rng.choice((1, 1, 2, 10))]
        lines.append("")

    def double() -> None:
        i = rng.randrange(len(lines))
        lines[i:i] = lines[i : i + rng.choice((1, 1, 5, 40))] * rng.choice((1, 1, 3))

    def swap() -> None:
        i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
        lines[i], lines[j] = lines[j], lines[i]

    def move_value() -> None:
        spots = [i for i, line in enumerate(lines) if "=" in line]
        if spots:
            i, j = rng.choice(spots), rng.choice(spots)
            lines[i] = lines[i].split("=")[0] + "=" + lines[j].split("=", 1)[1]

    def deepen() -> None:
        i = rng.randrange(len(lines))
        lines[i] = ".".join("ab"[rng.randrange(2)] for _ in range(rng.choice((2, 50, 2000)))) + " = 1"

    kinds: list[Callable[[], None]] = [value, value, value, name, name, drop, double, swap, move_value, deepen]
    for _ in range(rng.randint(1, 4)):
        rng.choice(kinds)()
    out = "\n".join(lines)
    last = rng.randrange(12)
    if last == 0:
        return out[: rng.randrange(len(out) + 1)]
    if last == 1:
        data = bytearray(out.encode("utf-8", "surrogatepass"))
        for _ in range(rng.choice((1, 1, 8, 200))):
            data[rng.randrange(len(data))] = rng.randrange(256)
        return bytes(data)
    if last == 2:
        return out.encode(rng.choice(("utf-16", "utf-32", "utf-8", "utf-8-sig")), "surrogatepass")
    return out


def read_job(data: str | bytes) -> None:
    """Read a job; what was read comes back from its own dict."""
    made = job.loads(data)
    if job.Job.from_dict(made.to_dict()) != made:
        raise AssertionError("a job that was read does not come back from its own dict")


def set_afterwards() -> str:
    """Return the demo with pins to be chosen and adjusters."""
    text = job.shipped()["lantern_nine"].read_text("utf-8")
    text = re.sub(r"(jamb|gate)_pin_\w+ = .*\n", "", text)
    return text.replace("[[gate.stop]]", f"{SET}[[gate.stop]]", 1)


def first_fit() -> tuple[str, Callable[[str | bytes], None]]:
    """Return a file of readings that was filled in, and what reads it and works it out."""
    whole = job.read(job.shipped()["lantern_nine"])
    text = re.sub(r'# (\w+) = "[A-Z]\?"', r"\1 = [3.0, 3.5]", forms.blank_first_fit(whole, whole.gate[0]))
    text = text.replace('# falls = "outward"', 'falls = "outward"').replace('# face = "proud"', 'face = "proud"')
    text = text.replace("# [side.trace]", TRACED + "# [side.trace]", 1)

    def read(data: str | bytes) -> None:
        evaluation.evaluate_first_fit(whole, job.loads_first_fit(data))

    return text, read


def main() -> int:
    """Run the fuzzer and return 0 when only InvalidInput was ever raised."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=float, default=30.0)
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--cases", type=int, help="stop after so many instead")
    given = options.parse_args()
    rng = random.Random(given.seed)
    sources = [(path.read_text("utf-8"), read_job) for path in job.shipped().values()]
    sources += [(set_afterwards(), read_job), first_fit()]
    start = time.monotonic()
    cases = refused = 0
    slowest = 0.0
    while (cases < given.cases) if given.cases else (time.monotonic() - start < given.seconds):
        text, read = rng.choice(sources)
        data = damage(text, rng)
        began = time.monotonic()
        faulthandler.dump_traceback_later(HANG, exit=True)
        try:
            read(data)
        except InvalidInput as error:
            refused += 1
            if not str(error) or len(str(error)) > 20_000:
                print(f"case {cases}: a message of {len(str(error))} characters")
                return 1
        except Exception:
            traceback.print_exc()
            print(f"case {cases} of seed {given.seed} raised something else; the file was:\n{data!r}")
            return 1
        finally:
            faulthandler.cancel_dump_traceback_later()
        slowest = max(slowest, time.monotonic() - began)
        cases += 1
    print(
        f"job reader: {cases} damaged files (seed {given.seed}), {refused} refused, {cases - refused} still good, "
        f"only InvalidInput raised; slowest {slowest * 1e3:.0f} ms"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
