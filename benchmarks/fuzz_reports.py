"""Throw seeded nonsense at the report readers: only ReportError may come out, and no text may take long.

    python benchmarks/fuzz_reports.py [COUNT] [SEED]

Prints how many texts were read or refused, the crashes, and the slowest. Exit code 1 on a crash or a slow text.
"""

from __future__ import annotations

import contextlib
import json
import random
import sys
import time
from collections import Counter
from collections.abc import Callable

from groundroll.errors import ReportError
from groundroll.reports import describe_condition, describe_weather, read_condition, read_report, read_weather
from groundroll.reports.to_json import to_json
from groundroll.reports.weather import WeatherReport

COUNT = 200_000
SEED = 20_261_125
LONGEST_TIME = 0.050
"""Time allowed for one text. [s]"""

VALID = (
    "METAR QDEM 251250Z 24015G27KT 200V280 9999 -RA BKN012 OVC020 12/11 Q1009 NOSIG",
    "SPECI QDEM 251250Z AUTO 34010G18MPS 0800 R24/0600V1000U SN VV003 M02/M03 A3006 RESN WS R24 RMK AO2 SLP123",
    "METAR COR QDEM 311250Z VRB02KT CAVOK 20/10 Q1013 R01L/550295 TEMPO 27040KT 2000 SHSN=",
    "QDEM 02170135 09R 5/2/2 100/50/75 NR/06/06 WET/SLUSH/SLUSH 30",
    "GG QDEMZQZX QDENZQZX\n070645 QDEMYNYX\nSWQA0151 QDEM 02170225\n(SNOWTAM 0151\nQDEM\n02170225 09L 5/5/5 "
    "100/100/100 NR/NR/NR WET/WET/WET\n02170135 09R 3/3/0 75/100/100 04/12/12 dry snow/wet snow on top of\ncompacted "
    "snow/water on top of compacted snow 35\nRWY 09L REDUCED TO 2300. DRIFTING SNOW. RWY 09L LOOSE SAND. RWY 09R "
    "CHEMICALLY TREATED. RWY 09L SNOWBANK LR20 FM CL. TWY B SNOWBANK. RWY 09R ADJ SNOWBANKS. ALL TWYS POOR. APRON "
    "NORTH POOR. Sanded daily.)",
    "!ABC 01/123 ABC RWY 17 FICON 5/3/2 25 PRCT 1/8IN DRY SN, 50 PRCT 1 1/2IN WET SN OVER COMPACTED SN, 75 PRCT SLUSH "
    "PLOWED 100FT WIDE OBS AT 2401151230. 2401151235-2401161235EST",
    "RWY 22 FICON 5/5/3",
    "runway two four left condition codes five five five wet 100 percent depth 2 mm braking action good at 1250Z",
    "5/5/5 wet wet wet",
    "(SNOWTAM 0196\nA)QDEM\nB)02271450\nC)03 F)NIL/NIL/NIL)",
)
SIGNS = ("/", "(", ")", ".", ",", ";", "=", "!", "NR", "//", "////", "NIL")
TOKENS = (*sorted({token for text in VALID for token in text.split()}), *SIGNS)
LONGEST_MESSAGE = 600
CHARACTERS = "ABCDEFGHIKLMNOPQRSTUVWXYZ0123456789/().,;=!-+ \n\t\0\x1c\x85é٣²ß–"


def mutated(chance: random.Random) -> str:
    """Return a valid report with a few characters changed, lost, doubled or swapped."""
    characters = list(chance.choice(VALID))
    for _ in range(chance.randint(1, 8)):
        at = chance.randrange(len(characters))
        kind = chance.randrange(4)
        if kind == 0:
            characters[at] = chance.choice(CHARACTERS)
        elif kind == 1 and len(characters) > 1:
            del characters[at]
        elif kind == 2:
            characters.insert(at, chance.choice(CHARACTERS))
        else:
            other = min(len(characters), at + chance.randint(1, 30))
            characters[at:at] = characters[at:other]
    return "".join(characters)


def soup(chance: random.Random) -> str:
    """Return words of reports in any order."""
    return chance.choice((" ", "\n", " ", "")).join(chance.choices(TOKENS, k=chance.randint(1, 60)))


def noise(chance: random.Random) -> str:
    """Return random bytes as text."""
    return chance.randbytes(chance.randint(0, 400)).decode("latin-1")


def repeated(chance: random.Random) -> str:
    """Return a long text that repeats a few words: where a careless pattern would take for ever."""
    words = chance.choice((" ", "\n", ". ", "")).join(chance.choices(TOKENS, k=chance.randint(1, 5)))
    start = chance.choice((*VALID, "", "METAR QDEM 251250Z ", "RWY 22 FICON 5/5/3 ", "QDEM 02170135 09R 5/2/2 "))
    joined = words + chance.choice((" ", "\n", ". ", ", ", "/", ""))
    text = start + chance.choice((" ", "\n", "")) + joined * (20_000 // len(joined))
    return text[: chance.choice((500, 3_000, 19_999, 20_000, 20_001))]


def check(text: str) -> str:
    """Read a text in all ways, and describe what comes out; return how it went."""
    outcome = "refused"
    for read in (read_report, read_weather, read_condition):
        try:
            report = read(text)
        except ReportError as error:
            message = str(error)
            if not message.isprintable() or len(message) > LONGEST_MESSAGE:
                raise RuntimeError(f"message not fit to show: {message!r}") from error
            continue
        if isinstance(report, WeatherReport):
            describe_weather(report)
        else:
            describe_condition(report)
            for runway in report.runways:
                report.for_landing(runway.runway or "18")
        json.dumps(to_json(report), allow_nan=False)
        outcome = "read"
    return outcome


def main() -> int:
    """Run, print the figures, and return the exit code."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else SEED
    chance = random.Random(seed)
    kinds: tuple[Callable[[random.Random], str], ...] = (mutated,) * 5 + (soup,) * 3 + (noise,) * 2
    outcomes: Counter[str] = Counter()
    crashes: list[str] = []
    slowest: dict[str, tuple[float, str]] = {}
    for number in range(count):
        kind = repeated if number % 200 == 0 else chance.choice(kinds)
        text = kind(chance)
        try:
            outcomes[f"{kind.__name__} {check(text)}"] += 1
        except Exception as error:  # the point of the run: anything but ReportError is a crash
            crashes.append(f"{type(error).__name__}: {error}: {text[:200]!r}")
        for read in (read_report, read_weather, read_condition) if kind is repeated else (read_report,):
            taken = timed(read, text)
            if taken > LONGEST_TIME:  # again, as another program may have held the machine
                taken = min(taken, timed(read, text), timed(read, text))
            if taken > slowest.get(kind.__name__, (0.0, ""))[0]:
                slowest[kind.__name__] = taken, text
    print(f"{count} texts, seed {seed}; {len(crashes)} crashes")
    for name, number in sorted(outcomes.items()):
        print(f"  {name}: {number}")
    for crash in crashes[:10]:
        print(f"  crash: {crash}")
    for name, (taken, text) in slowest.items():
        print(f"  slowest {name}: {taken * 1000:.1f} ms, {len(text)} characters, {text[:70]!r}")
    return 1 if crashes or any(taken > LONGEST_TIME for taken, _ in slowest.values()) else 0


def timed(read: Callable[[str], object], text: str) -> float:
    """Return how long one reading takes. [s]"""
    start = time.perf_counter()
    with contextlib.suppress(Exception):  # only the time counts here; `check` looks at what is raised
        read(text)
    return time.perf_counter() - start


if __name__ == "__main__":
    sys.exit(main())
