"""What layers are called, in several languages; words from memory, common practice.

English, German, French, Spanish, Italian, Portuguese, Dutch, Swedish, Danish, Polish, Czech, Russian, Chinese, Japanese.
"""

from __future__ import annotations

import re
import unicodedata

from server.reading.assignment import Choice

_WORDS: tuple[tuple[Choice, str], ...] = (
    ("hole", "hole holes loch locher locherung trou trous agujero agujeros foro fori furo furos gat gaten hal huller otwor "
     "otwory dira diry otverstie отверстие отверстия 孔 穴 目打ち perforation perforations"),
    ("stitch", "stitch stitches stitching stitchline sew sewing seam seams naht nahte nahtlinie steppnaht stich stiche nahen "
     "couture coutures piqure costura costuras cucitura cuciture stiksel stiksels naad som sommar syning szew szwy svy sev шов "
     "строчка 缝 缝线 縫 縫い ステッチ"),
    ("slot", "slot slots punch punched cutout cutouts window schlitz schlitze stanzen stanzung ausschnitt fente fentes ranura "
     "ranuras asola asole fessura rasgo rasgos sleuf sleuven slits slit spar slids szczelina прорезь 槽 スリット"),
    ("fold", "fold folds folding crease creases bend falz falzen falte falten pli plis pliage pliegue pliegues doblez piega "
     "pieghe dobra dobras vouw vouwlijn vik vika fold fals zagiecie ohyb сгиб 折 折线 折り"),
    ("mark", "mark marks marking guide guides note notes text texts dimension dimensions dim dims annotation annotations engrave "
     "engraving score scribe etch grain center centre centreline centerline construction helper registration markierung mitte "
     "mittellinie hilfslinie hilfslinien gravur bemassung repere reperes axe gravure marca marcas grabado eje centro "
     "incisione segno segni gravacao hulplijn hulplijnen markering hjalp hjelp znak oznaczenia метка разметка 标记 標記 印"),
    ("cut", "cut cuts cutting cutline cutlines cutcontour thrucut kerf outline outlines contour edge schnitt schnitte schneiden "
     "aussenkontur kontur umriss coupe coupes decoupe decoupes contours corte cortes contorno taglio tagli snij snijlijn snijden "
     "skar skara skaer klip klippe ciecie rez rezy stihn рез резка контур 切 切割 裁 裁断 カット"),
)  # fmt: skip
_ROLES: dict[str, Choice] = {word: role for role, words in reversed(_WORDS) for word in words.split()}
_IGNORED = frozenset(("defpoints", "background", "hintergrund", "fond", "fondo", "frame", "rahmen", "cadre", "border"))


def role_called(layer: str) -> tuple[Choice, str] | None:
    """Return the role a layer's name speaks of and the word that says so, or None.

    The last such word counts: "stitch holes" are holes, and in "cut outline" both agree.
    """
    plain = unicodedata.normalize("NFKD", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", layer)).casefold()
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter) or ord(letter) > 0x2FFF)
    found: tuple[Choice, str] | None = None
    for full in re.findall(r"[^\W\d_]+", unicodedata.normalize("NFC", plain)):
        word = full if full in _ROLES else re.sub(r"(linien?|lines?|lijn(en)?|linjer?|kanten?)$", "", full) or full
        if word in _IGNORED:
            return "ignore", word
        role = _ROLES.get(word) or next(
            (_ROLES[mark] for mark in _ROLES if ord(mark[0]) > 0x2FFF and mark in word), None
        )
        if role is not None:
            found = (role, word)
    return found
