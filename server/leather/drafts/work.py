"""Steps of the work that recur, with their tools and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from server.leather.pattern import Seam, Step, WaitKind
from server.leather.piece import Role

CARE = "usual caution; local codes and product data sheets decide"
BLADE = f"Blade: cut away from the hand that holds, with a cut-proof mat below ({CARE})."
GLUE = f"Glue: air the room, no flame, prefer a water-based one ({CARE})."
EYES = f"Do not look up into the projector's lens ({CARE})."
PUNCH = f"Punch on a board, never towards the hand ({CARE})."
IRON = f"Keep fingers below the top of the iron ({CARE})."
AWL = f"The awl points away from the other hand ({CARE})."
DUST = f"Sanding edges: wear a mask and take the dust away, leather dust harms the nose ({CARE})."
SET = f"Wear eye protection when setting hardware ({CARE})."
KNIFE = ("knife", "cutting mat")
GLUED: tuple[WaitKind, ...] = ("tacky", "joint")
DRIED: tuple[WaitKind, ...] = ("drying",)


def step(
    name: str,
    title: str,
    words: str,
    piece: str,
    roles: tuple[Role, ...],
    lines: Sequence[str] = (),
    plies: int = 1,
    tools: Sequence[str] = (),
    caution: str = EYES,
    waits: tuple[WaitKind, ...] = (),
) -> Step:
    """Return one step of the work."""
    return Step(name, title, words, piece, roles, tuple(lines), plies, tuple(tools), caution, waits=waits)


def of_other_leather(step_: Step, *others_mm: float) -> Step:
    """Return a step under which lie plies of these thicknesses, mm, that are not the pattern's own leather."""
    return replace(step_, others_mm=others_mm)


def cut(piece: str, title: str, words: str, lines: Sequence[str] = ("outline", "grain", "label")) -> Step:
    """Return the step that cuts a piece from one ply."""
    return step(f"cut-{piece}", f"Cut the {title}", words, piece, ("cut", "mark"), lines, 1, KNIFE, BLADE)


def glue(name: str, title: str, words: str, piece: str, lines: Sequence[str], plies: int = 1) -> Step:
    """Return a step that glues to a lit line."""
    return step(name, title, words, piece, ("mark",), lines, plies, ("glue", "spreader", "roller"), GLUE, GLUED)


def trim(piece: str, words: str, plies: int = 2, line: str = "outline") -> Step:
    """Return the step that trims the over-size ply to the lit outline."""
    return step("trim", "Trim flush", words, piece, ("cut", "mark"), (line,), plies, KNIFE, BLADE)


def scribe(piece: str, words: str, seams: Sequence[str], plies: int, name: str = "scribe") -> Step:
    """Return the step that scribes stitch lines."""
    title = "Scribe the stitch line" if len(seams) == 1 else "Scribe the stitch lines"
    return step(name, title, words, piece, ("stitch",), seams, plies, ("stitching groover or dividers",), EYES)


def prick(
    piece: str, words: str, seams: Sequence[Seam], plies: int, name: str = "prick", title: str = "Prick the holes"
) -> Step:
    """Return the step that pricks the holes of seams; which irons of the rack those are is for the plan of blows."""
    tools = ("pricking irons", "mallet")
    return step(name, title, words, piece, ("hole",), [s.name for s in seams], plies, tools, IRON)


def sew(piece: str, words: str, seams: Sequence[str], plies: int, name: str = "sew", title: str = "Sew") -> Step:
    """Return the step that sews seams."""
    tools = ("two needles", "awl", "waxed thread", "clam", "smooth hammer")
    return step(name, title, words, piece, ("stitch", "hole"), seams, plies, tools, AWL)


def punch(
    piece: str, title: str, words: str, lines: Sequence[str], plies: int, tools: Sequence[str], name: str = "punch"
) -> Step:
    """Return a step that punches holes or slots."""
    return step(name, title, words, piece, ("slot",), lines, plies, (*tools, "mallet", "punching board"), PUNCH)
