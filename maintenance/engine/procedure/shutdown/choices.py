"""What a person decides before a shutdown list is compiled."""

from dataclasses import dataclass
from typing import Literal

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import Graph

ChangeOver = Literal["controller", "next_first", "hand"]


@dataclass(frozen=True, slots=True)
class ShutdownChoices:
    """Decisions that no record can take.

    Attributes
    ----------
    change_over : str
        How to get from one zone to the next: ``controller``, air off before the
        station ends; ``next_first``, the next zone seen running before the last one
        is stopped, with the air on; ``hand``, every valve turned by hand with the air
        off and the gauge at zero. [-]
    agreed : frozenset of str
        Other uses whose people agree to be without water all winter. [-]
    port : str or None
        Blow through this port only; what other ports serve is drained. [-]
    """

    change_over: ChangeOver = "controller"
    agreed: frozenset[str] = frozenset()
    port: str | None = None


def refuse_unknown(graph: Graph, choices: ShutdownChoices) -> None:
    """Refuse choices about parts that the site does not have.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    choices : ShutdownChoices
        The choices. [-]

    Raises
    ------
    InputError
        If a port or another use is not on the site.
    """
    kinds = {key: point.kind for key, point in graph.points.items()}
    ports = [key for key, kind in kinds.items() if kind == "blowout_port"]
    if choices.port is not None and choices.port not in ports:
        known = ", ".join(ports) or "none"
        raise InputError(
            f'"{choices.port}" is no blow-out port of this site; it has {known}.',
            input="port",
        )
    users = [key for key, kind in kinds.items() if kind == "other_use"]
    for user in sorted(choices.agreed - set(users)):
        known = ", ".join(users) or "none"
        raise InputError(
            f'"{user}" is no other use of this site; it has {known}.', input="agreed"
        )
