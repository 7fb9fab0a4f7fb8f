"""The command line: ``hidelight`` and its verbs. Exit status: 0 done, 2 refused (one sentence), 1 our bug."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from server.errors import Refusal
from server.settings import DEFAULT_PORT, settle


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the words of a command in one sentence, like every other refusal."""

    def error(self, message: str) -> NoReturn:
        raise Refusal(f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.")


def main(words: Sequence[str] | None = None) -> int:
    """Run one command. Returns the exit status: 0 done, 2 the input was refused with a sentence on stderr."""
    try:
        return _run(sys.argv[1:] if words is None else words)
    except Refusal as refusal:
        print(refusal.sentence, file=sys.stderr)
        return 2
    except BrokenPipeError:
        with contextlib.suppress(OSError):
            sys.stdout.close()
        return 0
    except KeyboardInterrupt:
        return 130
    except OSError as error:
        print(
            f"Writing or reading failed ({error.strerror}); free some space or choose another place.", file=sys.stderr
        )
        return 2


def _run(words: Sequence[str]) -> int:
    given = _parser().parse_args(_joined(words))
    if given.verb is None:
        from server.serve import run

        run(settle(given.data, given.database, given.port), open_browser=not given.no_browser)
        return 0
    from server.services import commands

    sys.stdout.write(commands.VERBS[given.verb](given, sys.stdin))
    sys.stdout.flush()
    return 0


def _joined(words: Sequence[str]) -> list[str]:
    """Tie a place that begins with a minus to its option, which would else be taken for an option itself."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] == "--at" and word.startswith("-"):
            joined[-1] = f"--at={word}"
        else:
            joined.append(word)
    return joined


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="hidelight", description="Drafts patterns for fitted leather goods and projects them at true size."
    )
    parser.add_argument("--no-browser", action="store_true", help="print the address instead of opening the browser")
    parser.add_argument("--data", type=Path, metavar="DIR", help="the data folder (default: this user's)")
    parser.add_argument("--database", metavar="URL", help="database address (default: a file in the data folder)")
    parser.add_argument("--port", type=int, default=DEFAULT_PORT, help=f"port on 127.0.0.1 (default {DEFAULT_PORT})")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", parser_class=_Parser)
    _draft(verbs.add_parser("draft", help="draft a pattern at true size (SVG, DXF or PDF)"))
    _bring(verbs.add_parser("bring", help="make a pattern of a drawing of your own (SVG, DXF or PDF)"))
    _print(verbs.add_parser("print", help="print a pattern at true size on sheets or a roll (PDF)"))
    _calibrate(verbs.add_parser("calibrate", help="adjust sightings to a bench and report"))
    _map(verbs.add_parser("map", help="map points between table and picture"))
    _project(verbs.add_parser("project", help="draw a pattern as the projector must show it"))
    return parser


def _draft(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("family", nargs="?", metavar="FAMILY")
    verb.add_argument("--measure", action="append", default=[], metavar="NAME=VALUE", help='such as width="3 1/2 in"')
    verb.add_argument(
        "--out", type=Path, metavar="FILE.svg|.dxf|.pdf", help="where to write (default: standard output)"
    )
    verb.add_argument("--list", action="store_true", help="list the families")
    verb.add_argument("--explain", metavar="FAMILY", help="explain a family's measures")


def _bring(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", type=Path, metavar="FILE")
    verb.add_argument("--list", action="store_true", help="tell what is in the file and what is proposed")
    verb.add_argument("--unit", metavar="UNIT", help="what its numbers are: mm, cm, in, m, pt, px")
    verb.add_argument("--known", metavar="LINE=LENGTH", help="the true length of a line, such as 3=100mm")
    uses = "what lines are for, such as 'look 1=cut', 'LAYER=stitch', '#ff0000=fold' or 'line 4=ignore'"
    verb.add_argument("--as", action="append", default=[], dest="uses", metavar="LOOK=USE", help=uses)
    verb.add_argument("--pitch", metavar="LENGTH", help="distance between stitch holes (default 4 mm)")
    verb.add_argument("--leather", metavar="THICKNESS", help="of one ply (default 2 mm)")
    verb.add_argument("--plies", type=int, metavar="N", help="plies the seams go through (default 2)")
    verb.add_argument("--title", metavar="WORDS", help="of the pattern (default: the file's name)")
    verb.add_argument("--out", type=Path, metavar="PATTERN.svg", help="where to write (default: standard output)")


def _print(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("pattern", metavar="PATTERN.svg|FAMILY")
    verb.add_argument("--measure", action="append", default=[], metavar="NAME=VALUE", help="of a family")
    papers = "A0 to A5, letter, legal, tabloid, or a roll and its width, such as roll:610mm (default A4)"
    verb.add_argument("--paper", default="A4", metavar="SIZE", help=papers)
    ways = verb.add_mutually_exclusive_group()
    ways.add_argument("--portrait", dest="turn", action="store_const", const="portrait", default="auto", help="upright")
    ways.add_argument("--landscape", dest="turn", action="store_const", const="landscape", help="lying")
    verb.add_argument("--margin", metavar="LENGTH", help="edge that the printer leaves empty (default 7 mm)")
    verb.add_argument("--overlap", metavar="LENGTH", help="what neighbouring pages share (default 10 mm)")
    verb.add_argument("--piece", action="append", default=[], metavar="NAME[=COPIES]", help="only these pieces")
    verb.add_argument("--measured", metavar="ACROSS,DOWN", help="mm that both 100 mm rules measure on this printer")
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")


def _calibrate(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("sightings", type=Path, metavar="SIGHTINGS.json")
    verb.add_argument("--out", type=Path, required=True, metavar="BENCH.json")
    verb.add_argument("--json", action="store_true", help="report as JSON")
    verb.add_argument("--height", default="0", metavar="MM", help="height of the surface the work lies on (default 0)")
    verb.add_argument("--tolerance", default="0.5", metavar="MM", help="wanted at 95 %% (default 0.5)")


def _map(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("bench", type=Path, metavar="BENCH.json")
    verb.add_argument("--to", choices=("table", "picture"), required=True)
    verb.add_argument("--height", default="0", metavar="MM", help="height of the surface above the table")


def _project(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("pattern", type=Path, metavar="PATTERN.svg")
    verb.add_argument("--bench", type=Path, required=True, metavar="BENCH.json")
    verb.add_argument("--at", required=True, metavar="X,Y", help="where the file's top left corner lies on the table")
    verb.add_argument("--turn", default="0", metavar="DEG", help="degrees clockwise as seen from above")
    verb.add_argument("--height", default="0", metavar="MM", help="height of the leather's top above the table")
    verb.add_argument("--out", type=Path, required=True, metavar="FRAME.png|FRAME.svg")


if __name__ == "__main__":
    sys.exit(main())
