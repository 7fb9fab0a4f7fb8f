"""Files made to harm: each ends in a sheet without the harm, or in one sentence, within the limits."""

from __future__ import annotations

import gzip
import time
import zlib

import numpy as np
import pytest

from calibration.refusal import Refusal
from server.geometry.nesting import parents
from server.reading import reader
from server.reading.formats import parse
from server.reading.reader import read_file
from server.reading.sheet import Dropped, Look, Page, Sheet, SheetLine
from server.reading.wire import pack, unpack
from tests.speed import fuzz_reading

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10" stroke="red">'
LINE = b'<path d="M0 0L5 5"/>'
LAUGHS = b"".join(b'<g id="a%d">' % (i + 1) + b'<use href="#a%d"/>' % i * 10 + b"</g>" for i in range(9))


def bomb_pdf() -> bytes:
    """A page whose content unpacks to 600 MB."""
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(b"0 0 m 1 1 l S\n" * 100_000) for _ in range(430)) + packer.flush()
    return pdf(b"<</Length %d/Filter/FlateDecode>>" % len(packed), packed)


def pdf(head: bytes, content: bytes, page: bytes = b"", more: bytes = b"") -> bytes:
    """A PDF of one page, 200 x 100 points, without a cross-reference table that is right: readers mend that."""
    parts = (
        b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 100]/Contents 4 0 R" + page + b">>endobj\n",
        b"4 0 obj" + head + b"stream\n" + content + b"\nendstream endobj\n" + more,
        b"trailer<</Root 1 0 R>>\nstartxref\n0\n%%EOF",
    )
    return b"".join(parts)


def dxf_with(block: bytes, insert: bytes) -> bytes:
    """A DXF with a block B that holds `block`, and one insert of it with more groups."""
    return (
        b"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n3\nB\n"
        + block
        + b"0\nENDBLK\n8\n0\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n"
        + insert
        + b"0\nENDSEC\n0\nEOF\n"
    )


HOSTILE = {
    "entity": (b'<!DOCTYPE svg [<!ENTITY a "b">]>' + SVG + LINE + b"&a;</svg>", "entity"),
    "laughs": (b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]>' + SVG + b"&b;</svg>", "entity"),
    "circle of use": (SVG + b'<g id="a"><use href="#a"/></g></svg>', "inside itself"),
    "wide circle": (SVG + b'<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>', "inside itself"),
    "use on use": (SVG + b'<g id="a0">' + LINE + b"</g>" + LAUGHS + b"</svg>", "more than|longer"),
    "deep": (SVG + b"<g>" * 50_000 + b"</g>" * 50_000 + b"</svg>", "deep"),
    "gzip bomb": (gzip.compress(SVG + b" " * 100_000_000 + b"</svg>"), "20 MB"),
    "points": (SVG + b'<path d="M0 0' + b"L1 1L2 3" * 800_000 + b'"/></svg>', "characters"),
    "no numbers": (SVG + b'<path d="M0 0Lnan inf"/><path d="M0 0L1e400 1"/></svg>', "no lines"),
    "far off": (SVG + b'<path d="M0 0L1e8 5"/></svg>', "more than 100 m"),
    "not XML": (SVG + b"<path", "well-formed"),
    "nothing": (b"", "empty"),
    "zeros": (b"\x00" * 1000, "empty|none of"),
    "something": (b"MZ\x90 no drawing", "none of"),
    "pdf bomb": (bomb_pdf(), "unpacks|MiB|longer|broke"),
    "pdf form in itself": (
        pdf(b"<</Length 5>>", b"/F Do", b"/Resources<</XObject<</F 5 0 R>>>>",
            b"5 0 obj<</Type/XObject/Subtype/Form/BBox[0 0 9 9]/Resources<</XObject<</F 5 0 R>>>>/Length 5>>"
            b"stream\n/F Do\nendstream endobj\n"),
        "shows itself",
    ),
    "dxf block in itself": (
        dxf_with(b"0\nINSERT\n8\n0\n2\nB\n10\n1\n20\n1\n", b""),
        "itself|no lines",
    ),
    "dxf a million inserts": (
        dxf_with(b"0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n1\n", b"70\n30000\n71\n30000\n44\n1\n45\n1\n"),
        "inserts block|more than",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_end_in_one_sentence(name: str) -> None:
    data, words = HOSTILE[name]
    begun = time.perf_counter()
    with pytest.raises(Refusal, match=words) as refused:
        read_file(data, "hostile")
    assert time.perf_counter() - begun < 8.0
    assert "\n" not in refused.value.sentence
    assert len(refused.value.sentence) < 400


def test_scripts_links_and_document_types_are_harmless() -> None:
    body = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://x.invalid/svg11.dtd">' + SVG + LINE
    body += b'<script href="http://x.invalid/"/><image href="file:///etc/passwd"/><style>@import url(http://x.invalid/a.css);</style></svg>'
    sheet = read_file(body, "../../etc/pass\nwd")
    assert len(sheet.lines) == 1
    assert {drop.what for drop in sheet.dropped} == {"scripts", "images", "style rules"}
    assert "\n" not in sheet.name


def test_a_reading_that_takes_too_long_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "_CHILD", "import time; time.sleep(60)")
    monkeypatch.setattr(reader, "WALL_SECONDS", 0.3)
    with pytest.raises(Refusal, match=r"takes longer than 0\.3 s"):
        read_file(SVG + LINE + b"</svg>", "a.svg")


def test_the_child_is_held_to_its_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    confined = "import sys; sys.path.append(sys.argv[1]); from server.reading.limits import confine; confine(); "
    monkeypatch.setattr(reader, "_CHILD", confined + "x = bytearray(2 << 30)")
    with pytest.raises(Refusal, match="broke its reader"):
        read_file(SVG + LINE + b"</svg>", "a.svg")
    monkeypatch.setattr(reader, "_CHILD", confined + "import os; os.fork() if os.getuid() else 1/0")
    with pytest.raises(Refusal, match="broke its reader"):
        read_file(SVG + LINE + b"</svg>", "a.svg")


def test_what_a_child_says_is_checked() -> None:
    line = SheetLine(np.array([[0.1, 0.2], [3.0, 4.0]]), False, Look("Cut", "#ff0000", (1.0, 2.0)), 2, True)
    sheet = Sheet("a.svg", "svg", (line,), (Page(1, 2.0, 3.0),), False, "px", (Dropped("texts", 2, "'a'"),), ("note",))
    back = unpack(pack(sheet))
    assert (back.lines[0].points == line.points).all()
    assert (back.lines[0].look, back.pages, back.dropped, back.notes) == (
        line.look,
        sheet.pages,
        sheet.dropped,
        sheet.notes,
    )
    for broken in (
        b"",
        b"{}\n",
        b"[]\n",
        pack(sheet)[:-3],
        pack(sheet) + b"0" * 16,
        pack(sheet).replace(b'"looks"', b'"books"'),
    ):
        with pytest.raises(Refusal):
            unpack(broken)


def test_rings_over_rings_are_refused_in_time() -> None:
    rings = [
        np.array([[i, i], [999 - i, i], [999 - i, 999 - i], [i, 999 - i]]) * 0.1 for i in np.linspace(0, 400, 3000)
    ]
    with pytest.raises(Refusal, match="lie over each other"):
        parents(rings)
    assert parents(rings[:5]) == [-1, 0, 1, 2, 3]


def test_mutated_files_give_a_sheet_or_a_refusal() -> None:
    """A small run of ``python -m tests.speed.fuzz_reading``."""
    tally = fuzz_reading.run(80, seed=7, every=0)
    assert tally.wrong == []
    assert sum(tally.ends.values()) == 80
    assert len(tally.ends) > 1


def test_the_fuzz_notices_an_error_of_our_own(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise KeyError("ours")

    monkeypatch.setattr(fuzz_reading, "parse", broken)
    tally = fuzz_reading.run(1, seed=7, every=0)
    assert len(tally.wrong) == 1
    assert "KeyError: 'ours'" in tally.wrong[0]


def test_names_do_not_choose_the_reader() -> None:
    assert parse(SVG + LINE + b"</svg>", "a.pdf").kind == "svg"
