"""What the step card says: the step, where in the job it stands, the blow, what is needed, and what comes next."""

from __future__ import annotations

from dataclasses import dataclass

from server.services.work.at_work import AtWork

TITLE_SCALE = 1.35
"""The title's letters, in heights of the others."""


@dataclass(frozen=True)
class Block:
    """A few words of the card, ``scale`` times as large as its plain letters."""

    text: str
    scale: float = 1.0


def full(work: AtWork) -> tuple[Block, ...]:
    """Return all that the card says."""
    if work.place.done:
        return _done(work)
    begun = bool(work.place.strike)
    what = _strike(work) if begun else (Block(work.step.words), *_strike(work))
    tools = () if begun else _tools(work)
    waiting = tuple(Block(_without_source(words)) for words in work.waits)
    return (_title(work), Block(where(work)), *what, Block(lies(work)), *tools, *waiting, Block(ahead(work)))


def brief(work: AtWork) -> tuple[Block, ...]:
    """Return the least that a card must say: which step and blow, and how high the work lies."""
    return _done(work) if work.place.done else (_title(work), Block(where(work)), *_strike(work), Block(lies(work)))


def where(work: AtWork) -> str:
    """Return where in the job this is, such as "Copy 2 of 3. Step 4 of 8. Strike 5 of 60."."""
    names = [step.name for step in work.pattern.steps]
    copies = work.job.state.copies
    copy = "" if copies == 1 else f"Copy {work.place.copy} of {copies}. "
    strike = "" if work.place.strike is None else f" Strike {work.place.strike + 1} of {len(work.strikes)}."
    return f"{copy}Step {names.index(work.place.step) + 1} of {len(names)}.{strike}"


def lies(work: AtWork) -> str:
    """Return how many plies lie under the light, and how high that is."""
    plies = work.step.plies_under
    if plies == 0:
        return "On the bare table."
    return f"{'One ply' if plies == 1 else f'{plies} plies'}, {work.step.height(work.leather):.1f} mm high."


def strike_words(work: AtWork) -> str | None:
    """Return the present blow in words: with what, and which holes; None where there is none."""
    strike = work.strike
    return None if strike is None else f"{strike.title}, {_tool(strike.tool)}. {strike.words}"


def ahead(work: AtWork) -> str:
    """Return what comes after this step."""
    after = work.path.following(work.place)
    if after is None:
        return "Next: the job is done."
    title = work.pattern.step(after.step).title
    return f"Next: {title}." if after.copy == work.place.copy else f"Next: copy {after.copy}, {_small(title)}."


def _title(work: AtWork) -> Block:
    return Block(work.step.title, TITLE_SCALE)


def _strike(work: AtWork) -> tuple[Block, ...]:
    words = strike_words(work)
    return () if words is None else (Block(words),)


def _tools(work: AtWork) -> tuple[Block, ...]:
    return (Block(f"Tools: {', '.join(work.step.tools)}."),) if work.step.tools else ()


def _done(work: AtWork) -> tuple[Block, ...]:
    copies = work.job.state.copies
    made = "It is made." if copies == 1 else f"All {copies} are made."
    return (Block("Done", TITLE_SCALE), Block(f"{work.job.name}. {made}"))


def _without_source(words: str) -> str:
    """A sentence without the remark in brackets at its end: the page says where a time comes from."""
    return f"{words.partition(' (')[0]}."


def _tool(tool: str) -> str:
    return tool.removesuffix(".")


def _small(title: str) -> str:
    return title[:1].lower() + title[1:]
