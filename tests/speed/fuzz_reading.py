"""``python -m tests.speed.fuzz_reading N [--seed S]``: read N mutated SVG, DXF and PDF files and count what becomes of them.

Each file is read in a fork of this process, held to the limits of a real reading (1 GiB of address space, 5 s of CPU) and
stopped after 5 s by the clock. What counts as wrong: an end other than a sheet or a refusal, an error of our own that only
the last net caught, a file over 5 s, or more than 1 GiB in use. Every 100th file also goes through `read_file` itself.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import resource
import select
import signal
import sys
import time
import traceback
import zlib
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from calibration.refusal import Refusal
from server.reading import dxf_file, pdf_file, svg_file  # noqa: F401 - loaded before the forks
from server.reading.formats import parse
from server.reading.limits import MEMORY, WALL_SECONDS, confine
from server.reading.own_pattern import to_pattern
from server.reading.proposing import propose
from server.reading.reader import read_file
from server.reading.scale import in_unit

FILES = Path(__file__).resolve().parents[1] / "reference" / "files"
WORDS = (
    b"nan", b"inf", b"-inf", b"1e308", b"-1e400", b"99999999999999999999", b"0", b"-0", b"1e-320", b"", b"\x00", b"\xff\xfe",
    b"<use href='#a'/>", b"<g id='a'>", b"</g>", b"<!ENTITY x SYSTEM 'file:///etc/passwd'>", b"<script>", b"&x;", b"]]>",
    b"transform='scale(0)'", b"viewBox='0 0 0 0'", b"style='display:none'", b"d='M0 0A0 0 0 0 0 9e99 1z'", b"<svg>",
    b" q", b" Q", b" cm", b" re", b" S", b" W n", b" Do", b" 0 0 0 0 0 0 cm", b"<<", b">>", b"[", b"]", b"endobj", b"1 0 R",
    b"/FlateDecode", b"stream\n", b"\n  0\nINSERT\n", b"\n 70\n1\n", b"\n 42\n1e9\n", b"\n  2\nB\n", b"\n  0\nSPLINE\n",
)  # fmt: skip
_NUMBER = re.compile(rb"-?[0-9]+\.?[0-9]*")


@dataclass
class Tally:
    """What became of the files.

    Attributes:
        ends: how many of each end.
        wrong: what may not happen, said.
        slowest: s.
        largest: bytes in use, the most of any child.

    """

    ends: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    slowest: float = 0.0
    largest: int = 0


def seeds() -> list[tuple[str, bytes]]:
    """Return the files that are mutated; PDF streams also unpacked, so that mutations reach the drawing commands."""
    found = [
        (path.name, path.read_bytes()) for path in sorted(FILES.iterdir()) if path.suffix in (".svg", ".dxf", ".pdf")
    ]
    unpacked = [(f"plain-{name}", _plain(data)) for name, data in found if name.endswith(".pdf")]
    return [*found, *unpacked]


def _plain(data: bytes) -> bytes:
    """A PDF with its deflated streams unpacked where they stand; its offsets are then wrong, as in many broken files."""

    def undone(match: re.Match[bytes]) -> bytes:
        try:
            content = zlib.decompress(match[2])
        except zlib.error:
            return match[0]
        head = re.sub(rb"/Filter\s*/FlateDecode", b"", match[1])
        return re.sub(rb"/Length \d+( 0 R)?", b"/Length %d" % len(content), head) + content + b"\nendstream"

    return re.sub(rb"(<<(?:(?!stream).)*?>>\s*stream\r?\n)(.*?)\r?\nendstream", undone, data, flags=re.DOTALL)


def mutated(data: bytes, chance: random.Random) -> bytes:
    """Return a file with one to six things wrong with it."""
    content = bytearray(data)
    for _ in range(chance.randint(1, 6)):
        way = chance.randrange(8)
        at = chance.randrange(len(content) + 1)
        if way == 0 and content:
            content[min(at, len(content) - 1)] = chance.randrange(256)
        elif way == 1:
            content[at:at] = chance.choice(WORDS)
        elif way == 2:
            del content[at : at + chance.randint(1, 200)]
        elif way == 3:
            end = at + chance.randint(1, 400)
            content[at:at] = content[at:end] * chance.choice((1, 2, 50))
        elif way == 4:
            other = chance.randrange(len(content) + 1)
            content[at:at] = content[other : other + chance.randint(1, 300)]
        elif way == 5:
            content = _numbered(content, chance)
        elif way == 6:
            for _ in range(20):
                if content:
                    content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
        elif chance.random() < 0.2:
            del content[at:]
    return bytes(content)


def _numbered(content: bytearray, chance: random.Random) -> bytearray:
    """Change one number of the file for one it hardly expects."""
    found = list(_NUMBER.finditer(content))
    if found:
        match = chance.choice(found)
        content[match.start() : match.end()] = chance.choice((*WORDS[:9], b"%d" % chance.randrange(-9999, 99999)))
    return content


def one(data: bytes, name: str, tally: Tally) -> None:
    """Read one file in a fork and note what became of it."""
    inlet, outlet = os.pipe()
    begun = time.perf_counter()
    child = os.fork()
    if child == 0:
        os.close(inlet)
        _child(data, name, outlet)
    os.close(outlet)
    ready, _, _ = select.select([inlet], [], [], WALL_SECONDS)
    said = os.read(inlet, 4000).decode(errors="replace") if ready else ""
    os.close(inlet)
    if not ready:
        os.kill(child, signal.SIGKILL)
    _, status, used = os.wait4(child, 0)
    took = time.perf_counter() - begun
    tally.slowest, tally.largest = max(tally.slowest, took), max(tally.largest, used.ru_maxrss * 1024)
    end = (
        said.split("\n", 1)[0]
        if ready and said
        else ("over 5 s, stopped" if not ready else f"ended by status {status}")
    )
    tally.ends[end] += 1
    if end.startswith(("net", "ended")):
        tally.wrong.append(f"{name}: {said or end}")
    if used.ru_maxrss * 1024 > MEMORY:
        tally.wrong.append(f"{name}: {used.ru_maxrss // 1024} MiB")


def _child(data: bytes, name: str, outlet: int) -> None:
    """Never returns."""
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 2)
    confine()
    said = ""
    try:
        sheet = parse(data, name)
        said = "sheet"
        if not sheet.unit_known:
            sheet = in_unit(sheet, "mm")
        said = "sheet, but no pattern"
        to_pattern(sheet, propose(sheet).assignment, 4.0)
        said = "sheet and pattern"
    except Refusal:
        said = "sheet, but no pattern" if said.startswith("sheet") else "refusal"
    except MemoryError:
        said = "refusal: memory"
    except RecursionError:
        said = "refusal: too deep"
    except BaseException:
        said = "net caught an error of our own\n" + traceback.format_exc()[-1500:]
    os.write(outlet, said.encode()[:4000])
    os._exit(0)


def whole(data: bytes, name: str, tally: Tally) -> None:
    """Read one file as the workshop does, child process and all."""
    begun = time.perf_counter()
    try:
        read_file(data, name)
        tally.ends["read_file: sheet"] += 1
    except Refusal:
        tally.ends["read_file: refusal"] += 1
    took = time.perf_counter() - begun
    if took > WALL_SECONDS + 1.0:
        tally.wrong.append(f"{name}: read_file took {took:.1f} s")


def run(count: int, seed: int, every: int = 100) -> Tally:
    """Read `count` mutated files; every so many of them by `read_file` too."""
    tally, files = Tally(), seeds()
    for number in range(count):
        chance = random.Random(seed * 1_000_003 + number)
        name, data = files[number % len(files)]
        content = mutated(data, chance)
        one(content, f"{seed}/{number} {name}", tally)
        if every and number % every == every - 1:
            whole(content, name, tally)
    return tally


def main() -> None:
    """Run and print."""
    asked = argparse.ArgumentParser()
    asked.add_argument("count", type=int, nargs="?", default=1000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    begun = time.perf_counter()
    tally = run(given.count, given.seed)
    print(f"{given.count} mutated files, seed {given.seed}, {time.perf_counter() - begun:.0f} s")
    for end, times in tally.ends.most_common():
        print(f"  {times:6d}  {end}")
    base = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"  slowest {tally.slowest:.2f} s; most memory {tally.largest >> 20} MiB (the bare process {base >> 10} MiB)")
    print(f"  wrong: {len(tally.wrong)}")
    for words in tally.wrong[:20]:
        print(words)
    sys.exit(1 if tally.wrong else 0)


if __name__ == "__main__":
    main()
