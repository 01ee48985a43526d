"""Colours of the pictures, on a light and on a dark ground."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from groundroll.outputs.charts import style

ThemeName: TypeAlias = Literal["light", "dark"]


@dataclass(frozen=True)
class Theme:
    """One set of colours, each "#RRGGBB"."""

    ground: str
    panel: str
    ink: str
    quiet: str
    """Of less important words and of axes."""
    line: str
    """Of thin lines."""
    grass: str
    paved: str
    marking: str
    """On the pavement."""
    aeroplane: str
    aeroplane_edge: str
    trail: str
    """Of the way covered."""
    forces: dict[str, str]
    """By the names of the forces of a scene."""
    heat: str
    surfaces: tuple[str, ...]
    """Tints of the pavement in the overview by code, 0 to 6: the darker, the less grip."""
    warning: str


LIGHT: Final = Theme(
    ground="#FFFFFF",
    panel="#F4F5F6",
    ink="#111417",
    quiet="#4C545C",
    line="#B4BBC2",
    grass="#DDE5D6",
    paved="#7B838B",
    marking="#FFFFFF",
    aeroplane="#FFFFFF",
    aeroplane_edge="#111417",
    trail=style.BLUE,
    forces={
        "brakes": style.BLUE,
        "drag": style.SKY,
        "thrust": style.ORANGE,
        "contaminant": style.GREEN,
        "rolling": style.PURPLE,
        "slope": "#8A929A",
    },
    heat=style.VERMILION,
    surfaces=("#3F464D", "#59626B", "#69737D", "#838D97", "#98A2AC", "#AEB7BF", "#C6CDD3"),
    warning=style.VERMILION,
)

DARK: Final = Theme(
    ground="#11161B",
    panel="#1A2128",
    ink="#F3F5F6",
    quiet="#AEB8C1",
    line="#49545E",
    grass="#1F2A20",
    paved="#4A525A",
    marking="#E6EAED",
    aeroplane="#F3F5F6",
    aeroplane_edge="#0A0D10",
    trail="#4AA8E8",
    forces={
        "brakes": "#3D97DA",
        "drag": "#8ED0F5",
        "thrust": "#F0B429",
        "contaminant": "#2FC39A",
        "rolling": "#E09CC4",
        "slope": "#8A949D",
    },
    heat="#F0803C",
    surfaces=("#22282E", "#2C333A", "#363F47", "#424C55", "#505B65", "#5F6B76", "#68747F"),
    warning="#F0803C",
)

THEMES: Final[dict[str, Theme]] = {"light": LIGHT, "dark": DARK}
