"""What happens on a roll, in words for captions; from its programs and the events that were located on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from groundroll.physics.rollout import BrakeStage, Control, Roll, RollEvent, RollResult, ThrustStage
from groundroll.planning.wording import Wording
from groundroll.teaching.animation import Event

RULES: Final = {
    "demand rules": "The wheel brakes hold what is asked",
    "friction rules": "The surface gives no more grip: now it rules, not the setting",
    "brake torque rules": "The brakes themselves give no more: their torque rules now",
    "no wheel braking needed": "Drag and engines alone do what is asked: the wheel brakes rest",
}

PLACES: Final = {
    "spoilers out": "Spoilers are out, weight on the wheels",
    "below the hydroplaning branch of braking": "Slow enough for the tyres to grip through the water",
    "contaminant drag at its peak": "The drag of what lies on the runway is at its peak",
}

SHORTEST_RULE: Final = 1.0
"""What rules the brakes for less than this gets no caption. [s] Assumption of this project."""


def events_of(roll: Roll, result: RollResult, wording: Wording, begin: float) -> list[Event]:
    """Return the events of a roll that begins at ``begin`` of its scene."""
    found: list[Event] = []
    rules: list[RollEvent] = []
    released = False
    for one in result.events:
        text, topic, rank = PLACES.get(one.name, ""), "", 2
        if one.name in RULES:
            if not released:  # brakes that are off give what is asked: nothing
                rules.append(one)
        elif one.name.startswith("thrust stage "):
            text = _engines(roll.thrust_program, int(one.name.rsplit(" ", 1)[1]) - 1)
            topic, rank = "engines", 1 if "reverse" in text else 2
        elif one.name.startswith("brake stage "):
            text = _brakes(roll.brake_program, int(one.name.rsplit(" ", 1)[1]) - 1, wording, one)
            rank = 1
            released = text.startswith("Brakes released")
        elif one.name.endswith("third entered") and _changes(roll, one.name):
            text = f"{one.name.capitalize()}, with another surface"
        if text:
            found.append(Event(begin + one.time, text, topic, rank))
    return sorted([*found, *_lasting(rules, result.time, begin)], key=lambda event: event.time)


def _lasting(rules: Sequence[RollEvent], end: float, begin: float) -> list[Event]:
    """Return what rules the brakes, where it does so for a while and has changed."""
    found: list[Event] = []
    last = ""
    for number, one in enumerate(rules):
        until = rules[number + 1].time if number + 1 < len(rules) else end
        if until - one.time >= SHORTEST_RULE and one.name != last:
            # That the brakes do what they are asked needs no words when it was never otherwise.
            if last or one.name != "demand rules":
                found.append(Event(begin + one.time, RULES[one.name], "rule"))
            last = one.name
    return found


def _changes(roll: Roll, name: str) -> bool:
    number = 1 if name.startswith("second") else 2
    return roll.thirds[number] != roll.thirds[number - 1]


def _engines(program: Sequence[ThrustStage], number: int) -> str:
    stage = program[number]
    before = program[number - 1] if number else None
    if stage.reverse_full > 0.0:
        return "Engines go to full reverse"
    if stage.reverse_idle > 0.0:
        full_before = before is not None and before.reverse_full > 0.0
        return "Reverse goes back to idle" if full_before else "Reversers open"
    if before is not None and (before.reverse_idle > 0.0 or before.reverse_full > 0.0):
        return "Reversers are stowed"
    if before is not None and before.take_off > 0.0 and stage.take_off == 0.0:
        return "Thrust levers closed"
    return ""


def _brakes(program: Sequence[BrakeStage], number: int, wording: Wording, event: RollEvent) -> str:
    stage = program[number]
    if stage.control == Control.OFF:
        return f"Brakes released at {wording.speed(event.ground_speed)}: roll on"
    if stage.control == Control.AUTOMATIC:
        return f"Automatic brakes aim at {stage.target:.1f} m/s² in all"
    return "Brakes on" if stage.target >= 1.0 else f"Brakes on, {100.0 * stage.target:.0f} % of full pedal"
