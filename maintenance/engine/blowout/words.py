"""Lists on the sheet: before the engine starts, after, what to bring, if this happens.

Custom and caution of the trade, in our own words: common practice, no source, unless a
source stands with the line.
"""

from typing import Final

from maintenance.engine.blowout.sheet import Sign

BEFORE: Final = (
    "Local codes and licensed practice decide; this sheet is advice for planning.",
    "Air at 36 °F (2 °C) or more and rising; compressor outdoors, wheels chocked, on firm ground.",
    "Water sources shut and seen to hold; the pressure in the lines let off.",
    "Eye and ear protection on; people, children and dogs away from heads, boxes and hose.",
    "Port plug off only with no pressure behind it; adapter tight; hose tied at both ends.",
    "The hose goes on downstream of the backflow assembly, never through it.",
    (
        "Regulator first: dead-end it at the setting and watch the gauge for one minute; if it "
        "creeps up, do not use it."
    ),
    "A relief valve set at or below the sheet's highest limit stands after the regulator.",
    (
        "Open the first outlet and see it pass, then let the air on slowly. Never air with all "
        "outlets shut."
    ),
    (
        "Buried plastic and compressed air: pipe standards cover liquids only (ASTM D2241, note "
        "1); the trade does it at low pressure. Keep off the line while air is on."
    ),
)
AFTER: Final = (
    "Air off at the compressor; wait for the gauge to read zero.",
    "Leave the last outlet open while the hose comes off; hose off last.",
    "Leave the port open until nothing more runs out of it, then plug it by hand only.",
    "Run every station once more with the air off, so that its valve stands empty.",
    "Open the drains that stay open; leave isolation valves as the site's winter list says.",
    "Write down readings, what was skipped and why; put box lids and covers back.",
)
BRING: Final = (
    "Compressor with fuel, oil checked, and its hose of at least the bore on this sheet",
    "Regulator, relief valve and a gauge for the port",
    "Adapter from the hose to the port, thread tape, wrenches",
    "Hose restraint at both ends",
    "Eye and ear protection for everybody near",
    "Valve key, coupler key, box key, flashlight",
    "Stopwatch, pencil, this sheet, the controller's manual override",
    "Barrier tape where people pass",
)
SIGNS: Final = (
    Sign(
        "The gauge climbs and stays up",
        "Nothing passes: the valve did not open, or heads are blocked.",
        "Air off at once. Gauge zero, then open the valve by hand and look.",
    ),
    Sign(
        "The gauge falls to nothing",
        "A break, a head off, a drain open, or the hose is loose.",
        "Air off. Find the hiss; cap or mend it before going on.",
    ),
    Sign(
        "No water within the time of the first front",
        "Wrong zone open, the line was empty, or the front is held by a rise.",
        "Air off. Check which station runs; compare with the plan.",
    ),
    Sign(
        "The water never ends",
        "A source still feeds the line: a shut-off weeps or stands open.",
        "Air off. Shut the source, prove that it holds, start again.",
    ),
    Sign(
        "Air comes out at the backflow assembly",
        "The air runs backwards: the port is upstream, or a shut-off leaks.",
        "Air off. Shut the shut-off nearest the port; do not blow through the assembly.",
    ),
    Sign(
        "Two zones are up",
        "A second valve is open; each gets half the air.",
        "Air off. Close the one that is not on the list.",
    ),
    Sign(
        "A head flies or a riser whips",
        "A broken thread.",
        "Air off, stand clear until zero. Cap the riser, note it for spring.",
    ),
    Sign(
        "The hose or its coupling hisses",
        "A coupling is not locked.",
        "Air off before you touch it.",
    ),
    Sign(
        "The tank cannot keep up",
        "The heads pass more air than the compressor makes.",
        "Normal with a small compressor. Keep to the passes and rests; never raise the "
        "setting while a zone is open.",
    ),
)
