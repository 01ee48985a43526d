"""The situational awareness section of a runway condition report: items I to T.

Source: Reg. (EU) 2022/938, Appendix 3 form, items I to P (confirmed); R, S and T as used in published examples
(second-hand). The phrases occur in published examples; "ALL TWYS SNOWBANK" and the form of item S are from memory.
"""

from __future__ import annotations

import re
from dataclasses import replace

from groundroll.reports.model import SituationalItem, runway_designator
from groundroll.reports.text import shown

_LONGEST_SECTION = 4_000
"""Longest text that may be a situational awareness section alone. [characters] Assumption of this project."""

_RUNWAY = r"(?:RWY|RUNWAY)\s?(?P<runway>[0-9]{1,2}[LCR]?)(?:/[0-9]{1,2}[LCR]?)?"
_TAXIWAY = r"(?:(?P<all>ALL\s(?:TWYS?|TAXIWAYS?))|(?:TWYS?|TAXIWAYS?)\s(?P<taxiway>[A-Z0-9][A-Z0-9/, \-]{0,40}?))"
_APRON = r"(?:(?P<all>ALL\sAPRONS?)|APRONS?\s(?P<apron>[A-Z0-9][A-Z0-9/, \-]{0,40}?))"
_END = r"(?=\s?[.;)]|\s?\Z|\n|\s(?:RWY|RUNWAY|TWYS?|TAXIWAYS?|APRONS?|ALL|DRIFTING)\s)"

_PHRASES = tuple(
    (item, re.compile(pattern + _END, re.ASCII))
    for item, pattern in (
        ("I", _RUNWAY + r"\sREDUCED\sTO\s(?P<length>[0-9]{3,4})\s?M?"),
        ("J", rf"(?:{_RUNWAY}\s)?DRIFTING\sSNOW"),
        ("K", _RUNWAY + r"\sLOOSE\sSAND"),
        ("L", _RUNWAY + r"\sCHEMICALLY\sTREATED"),
        ("M", _RUNWAY + r"\sSNOWBANKS?\s(?P<banks>(?:LR|L|R)[0-9]{2,3}(?:[\s/,]{1,2}(?:LR|L|R)[0-9]{2,3})?)\sFM\sCL"),
        ("N", _TAXIWAY + r"\sSNOWBANKS?"),
        ("O", _RUNWAY + r"\sADJ(?:ACENT)?\sSNOWBANKS?"),
        ("P", _TAXIWAY + r"\sPOOR"),
        ("R", _APRON + r"\sPOOR"),
        ("S", rf"(?:{_RUNWAY}\s)?(?:MEASURED\s)?(?:FRICTION|MU)\s[^\n.]{{1,80}}?"),
    )
)
_PHRASE_STARTS = re.compile(r"(?:RWY|RUNWAY|TWYS?|TAXIWAYS?|APRONS?|ALL|DRIFTING|MEASURED|FRICTION|MU)\b")
_PLAIN_END = re.compile(r"[.;](?=\s|\Z)|\n|\Z")
_CODES = re.compile(r"(?<![0-9/])[0-9]/[0-9]/[0-9](?![0-9/])", re.ASCII)
_BANK = re.compile(r"(LR|L|R)([0-9]{2,3})")


def has_phrase(capitals: str) -> bool:
    """Tell whether a text in capitals, not too long for such a section, holds a fixed phrase of items I to S."""
    return len(capitals) <= _LONGEST_SECTION and any(
        item.item != "T" for item in read_situational(capitals, capitals)[0]
    )


def read_situational(text: str, capitals: str) -> tuple[list[SituationalItem], list[str], list[str]]:
    """Return the items of a situational awareness section, warnings, and what is not understood.

    What is none of the fixed phrases is plain language (item T), kept as received; but a piece with three codes in it
    is a runway line that could not be read, and no remark.

    Parameters
    ----------
    text, capitals
        The section as received, and the same in capitals; letter for letter of the same length.
    """
    items: list[SituationalItem] = []
    warnings: list[str] = []
    plain: list[str] = []
    damaged: list[str] = []
    position, end = 0, len(text)
    while position < end:
        if text[position] in " .;,\n":
            position += 1
            continue
        found = _phrase_at(text, capitals, position)
        if found is not None:
            some, position, complaint = found
            items += some
            warnings += complaint
            continue
        stop = _PLAIN_END.search(capitals, position)
        piece_end = stop.start() if stop is not None else end
        piece = text[position : max(piece_end, position + 1)].strip()
        (damaged if _CODES.search(piece) is not None else plain).append(piece)
        position = max(piece_end, position + 1)
    if plain:
        words = ". ".join(plain)
        items.append(SituationalItem("T", words, f"Remark: {words}."))
    if damaged:
        warnings.append(f"A runway line that cannot be read: {shown(damaged[0])}.")
    return items, warnings, damaged


def _phrase_at(text: str, capitals: str, position: int) -> tuple[list[SituationalItem], int, list[str]] | None:
    """Return the items of a fixed phrase that begins here, where it ends, and warnings; None if there is none."""
    if _PHRASE_STARTS.match(capitals, position) is None:
        return None
    for letter, pattern in _PHRASES:
        match = pattern.match(capitals, position)
        if match is not None:
            items, warnings = _items(letter, match, " ".join(text[match.start() : match.end()].split()))
            return items, match.end(), warnings
    return None


def _items(letter: str, match: re.Match[str], words: str) -> tuple[list[SituationalItem], list[str]]:
    """Turn the match of a phrase into items with their meaning."""
    groups = match.groupdict()
    warnings: list[str] = []
    runway = groups.get("runway")
    if runway is not None:
        if not 1 <= int(runway.rstrip("LCR")) <= 36:
            return [SituationalItem("T", words, f"Remark: {words}.")], [f"{shown(words)} names no possible runway."]
        runway = runway_designator(runway)
    at = "" if runway is None else f" on runway {runway}"
    if letter == "I":
        length = float(groups["length"])
        meaning = f"Runway {runway} is reduced to {length:.0f} m; the thirds are taken over the part in use."
        return [SituationalItem("I", words, meaning, runway=runway, reduced_length=length)], warnings
    if letter == "J":
        return [SituationalItem("J", words, f"Drifting snow{at}.", runway=runway)], warnings
    if letter == "K":
        return [SituationalItem("K", words, f"Loose sand{at}.", runway=runway)], warnings
    if letter == "L":
        return [SituationalItem("L", words, f"Runway {runway} is chemically treated.", runway=runway)], warnings
    if letter == "M":
        return [
            SituationalItem(
                "M",
                words,
                f"Snowbank{at}, {_side_in_words(bank[1])} the centre line at {int(bank[2])} m.",
                runway=runway,
                side=bank[1],
                distance=float(bank[2]),
            )
            for bank in _BANK.finditer(groups["banks"])
        ], warnings
    if letter == "O":
        return [SituationalItem("O", words, f"Snowbanks beside runway {runway}.", runway=runway)], warnings
    if letter == "R":
        apron = "ALL" if groups["all"] else groups["apron"].strip(" ,/-")
        where = "All aprons are" if apron == "ALL" else f"Apron {apron} is"
        item = SituationalItem("R", words, f"{where} in poor condition.", apron=apron, condition="POOR")
        return [item], warnings
    if letter in ("N", "P"):
        taxiway = "ALL" if groups["all"] else groups["taxiway"].strip(" ,/-")
        where = "all taxiways" if taxiway == "ALL" else f"taxiway {taxiway}"
        if letter == "N":
            return [SituationalItem("N", words, f"Snowbank on {where}.", taxiway=taxiway)], warnings
        state = "are" if taxiway == "ALL" else "is"
        meaning = f"{where[0].upper()}{where[1:]} {state} in poor condition."
        return [SituationalItem("P", words, meaning, taxiway=taxiway, condition="POOR")], warnings
    meaning = f"Measured friction{at}, in the State's own form: {words}."
    return [replace(SituationalItem("S", words, meaning), runway=runway)], warnings


def _side_in_words(side: str) -> str:
    """Return where a snowbank lies, seen from the threshold of the lower designator."""
    return {"L": "left of", "R": "right of", "LR": "left and right of"}[side]
