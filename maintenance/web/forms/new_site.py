"""The questions by which a site is typed in without a file."""

from typing import Any, Final

from maintenance.web.forms.answers import AnswerForm, ask, choose

SOURCES: Final = (
    ("public", "public water"),
    ("well", "a well"),
    ("surface", "a pond, stream or canal"),
    ("tank", "a tank"),
)
DEVICES: Final = (
    ("none", "there is none"),
    ("PVB", "pressure vacuum breaker (PVB)"),
    ("SVB", "spill-resistant vacuum breaker (SVB)"),
    ("AVB", "atmospheric vacuum breaker (AVB)"),
    ("RP", "reduced-pressure assembly (RP)"),
    ("DC", "double check (DC)"),
    ("AG", "air gap (AG)"),
)
HEADS: Final = (
    ("spray", "spray: fixed fan of water"),
    ("rotor", "rotor: a stream that turns"),
    ("impact", "impact: an arm that knocks"),
    ("bubbler", "bubbler"),
    ("drip_emitters", "drip emitters"),
)

_PRESSURE = (
    (
        "Screw a pressure gauge on an outdoor tap that the same water feeds, open the tap "
        "with nothing else running, and read."
    ),
    (
        "If the tap lies lower or higher than the irrigation, each foot makes 0.433 psi "
        "(each metre 9.8 kPa)."
    ),
)
_FLOW = (
    (
        "With a water meter: read it, run the largest zone for five minutes, read it "
        "again. The difference divided by five is the flow per minute."
    ),
    (
        "Without one: fill a bucket of known volume at a wide open tap and count seconds. "
        "A 5 gallon bucket in 30 s is 10 gpm."
    ),
)
_DEVICE = (
    (
        "Look where the irrigation leaves the house supply, often outside at a wall or in "
        "a box. It is a brass body with small test taps on it."
    ),
    (
        "Two shut-offs at right angles and a bell or cap on top, above the ground: "
        "pressure vacuum breaker. The same with a hooded bonnet, often indoors: "
        "spill-resistant."
    ),
    (
        "A long body with a shut-off at each end, lying flat: four test taps and nothing "
        "below it: double check; with an opening under it that can spill water: "
        "reduced-pressure assembly."
    ),
    (
        "One cap on top behind each zone valve and no shut-off after it: atmospheric "
        "vacuum breaker. The letters on its plate settle it."
    ),
)
PIPE_LOOKS: Final = (
    (
        "White or grey, stiff, glued sockets: rigid PVC. The print along it says SCH 40, "
        "SCH 80, or SDR and a number (class 200 is SDR 21, class 160 is SDR 26)."
    ),
    (
        "Black, bends by hand, held by clamps on barbed fittings: polyethylene (PE). The "
        "print says SIDR or DR and a number."
    ),
    "Red-brown metal with soldered joints: copper. Grey metal, a magnet holds: steel.",
    (
        "Dig by a valve box: the pipe comes up there. If you cannot see it, choose “I "
        "don’t know”: the tool then takes the weakest and the widest of its class."
    ),
)
PIPE_STRING: Final = (
    (
        "Wind a string once round the pipe, mark it, and measure the length of string. "
        "The table at the foot of this page turns it into the nominal size."
    ),
)
_LEVEL = (
    (
        "Sight along a spirit level, or run a clear hose full of water between the two "
        "places: the water stands level in both ends."
    ),
    (
        "Or read the static pressure at a tap at each end with no water running: each "
        "psi of difference is 2.31 ft (0.433 psi per foot). The lower tap reads more."
    ),
)


class NewSiteForm(AnswerForm):
    """The first page: where it is, what feeds it, what guards the drinking water."""

    groups = (
        ("Place", ("name", "elevation", "time_zone", "autumn_air")),
        (
            "Water",
            (
                "source",
                "static_pressure",
                "flow",
                "pump",
                "also_feeds",
                "second_source",
            ),
        ),
        (
            "Shut-off and backflow assembly",
            ("shut_off", "device", "device_size", "device_placement"),
        ),
    )

    name = ask("Name of the site", "Any name that you will know again.", short=False)
    elevation = ask(
        "Elevation above the sea",
        'Such as "5200 ft" or "1600 m". Thin air carries less.',
        find_out=(
            (
                "A map, a phone’s compass or the town’s sign tells it; to the nearest 500 ft "
                "is enough."
            ),
        ),
    )
    time_zone = ask(
        "Time zone",
        'Such as "America/Denver".',
        suggestions="time-zones",
        find_out=("Type the continent and pick the nearest large town.",),
    )
    autumn_air = ask(
        "Air temperature when you blow out",
        'Such as "45 degF" or "7 degC". Left empty, 50 degF is assumed.',
    )
    source = choose("Where the water comes from", SOURCES)
    static_pressure = ask(
        "Pressure with no water running", 'Such as "62 psi".', find_out=_PRESSURE
    )
    flow = ask("Flow that it can give", 'Such as "18 gpm".', find_out=_FLOW)
    pump = choose(
        "Pump",
        (
            ("none", "there is none"),
            ("submersible", "in the well"),
            ("jet", "beside the well, two pipes go down or one with a jet"),
            ("booster", "in the line, raises the pressure"),
        ),
        find_out=("Look for a cable going down the well cap, or a motor on a pipe.",),
    )
    also_feeds = ask(
        "What else this water feeds",
        'Such as "house" or "barn tap"; "nothing" if nothing. It must keep its water.',
        short=False,
        find_out=(
            (
                "Shut the irrigation’s shut-off and open the taps of the house: those that "
                "still run are fed before it."
            ),
        ),
    )
    second_source = choose(
        "A second source", (("none", "there is none"), *SOURCES), "A well beside it?"
    )
    shut_off = choose(
        "Shut-off of the irrigation",
        (
            ("ball", "lever, a quarter turn (ball valve)"),
            ("gate", "wheel, many turns (gate valve)"),
            ("stop_and_waste", "buried, turned with a long key (stop-and-waste)"),
            ("other", "another kind"),
            ("none", "there is none"),
        ),
        find_out=(
            (
                "Follow the pipe back from the backflow assembly: cellar, crawl space, or a "
                "round lid in the lawn towards the street."
            ),
        ),
    )
    device = choose("Backflow assembly", DEVICES, find_out=_DEVICE)
    device_size = ask("Its size in inches", 'As on its plate, such as "1" or "3/4".')
    device_placement = choose(
        "Where it stands",
        (
            ("above_ground", "outside, above the ground"),
            ("buried", "in a box in the ground"),
            ("indoors", "indoors"),
        ),
    )


class WaterWaysForm(AnswerForm):
    """The second page: the main, the port and the first zones, each a straight run."""

    main_pipe = ask(
        "Pipe of the main",
        'Such as "PVC SDR-21" or "unknown plastic".',
        suggestions="pipes",
        find_out=PIPE_LOOKS,
    )
    main_size = ask("Its nominal size", 'Such as "1-1/2".', find_out=PIPE_STRING)
    main_length = ask(
        "Its length, from the assembly to the last zone valve",
        'Such as "120 ft" or "36 m".',
        find_out=("Pace it: a long step is about 3 ft, or 0.9 m.",),
    )
    main_fall = ask(
        "How much lower its far end lies",
        'Such as "4 ft"; with a minus if it lies higher. Empty is taken as level.',
        find_out=_LEVEL,
    )
    port = choose(
        "Where the compressor’s hose goes on (blow-out port)",
        (
            ("after_device", "just after the backflow assembly"),
            ("main_end", "at the far end of the main"),
            ("none", "nowhere: there is no port"),
        ),
        find_out=(
            (
                "Look past the assembly, seen with the flow, for a plug, a capped tee or a "
                "drain valve with thread. Never before the assembly and never at its test "
                "taps."
            ),
        ),
    )
    port_fitting = ask("Its fitting", 'Such as "1 in NPT plug, brass".', short=False)
    port_where = ask("Where to find it", 'Such as "box 1".', short=False)

    def __init__(self, *args: Any, zones: int = 1, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zones = zones
        groups = [
            ("Main", ("main_pipe", "main_size", "main_length", "main_fall")),
            ("Blow-out port", ("port", "port_fitting", "port_where")),
        ]
        for number in range(1, zones + 1):
            fields = zone_questions(f"zone_{number}_")
            self.ask_too(fields)
            groups.append((f"Zone {number}", tuple(fields)))
        self.groups = tuple(groups)


def zone_questions(prefix: str) -> dict[str, Any]:
    """Return the questions about one zone, described as a straight run."""
    fields = {
        "name": ask("Name", 'Such as "front lawn".', short=False),
        "pipe": ask(
            "Pipe",
            'Such as "PE SIDR-15" or "unknown plastic".',
            suggestions="pipes",
            find_out=PIPE_LOOKS,
        ),
        "size": ask("Nominal size", 'Such as "1".', find_out=PIPE_STRING),
        "length": ask("Length, from its valve to the last head", 'Such as "120 ft".'),
        "heads": ask(
            "Number of heads", find_out=("Run the zone for a minute and count.",)
        ),
        "head": choose("Kind of heads", HEADS),
        "flow": ask(
            "Flow of one head",
            'Such as "1.5 gpm". Give it together with the pressure below.',
            find_out=(
                (
                    "Meter over five minutes while the zone runs, divided by five and by the "
                    "number of heads."
                ),
            ),
        ),
        "at_pressure": ask("At what pressure", 'Such as "30 psi".'),
        "fall": ask(
            "How much lower the last head lies than the valve",
            'Such as "2 ft"; with a minus if it lies higher.',
            find_out=_LEVEL,
        ),
    }
    return {f"{prefix}{name}": field for name, field in fields.items()}
