"""Cautions of a shutdown, in words short enough to be read at the valve.

Sources stand with the steps; those about air, hoses, pits and power follow the safety
rules named there, the rest is common practice without a source.
"""

from typing import Final

LOCAL: Final = "Local codes and licensed practice decide; this list is planning advice."
PEOPLE: Final = (
    "Never point air at anyone: it can blind, or enter the body and kill.",
    "Eyes and ears covered. Children, dogs and neighbours kept away.",
    "Stay off heads, boxes and the line while air is on.",
)
BURIED_PLASTIC: Final = "Pipe standards are for water, not air (ASTM D2241, note 1): low pressure, keep off."
ENGINE: Final = "Engine outdoors only, wheels chocked."
HOT: Final = "If you cannot keep a hand on the fitting, stop: the air is too hot."
HOSE: Final = "Tie the hose at both ends; lock its couplings before air."
PLUG: Final = "Pressure may stand behind the plug: loosen it a turn, face away, wait."
SPURTS: Final = "If it spurts, shut it and let the pressure off first."
KEY: Final = "Key in and out only with no pressure: it can fly."
PIT: Final = "A pit or vault is a confined space: key from above, never climb in alone."
POWER: Final = "Lock and tag it. Electrical work may need a licence."
RESIDUAL_CHARGE: Final = "A drive holds charge: wait as its maker says before touching."
HEADS: Final = "Stand clear of the heads."
NEVER_ALL_SHUT: Final = "Never air with all outlets shut. No head passing: air off."
ZERO_FIRST: Final = "Air off and gauge at zero before you touch it."
"""A valve turned by hand under air can throw its stem or bonnet."""
