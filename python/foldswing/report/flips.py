"""A flip panel on the sheet."""

from __future__ import annotations

from foldswing import pictures
from foldswing.evaluation import FlipResult
from foldswing.job import Job
from foldswing.report.words import CLOSEST, VERDICTS, Words, approaches, sentences, warnings
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph


def _metal(done: FlipResult) -> str:
    words = f"{done.metal_at_pin:.1f} mm"
    return f"{words} (without ears {done.metal_without_ears:.1f} mm)" if done.ears else words


def flip_blocks(done: FlipResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of one flip panel."""
    drawing = pictures.flip_swing(done, job)
    return [
        Heading(done.name),
        Paragraph(sentences(VERDICTS[done.verdict])),
        *warnings(done.findings),
        Figure(drawing, "Shut and open, with the tightest place"),
        KeyValues(
            (
                ("Turns through", f"{done.opening_deg:.1f}\N{DEGREE SIGN}"),
                *(
                    (f"{f.stop.capitalize()}, the {face} face looks", way)
                    for f in done.faces
                    for face, way in (("outer", f.outer), ("inner", f.inner))
                ),
                ("Pivot from the hinged edge, along the skin", words.size(float(done.pivot[0]))),
                ("Pivot behind the outer surface", words.size(float(done.pivot[1]))),
                ("Metal left round the pin", _metal(done)),
                *((("Ears", done.ears),) if done.ears else ()),
                ("Room needed behind the outer surface", words.size(done.room_behind)),
                ("Comes out of the surface on the way by", words.size(done.reach_out)),
                ("Stands out of the surface when open by", words.size(done.stands_out)),
            )
        ),
        approaches(done.closest, words, CLOSEST),
    ]
