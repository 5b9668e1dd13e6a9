"""Which colour a line names, and whose leftovers are still to be told."""

from __future__ import annotations

from studio.plan.facts import ColourFacts
from studio.session.live.given import facts_of, leftovers_untold
from studio.session.refusals import Refused
from studio.session.state import State


def colours_of(state: State) -> tuple[ColourFacts, ...]:
    """The colours of a session; none where it was written without them."""
    known = facts_of(state)
    return known[0].colours if known else ()


def names_of(state: State) -> str:
    """`1 rust, 2 kelp`."""
    return ", ".join(f"{number} {colour.name}" for number, colour in enumerate(colours_of(state), 1))


def named(state: State, text: str) -> tuple[str, str]:
    """The colour meant by its name or number, and the rest of the text; Refused where none is meant."""
    colours, told = colours_of(state), text.strip()
    if not colours:
        raise Refused("This session has no colours to ask about.")
    for number, colour in enumerate(colours, start=1):
        for name in (colour.name, colour.slug, str(number)):
            if told.casefold().startswith(f"{name.casefold()} "):
                return colour.slug, told[len(name) :].strip()
    if len(colours) == 1:
        return colours[0].slug, told
    raise Refused(f"Say which colour first ({names_of(state)}), for example {colours[0].name} 20 mL.")


def leftover_prompt(state: State) -> str:
    """The question about that colour; empty when all were told."""
    waiting = leftovers_untold(state)
    if not waiting:
        return ""
    return f"{waiting[0].name} left over: 12 mL into a jar, 12 mL out to dispose of, 0 for none > "
