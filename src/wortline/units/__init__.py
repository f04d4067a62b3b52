"""Quantities typed by people to core units, and back.

One core unit per kind of quantity: L, kg, C, K, min, W, kWh, kPa, m, m2, L/min, L/h (boil-off),
L/kg, K/min, turns a minute, mg/kg, mg/L, SG, EBC, IBU, and shares from 0 to 1.
"""

from wortline.units.families import told_in
from wortline.units.kinds import KINDS, Kind
from wortline.units.retold import OZ_GAL_PER_G_L, retold
from wortline.units.said import GLUE, glued, say, shown_in
from wortline.units.typed import parse, short

__all__ = [
    "GLUE",
    "KINDS",
    "OZ_GAL_PER_G_L",
    "Kind",
    "glued",
    "parse",
    "retold",
    "say",
    "short",
    "shown_in",
    "told_in",
]
