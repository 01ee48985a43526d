"""Words of runway condition reports: the 17 condition words, the assessment matrix, pilot terms, notice vocabulary.

Each table names its source and how far it has been checked. "Second-hand": seen in texts that quote the document.
"From memory": recalled, the document was not at hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

CONDITION_WORDS: Final = (
    "COMPACTED SNOW",
    "DRY",
    "DRY SNOW",
    "DRY SNOW ON TOP OF COMPACTED SNOW",
    "DRY SNOW ON TOP OF ICE",
    "FROST",
    "ICE",
    "SLIPPERY WET",
    "SLUSH",
    "SPECIALLY PREPARED WINTER RUNWAY",
    "STANDING WATER",
    "WATER ON TOP OF COMPACTED SNOW",
    "WET",
    "WET ICE",
    "WET SNOW",
    "WET SNOW ON TOP OF COMPACTED SNOW",
    "WET SNOW ON TOP OF ICE",
)
"""The 17 words of item G. Source: Reg. (EU) 2022/938, Appendix 3, item G (confirmed)."""

DEPTH_WORDS: Final = frozenset({"STANDING WATER", "SLUSH", "WET SNOW", "DRY SNOW"})
"""Words for which a depth is reported. Source: PANS-AIM (Doc 10066) Appendix 4, item F (from memory)."""

AT_MOST_DEPTH: Final = 0.003
"""Depth value that means "this or less" for slush and snow. [m] Source: PANS-AIM Appendix 4, item F (from memory)."""

COVERAGE_STEPS: Final = (25, 50, 75, 100)
"""Coverage values. [%] Source: Reg. (EU) 2022/938, Appendix 3, item E (confirmed)."""

SMALL_COVERAGE: Final = 25
"""Coverage up to which a third keeps code 6. [%] Source: PANS-Aerodromes (Doc 9981) (second-hand)."""

SHALLOW_DEPTH: Final = 0.0254 / 8.0
"""Depth that parts the shallow rows of the matrix from the deep ones, itself shallow. [m]

Source: PANS-Aerodromes (Doc 9981) Table II-1-3 says 3 mm, FAA AC 25-32 Table 2 says 1/8 in (both second-hand). Depths
are reported in whole millimetres or in eighths of an inch, so one limit of 1/8 in serves both.
"""

COLD_TEMPERATURE: Final = 258.15
"""Outside air temperature at and below which compacted snow is code 4. [K] Source: as the matrix (second-hand)."""

UPGRADE_CEILING: Final = 3
"""Highest code to which a base code 0 or 1 may be raised; 2 to 5 may not. Source: Doc 9981 (from memory)."""

_MATRIX_SOURCE: Final = "PANS-Aerodromes (Doc 9981) Table II-1-3; FAA AC 25-32 Table 2"


@dataclass(frozen=True)
class MatrixRow:
    """One line of the runway condition assessment matrix, with its source and how far that was checked."""

    code: int
    descriptor: str
    depth: Literal["any", "shallow", "deep"] = "any"
    temperature: Literal["any", "cold", "warm"] = "any"
    status: Literal["second-hand", "from memory"] = "second-hand"
    source: str = _MATRIX_SOURCE


MATRIX: Final = (
    MatrixRow(6, "DRY"),
    MatrixRow(5, "FROST"),
    MatrixRow(5, "WET"),
    MatrixRow(5, "SLUSH", depth="shallow"),
    MatrixRow(5, "DRY SNOW", depth="shallow"),
    MatrixRow(5, "WET SNOW", depth="shallow"),
    MatrixRow(4, "COMPACTED SNOW", temperature="cold"),
    MatrixRow(4, "SPECIALLY PREPARED WINTER RUNWAY", status="from memory"),
    MatrixRow(3, "SLIPPERY WET"),
    MatrixRow(3, "DRY SNOW ON TOP OF COMPACTED SNOW", status="from memory"),
    MatrixRow(3, "WET SNOW ON TOP OF COMPACTED SNOW", status="from memory"),
    MatrixRow(3, "DRY SNOW", depth="deep"),
    MatrixRow(3, "WET SNOW", depth="deep"),
    MatrixRow(3, "COMPACTED SNOW", temperature="warm"),
    MatrixRow(2, "STANDING WATER"),
    MatrixRow(2, "SLUSH", depth="deep"),
    MatrixRow(1, "ICE"),
    MatrixRow(0, "WET ICE"),
    MatrixRow(0, "WATER ON TOP OF COMPACTED SNOW"),
    MatrixRow(0, "DRY SNOW ON TOP OF ICE"),
    MatrixRow(0, "WET SNOW ON TOP OF ICE"),
)
"""The assessment matrix. From memory: "any depth" of snow on compacted snow, and the specially prepared runway."""

PILOT_TERMS: Final = {
    5: "GOOD",
    4: "GOOD TO MEDIUM",
    3: "MEDIUM",
    2: "MEDIUM TO POOR",
    1: "POOR",
    0: "LESS THAN POOR",
}
"""Braking action a pilot reports, beside each code. Source: the matrix (second-hand); code 6 has none."""

OTHER_PILOT_TERMS: Final = {"NIL": 0}
"""Term used in the United States for LESS THAN POOR. Source: FAA AIM 4-3-9 (second-hand)."""

NOTICE_WORDS: Final = {
    "ASH": None,
    "COMPACTED SN": "COMPACTED SNOW",
    "DRY": "DRY",
    "DRY SN": "DRY SNOW",
    "DRY SN OVER COMPACTED SN": "DRY SNOW ON TOP OF COMPACTED SNOW",
    "DRY SN OVER ICE": "DRY SNOW ON TOP OF ICE",
    "FROST": "FROST",
    "ICE": "ICE",
    "MUD": None,
    "OIL": None,
    "RUBBER": None,
    "SAND": None,
    "SLIPPERY WHEN WET": "SLIPPERY WET",
    "SLUSH": "SLUSH",
    "SLUSH OVER ICE": None,
    "WATER": "STANDING WATER",
    "WATER OVER COMPACTED SN": "WATER ON TOP OF COMPACTED SNOW",
    "WET": "WET",
    "WET ICE": "WET ICE",
    "WET SN": "WET SNOW",
    "WET SN OVER COMPACTED SN": "WET SNOW ON TOP OF COMPACTED SNOW",
    "WET SN OVER ICE": "WET SNOW ON TOP OF ICE",
}
"""Contaminant words of a FICON notice and the condition word of the same meaning, if there is one.

Source: FAA Order JO 7930.2 (from memory). WATER not deeper than 1/8 in is WET; `notice_descriptor` looks at the depth.
"""

OLD_NOTICE_WORDS: Final = frozenset({"PTCHY", "THN", "WSR", "LSR", "PSR", "SIR", "SLR", "IR", "BA", "BRAP", "MU"})
"""Words of notices from before October 2016. PTCHY, THN, WSR, BA: seen in published notices; others from memory."""

TREATMENT_WORDS: Final = ("PLOWED", "SWEPT", "SANDED", "DEICED", "SCRAPED", "GRADED", "TREATED")
"""Treatment words of a FICON notice. Source: FAA Order JO 7930.2 (from memory)."""


def matrix_codes(descriptor: str, depth: float | None = None, temperature: float | None = None) -> tuple[int, ...]:
    """Return the codes the assessment matrix allows for a condition word, highest first.

    More than one code comes back when the depth or the temperature would decide and is not known.

    Parameters
    ----------
    descriptor
        One of `CONDITION_WORDS`.
    depth
        Depth of the loose contaminant, not negative; None if unknown. [m]
    temperature
        Outside air temperature, above absolute zero; None if unknown. [K]

    Raises
    ------
    ValueError
        If the word is none of the 17, the depth is negative or the temperature not positive.

    References
    ----------
    .. [1] PANS-Aerodromes (Doc 9981) Table II-1-3; FAA AC 25-32 Table 2. Status beside each row of `MATRIX`.

    Examples
    --------
    >>> matrix_codes("SLUSH", depth=0.006)
    (2,)
    >>> matrix_codes("COMPACTED SNOW")
    (4, 3)
    """
    if descriptor not in CONDITION_WORDS:
        raise ValueError(f"descriptor {descriptor!r} is none of the 17 condition words")
    if depth is not None and not depth >= 0.0:
        raise ValueError(f"depth {depth} m is outside 0 m and above")
    if temperature is not None and not temperature > 0.0:
        raise ValueError(f"temperature {temperature} K is outside 0 K and above")
    depth_class = None if depth is None else "shallow" if depth <= SHALLOW_DEPTH * (1.0 + 1e-9) else "deep"
    cold = None if temperature is None else "cold" if temperature <= COLD_TEMPERATURE + 1e-9 else "warm"
    return tuple(
        row.code
        for row in MATRIX
        if row.descriptor == descriptor
        and (depth_class is None or row.depth in ("any", depth_class))
        and (cold is None or row.temperature in ("any", cold))
    )


def notice_descriptor(words: str, depth: float | None) -> str | None:
    """Return the condition word that means the same as a FICON contaminant, or None where there is none.

    Examples
    --------
    >>> notice_descriptor("WET SN OVER ICE", None)
    'WET SNOW ON TOP OF ICE'
    >>> notice_descriptor("WATER", 0.003)
    'WET'
    """
    if words == "WATER" and depth is not None and depth <= SHALLOW_DEPTH * (1.0 + 1e-9):
        return "WET"
    return NOTICE_WORDS[words]


def pilot_term_code(term: str) -> int | None:
    """Return the code beside a braking action term in the matrix, or None for a word that is no such term."""
    for code, name in PILOT_TERMS.items():
        if name == term:
            return code
    return OTHER_PILOT_TERMS.get(term)
