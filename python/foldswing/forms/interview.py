"""A whole part asked in the terminal, from the title of the job to the text of its file."""

from __future__ import annotations

from typing import Any

from foldswing._core import InvalidInput
from foldswing.forms import plan
from foldswing.forms.answers import Given, of_key, read
from foldswing.forms.asking import Questions, Talk
from foldswing.forms.writing import head_text, part_text
from foldswing.job import Job, ShopFile, files, keys, loads_with_shop
from foldswing.job.gates import Gate
from foldswing.job.keys import Key
from foldswing.job.parts import BentPart, Crown, FlipPanel, Material, Pan

_SHAPE = Key("", "word", "", True, None, ("flats and bends", "pan"), False, None, None, False)
_NAME = Key("", "text", "", True, None, (), False, None, None, False)

Part = tuple[str, int, dict[str, Any]]


def asked(kind: str, talk: Talk, *, text: str = "", readings: int = 1, shop: ShopFile | None = None) -> str:
    """Ask a part, one question at a time, and return the text of the job file.

    Parameters
    ----------
    kind : {'gate', 'panel', 'lid', 'bent'}
        What is asked.
    talk : Talk
        What asks.
    text : str
        A job file the part is added to; empty for a new one.
    readings : int
        How often each lettered size is read.
    shop : ShopFile or None
        What it gives is not asked.

    Raises
    ------
    Left
        When the questions were left before the end.
    """

    def questions() -> str:
        tables = files.load(text, "job") if text else {}
        unit = "in" if tables.get("units", shop.shop.units if shop else None) == "inch" else "mm"
        ask = Questions(talk, kind, unit, readings=readings, shop=shop)
        head = {}
        if not text:
            head = ask.table(Job, "", {"format": 1}, frozenset(plan.FILLED) - {"format"})
        parts = _parts(kind, ask, tables)
        new = part_text(kind, parts)
        whole = f"{text.rstrip()}\n\n{new}" if text else f"{head_text(kind, head)}\n{new}"
        _proved(whole, talk, parts, shop)
        return whole

    return str(talk.run(questions))


def _parts(kind: str, ask: Questions, tables: dict[str, Any]) -> list[Part]:
    """Ask what belongs to a kind of part."""
    talk = ask.talk
    if kind == "gate":
        return [_part(ask, tables, "gate", Gate)]
    if kind == "lid":
        return [_part(ask, tables, "crown", Crown)]
    sheet, new = _material(ask, tables)
    if kind == "panel":
        number = _count(tables, "pan") + 1
        talk.say("-- The pan it is made as")
        pan = ask.table(Pan, f"pan[{number}]", {"material": sheet})
        return [*new, ("pan", number, pan), _part(ask, tables, "flip_panel", FlipPanel, {"pan": pan["name"]})]
    shape = talk.ask(
        "shape",
        "Is it one section of flats and bends, or a pan with flanges round one face (flats and bends / pan)",
        lambda said: read(said, _SHAPE, ask.unit),
    )
    if shape is not None and shape.value == "pan":
        return [*new, _part(ask, tables, "pan", Pan, {"material": sheet})]
    return [*new, _part(ask, tables, "bent_part", BentPart, {"material": sheet})]


def _count(tables: dict[str, Any], name: str) -> int:
    return len(tables.get(name, ()))


def _part(ask: Questions, tables: dict[str, Any], name: str, cls: Any, filled: dict[str, Any] | None = None) -> Part:
    number = _count(tables, name) + 1
    ask.talk.say(f"-- {(cls.__doc__ or '').splitlines()[0]}")
    path = f"{name}[{number}]"
    table = ask.table(cls, path, filled)
    taken = [t.get("name") for t in tables.get(name, ())]
    if table["name"] in taken:
        ask.talk.again(f"{path}.name", f"the job has '{table['name']}' already")
    if name == "gate":
        _tell_turn(ask, table)
    return name, number, table


def _tell_turn(ask: Questions, table: dict[str, Any]) -> None:
    """Say what the two readings of the angle finder come to."""
    from foldswing import gate  # noqa: PLC0415
    from foldswing.evaluation.gate_section import section  # noqa: PLC0415

    reader = keys.Reader(ask.unit)
    try:
        turn = gate.opening_to_level(section(reader.table(Gate, table, ())))
    except InvalidInput:
        return  # it is said, as a question, when the whole is worked out
    ask.talk.say(f"From shut to level it turns {turn:.2f} degrees, by the two readings of the angle finder.")


def _material(ask: Questions, tables: dict[str, Any]) -> tuple[str, list[Part]]:
    """Ask which sheet it is made of; return its name, and its table where it is new."""
    known = [str(t.get("name")) for t in tables.get("material", ())]
    there = f"; there is {keys.listed([repr(n) for n in known], 'and')}" if known else ""
    number = len(known) + 1
    given = ask.talk.ask(
        f"material[{number}].name",
        f"Sheet it is made of, a name for it{there}",
        lambda said: read(said, _NAME, ask.unit),
    )
    name = str(given.value) if isinstance(given, Given) else ""
    if name in known:
        old = tables["material"][known.index(name)]
        for size in ("thickness", "inside_radius"):
            value = of_key(keys.keys_of(Material)[size], old.get(size), ask.unit)
            if value is not None:
                ask.known[f"material.{size}"] = value
        return name, []
    ask.talk.say("-- The sheet and how it bends")
    return name, [("material", number, ask.table(Material, f"material[{number}]", {"name": name}))]


def _proved(text: str, talk: Talk, parts: list[Part], shop: ShopFile | None) -> None:
    """Work the job out; what contradicts itself is asked after."""
    from foldswing import evaluation  # noqa: PLC0415

    name, number, _ = parts[-1]
    try:
        job, _ = loads_with_shop(text, shop, name="the file")
        evaluation.evaluate(job)
    except InvalidInput as why:
        talk.again(f"{name}[{number}]", str(why).splitlines()[0])
