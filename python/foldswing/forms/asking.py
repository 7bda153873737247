"""Questions, one at a time: what is answered is checked at once, can be gone back on, and becomes the tables of a job.

The questions are plain code that asks and goes on. What was answered is kept in order; to go back is to drop the last
answer and run through the code again with those that are left, without asking them again.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from typing import Any, NamedTuple

from foldswing.forms import answers, plan
from foldswing.forms.answers import Doubtful, Given
from foldswing.forms.doubts import doubts, from_level
from foldswing.forms.sizes import Size, lettered
from foldswing.job import Job, ShopFile, keys
from foldswing.job.keys import Key
from foldswing.job.parts import Material
from foldswing.job.shop import completed_material

MOST_TRIES = 200  # answers to one question: after so many nobody is reading
YES_NO = Key("", "flag", "", True, None, (), False, None, None, False)

HELP = (
    "Commands: ? tells more, back goes to the question before, quit ends without writing anything. Sizes: 1190, 4-1/2, "
    "4 1/2 in, 2 ft 3 in; several readings in one line, such as 1190 1190.5 1189 or 4 1/2; 4 9/16; 4 1/2."
)


class Left(Exception):
    """The questions were left before the end."""


class _Back(Exception):
    """Go back to the question before."""


class _Again(Exception):
    """Go back to where a key was asked."""

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


class Entry(NamedTuple):
    """An answer, what it was to, and how it was typed."""

    path: str
    given: Given | None
    typed: str


class Talk:
    """Asks through `read` and `say`.

    Parameters
    ----------
    read : callable
        Shows a prompt and returns what was typed; raises EOFError when no more comes.
    say : callable
        Shows a line.

    Attributes
    ----------
    asking : str
        Path of what is being asked.
    """

    def __init__(self, read: Callable[[str], str], say: Callable[[str], None]) -> None:
        self._read = read
        self._say = say
        self._log: list[Entry] = []
        self._typed: dict[str, str] = {}
        self._at = 0
        self.asking = ""

    def run(self, questions: Callable[[], Any]) -> Any:
        """Run questions to their end, again from the start whenever an answer is gone back on.

        Raises
        ------
        Left
            When they were left before their end.
        """
        while True:
            self._at = 0
            try:
                return questions()
            except _Back:
                self._drop(len(self._log) - 1)
            except _Again as why:
                paths = [entry.path for entry in self._log]
                self._drop(next((i for i, p in enumerate(paths) if p.startswith(why.path)), len(paths) - 1))

    def _drop(self, first: int) -> None:
        for entry in self._log[max(first, 0) :]:
            self._typed[entry.path] = entry.typed
        del self._log[max(first, 0) :]

    @property
    def live(self) -> bool:
        """Whether the next question is really asked, not only run through again."""
        return self._at >= len(self._log)

    def say(self, text: str) -> None:
        """Say something, unless it was said before."""
        if self.live:
            self._say(text)

    def again(self, path: str, problem: str) -> None:
        """Say what is wrong, as a question, and go back to where the key at fault was asked."""
        self._say(f"That does not go together: {problem}. Which of these answers is it?")
        raise _Again(path)

    def ask(
        self,
        path: str,
        prompt: str,
        take: Callable[[str], Given],
        *,
        more: str = "",
        empty: Given | str | None = "needed",
    ) -> Given | None:
        """Ask one question.

        Parameters
        ----------
        path : str
            What it is about.
        prompt, more : str
            The question, and what '?' tells.
        take : callable
            Returns the answer, or raises Doubtful with a question.
        empty : Given or None or 'needed'
            What an empty answer means.
        """
        if not self.live:
            entry = self._log[self._at]
            self._at += 1
            return entry.given
        self.asking = path
        before = self._typed.get(path, "")
        shown = f"{prompt} [{before}]" if before else prompt
        instead: str | None = None
        for _ in range(MOST_TRIES):
            typed = self._line(f"{shown}: ")
            word = typed.lower()
            if word in {"quit", "exit"}:
                raise Left
            if word == "back":
                if self._log:
                    raise _Back
                self._say("This is the first question: is there something to change in it?")
                continue
            if word in {"?", "help"}:
                self._say(more or HELP)
                continue
            if instead is not None and word in {"y", "yes"}:
                typed = instead
            instead = None
            typed = typed or before
            if not typed:
                if empty != "needed":
                    self._note(path, empty, "")  # type: ignore[arg-type]
                    return empty  # type: ignore[return-value]
                self._say("This one is needed: what is it? (? tells more)")
                continue
            try:
                given = take(typed)
            except Doubtful as why:
                self._say(f"{why}{' (y: yes)' if why.instead else ''}")
                instead = why.instead
                before = ""
                continue
            self._note(path, given, typed)
            return given
        raise Left

    def keep(self, question: str, instead: str | None) -> str:
        """Ask whether a doubtful answer stands; return 'keep', 'again', or what is taken instead."""
        offer = f"y: take {instead}; k: keep it; " if instead else "y: keep it; "
        for _ in range(MOST_TRIES):
            typed = self._line(f"{question} ({offer}Enter: ask again): ")
            word = typed.lower()
            if word in {"quit", "exit"}:
                raise Left
            if word in {"k", "keep"} or (word in {"y", "yes"} and instead is None):
                return "keep"
            if word in {"y", "yes"}:
                return str(instead)
            if word in {"", "n", "no", "?", "back", "again"}:
                return "again"
            return typed
        raise Left

    def _note(self, path: str, given: Given | None, typed: str) -> None:
        self._log.append(Entry(path, given, typed))
        self._typed.pop(path, None)
        self._at += 1

    def _line(self, prompt: str) -> str:
        for _ in range(MOST_TRIES):
            try:
                typed = self._read(prompt)
            except (EOFError, KeyboardInterrupt):
                raise Left from None
            if not typed.lstrip().startswith("#"):  # a script may carry remarks
                return typed.strip()
        raise Left


class Questions:
    """Asks the tables of a job.

    Parameters
    ----------
    talk : Talk
        What asks.
    kind : {'gate', 'panel', 'lid', 'bent'}
        Whose letters are used.
    unit : {'mm', 'in'}
        What a bare length means.
    readings : int
        How often each lettered size is read.
    shop : ShopFile or None
        What it gives need not be answered.
    """

    def __init__(self, talk: Talk, kind: str, unit: str, *, readings: int = 1, shop: ShopFile | None = None) -> None:
        self.talk = talk
        self.shop = shop
        self.kind = kind
        self.unit = unit
        self.readings = readings
        self.known: dict[str, float] = {}

    def table(
        self, cls: Any, path: str, filled: dict[str, Any] | None = None, skip: frozenset[str] = frozenset()
    ) -> Any:
        """Ask one table; return it as the job file will say it.

        Parameters
        ----------
        cls : type
            The class of the table.
        path : str
            Its path in the job.
        filled : dict
            Keys that are settled already.
        skip : frozenset
            Keys that are not asked.
        """
        rows = keys.keys_of(cls)
        out: dict[str, Any] = dict(filled or {})
        later: list[str] = []
        decided: dict[str, str | None] = {}
        for name in plan.order(cls):
            if name in out or name in skip:
                continue
            row = rows[name]
            if plan.straight(cls, row, lettered=self._letter(join(path, name), row) is not None) and not (
                cls is Job and name in self._from_shop()
            ):
                self._one(cls, row, path, out, decided)
            else:
                later.append(name)
            if cls is Job and name == "units":
                self.unit = "in" if out.get("units", self._shop_units()) == "inch" else "mm"
        if later:
            self._later(cls, path, out, later, decided)
        self._settled(cls, path, out)
        return out

    def _from_shop(self) -> set[str]:
        """Return the keys of a job that the shop file gives."""
        return {path.partition(".")[0] for path in self.shop.given} if self.shop else set()

    def _shop_units(self) -> str | None:
        return self.shop.shop.units if self.shop else None

    def _later(
        self, cls: Any, path: str, out: dict[str, Any], names: list[str], decided: dict[str, str | None]
    ) -> None:
        """Offer what is seldom asked."""
        rows = keys.keys_of(cls)
        shown = ", ".join(name.replace("_", " ") for name in names)
        what = _in_short(cls)
        if self.yes(join(path, "more"), f"Anything more about {what}: {shown}? (y/N)"):
            for name in names:
                self._one(cls, rows[name], path, out, decided)

    def _settled(self, cls: Any, path: str, out: dict[str, Any]) -> None:
        """Check a finished table against the rules between its keys; go back to the key at fault."""
        if cls is Job:  # it is whole only with its parts
            return
        reader = keys.Reader(self.unit)
        made = reader.table(cls, self._with_figure(out) if cls is Material else out, ())
        if made is None:
            text = reader.problems[0].strip()
            first = text.partition(" ")[0].partition("[")[0].partition(".")[0]
            at = f"{path}.{first}" if first in keys.keys_of(cls) else path
            self.talk.again(at, text.removeprefix("- "))

    def _with_figure(self, material: dict[str, Any]) -> dict[str, Any]:
        """Return a material with this shop's bend figure, where it has one and the material gives none."""
        return completed_material(material, self.shop.shop, self.unit) if self.shop else material

    def _one(self, cls: Any, row: Key, path: str, out: dict[str, Any], decided: dict[str, str | None]) -> None:
        """Ask one key, if it means something beside what was answered."""
        name = row.name
        needed = row.required or plan.never_assumed(cls, name)
        other = plan.needed_with(cls, name)
        if other is not None:
            if out.get(other[0]) not in other[1]:
                return
            needed = True
        void = plan.skipped_with(cls, name)
        if void is not None and out.get(void[0]) == void[1]:
            return
        first = plan.together_with(cls, name)
        if first is not None:
            if first not in out:
                return
            needed = True
        way = plan.way_of(cls, name)
        if way is not None:
            if not self.known.get(plan.bare(f"{path}.{way[0]}")):
                if row.required:
                    out[name] = way[1]
                return
            row = _less(row, way[1])
            needed = True
        group = plan.group_of(cls, name)
        if group is not None:
            if cls is Material and len(self._with_figure(out)) > len(out):
                self.talk.say("(bend figure from this shop's file)")
                return
            if group.names[0] not in decided:
                decided[group.names[0]] = self._which(cls, group, path, out)
            if decided[group.names[0]] != name:
                return
            needed = True
        given = self._value(cls, row, path, needed=needed)
        if given is not None:
            out[name] = given

    def _which(self, cls: Any, group: plan.Group, path: str, out: dict[str, Any]) -> str | None:
        """Ask which key of a group is given."""
        rows = keys.keys_of(cls)
        if cls.__name__ == "Body" and any(
            (void := plan.skipped_with(cls, n)) is not None and out.get(void[0]) == void[1] for n in group.names
        ):
            return None
        lines = [f"  {i}  {n.replace('_', ' ')}: {rows[n].help}" for i, n in enumerate(group.names, 1)]
        said = "\n".join([f"{group.words}?", *lines])
        self.talk.say(said)
        choice = Key(
            "", "word", "", True, None, tuple(n.replace("_", " ") for n in group.names), False, None, None, False
        )
        prompt = f"1 to {len(group.names)}" + ("" if group.needed else ", Enter: none of them")
        given = self.talk.ask(
            f"{path}.{group.names[0]}:which",
            prompt,
            lambda text: answers.read(text.replace("_", " "), choice, self.unit),
            more=said,
            empty="needed" if group.needed else None,
        )
        return None if given is None else str(given.value).replace(" ", "_")

    def _value(self, cls: Any, row: Key, path: str, *, needed: bool) -> Any:
        here = join(path, row.name)
        if row.kind == "table":
            return self._tables(row, here, needed=needed)
        if not row.many:
            given = self.size(row, here, needed=needed)
            return None if given is None else given.raw
        out: list[Any] = []
        single = _single(row)
        while len(out) < keys.MOST_ITEMS:
            given = self.size(single, f"{here}[{len(out) + 1}]", needed=needed and not out, nth=len(out) + 1)
            if given is None:
                break
            out.append(given.raw)
            if row.name == "diagonals" and len(out) == 2:
                break
        return out or None

    def _tables(self, row: Key, here: str, *, needed: bool) -> Any:
        what = _in_short(row.of)
        if not row.many:
            if not needed and not self.yes(
                f"{here}.there", f"Give {here.rpartition('.')[2].replace('_', ' ')}: {what}? (y/N)"
            ):
                return None
            self.talk.say(f"-- {_what(row.of)}")
            return self.table(row.of, here)
        out: list[Any] = []
        while len(out) < keys.MOST_ITEMS:
            n = len(out) + 1
            word = row.name.replace("_", " ")
            if not (needed and not out):
                question = f"Another {word}? (y/N)" if out else f"Any {word}: {what}? (y/N)"
                if not self.yes(f"{here}[{n}].there", question):
                    break
            self.talk.say(f"-- {word} {n}: {_what(row.of)}")
            out.append(self.table(row.of, f"{here}[{n}]"))
        return out or None

    def yes(self, path: str, question: str) -> bool:
        """Ask yes or no; empty is no."""
        given = self.talk.ask(
            path, question, lambda text: answers.read(text, YES_NO, self.unit), empty=Given(False, (False,))
        )
        return bool(given and given.value)

    def _letter(self, path: str, row: Key) -> tuple[str, Size] | None:
        return lettered(self.kind, f"{path}[1]" if row.many and row.kind != "table" else path)

    def size(self, row: Key, here: str, *, needed: bool, nth: int = 0) -> Given | None:
        """Ask one size, word or text, with every doubt about it."""
        found = lettered(self.kind, here)
        size = found[1] if found else None
        unit = answers.unit_word(row, self.unit)
        words = size.words if size else f"{row.name.replace('_', ' ')}: {row.help.rstrip('.')}"
        if nth and not size:
            words += f", number {nth}"
        tool = f" ({size.tool})" if size else ""
        letter = f"{found[0]}  " if found else ""
        prompt = f"{letter}{words}{tool}{f', {unit}' if unit else ''}{_empty(row, needed=needed, nth=nth)}"
        if row.kind == "word":
            prompt = f"{letter}{words} ({' / '.join(row.allowed)}){_empty(row, needed=needed, nth=nth)}"
        elif row.kind == "flag":
            prompt = f"{words} (yes / no){_empty(row, needed=needed, nth=nth)}"
        more = _more(row, size)
        bare = plan.unnumbered(plan.bare(here))

        def take(text: str) -> Given:
            level = from_level(bare, text)
            if level is not None:
                raise Doubtful(level.question, level.instead)
            given = answers.read(text, row, self.unit)
            for _ in range(MOST_TRIES):
                found = next(iter(doubts(bare, row, size, given, known=self.known, unit=self.unit)), None)
                if found is None:
                    return given
                said = self.talk.keep(found.question, found.instead)
                if said == "keep":
                    return given
                if said == "again":
                    raise Doubtful("Again, then: what is it?")
                given = answers.read(said, row, self.unit)
            raise Left

        given = self.talk.ask(here, prompt, take, more=more, empty="needed" if needed else None)
        if given is not None and size is not None and row.unit and self.readings > len(given.values):
            given = self._read_on(here, row, given, prompt)
        if given is not None and row.unit:
            self.known[bare] = float(given.value)
        return given

    def _read_on(self, here: str, row: Key, given: Given, prompt: str) -> Given:
        """Ask the further readings of a size; an empty answer ends them."""
        raws, values = (given.raw if isinstance(given.raw, list) else [given.raw]), given.values
        for n in range(len(values) + 1, self.readings + 1):

            def take(text: str) -> Given:
                more = answers.read(text, row, self.unit)
                whole = Given([*raws, more.raw], (*values, *more.values))  # noqa: B023
                for doubt in doubts("", row, None, whole, known=self.known, unit=self.unit):
                    if self.talk.keep(doubt.question, None) != "keep":
                        raise Doubtful("Again, then: what does it read?")
                return more

            more = self.talk.ask(
                f"{here}#{n}", f"   reading {n} of {prompt.partition('  ')[0]}, Enter: no more", take, empty=None
            )
            if more is None:
                break
            raws, values = [*raws, *(more.raw if isinstance(more.raw, list) else [more.raw])], (*values, *more.values)
        return Given(raws if len(raws) > 1 else raws[0], values)


def join(path: str, name: str) -> str:
    """Return the path of a key of a table."""
    return f"{path}.{name}" if path else name


def _less(row: Key, word: str) -> Key:
    """Return a key of words without one of them."""
    return dataclasses.replace(row, allowed=tuple(w for w in row.allowed if w != word))


def _single(row: Key) -> Key:
    """Return the key of one item of a list."""
    return dataclasses.replace(row, many=False)


def _in_short(cls: Any) -> str:
    """Return what a table is, as it stands inside a question."""
    return re.split(r"[.:;] ", _what(cls))[0].lower()


def _what(cls: Any) -> str:
    return (cls.__doc__ or "").strip().split("\n")[0].rstrip(".")


def _empty(row: Key, *, needed: bool, nth: int) -> str:
    """Say what an empty answer means."""
    if needed:
        return ""
    if nth > 1:
        return ", Enter: no more"
    if row.default in (None, ()):
        return ", Enter: none"
    if isinstance(row.default, bool):
        return f", Enter: {'yes' if row.default else 'no'}"
    return (
        f", Enter: {row.default:g}{' ' + row.unit if row.unit else ''}"
        if isinstance(row.default, float)
        else f", Enter: {row.default}"
    )


def _more(row: Key, size: Size | None) -> str:
    """Return what '?' tells: tool, where to hold it, meaning, rule."""
    lines = [f"Tool: {size.tool}. Hold it: {size.where}."] if size else []
    lines += [f"{row.help} It must be {row.rule()}.", HELP]
    return "\n".join(lines)
