"""The line commands of what is kept beside the steps: pictures, counts, pot, paint, packets, rinse."""

from __future__ import annotations

import re

from studio.lines.conversation import Conversation, Handler, asking, numbered
from studio.report.telling import band_words
from studio.session import commands as c
from studio.session.bands import bands_of, face_up, next_band, still_bare
from studio.session.kinds.paint import Face
from studio.session.timers import left_words, minutes_text, packets, view

BAND = re.compile(
    r"(?P<number>[0-9]{1,6})?\s*(?P<face>front|back)?\s*(?P<coat>coat)?\s*(?:from\s+(?P<jar>.+))?",
    re.IGNORECASE,
)


def _band(talk: Conversation, rest: str) -> None:
    said = BAND.fullmatch(rest)
    if said is None or (said["coat"] and not said["number"]):
        talk.tell(
            "Write band for the next one, or band 7, band 7 back, band 7 coat, band 7 from and the jar's colour."
        )
        return
    state = talk.session.state
    told = (said["face"] or face_up(state)).casefold()
    face: Face = "back" if told == "back" else "front"
    band = int(said["number"]) if said["number"] else next_band(state, face=face)
    if band is None:
        bare = still_bare(state)
        there = "Every band has a coat." if bands_of(state) else "This session has no bands to paint."
        talk.tell(f"The {face} is painted. Still to paint: {bare}." if bare else there)
    elif talk.do(c.PaintBand(band, said["jar"] or "", again=bool(said["coat"]), face=face)):
        bare = still_bare(talk.session.state)
        talk.tell(f"Still to paint: {bare}." if bare else "Every band has a coat.")


def _bands(talk: Conversation, rest: str) -> None:
    rows = bands_of(talk.session.state)
    talk.tell(
        *(f"{band.number}: {band.plan.colour}, {band_words(talk.session.state, band)}" for band in rows)
    )
    if not rows:
        talk.tell("This session has no bands to paint.")


def _packet_ids(talk: Conversation) -> list[str]:
    return [t.id for t in packets(talk.session.state)]


def _packets(talk: Conversation, rest: str) -> None:
    state, ids = talk.session.state, _packet_ids(talk)
    for number, timer_id in enumerate(ids, 1):
        timer = state.timers[timer_id]
        if not timer.running:
            told = f"out after {minutes_text(timer.stopped_after_s or 0)}"
        else:
            left_s = view(timer, talk.now).left_s
            told = f"{left_words(left_s)} to go" if left_s > 0 else f"over by {left_words(left_s)}"
            told += ", stands still" if timer.paused is not None else ""
        talk.tell(f"{number}: {timer.label}, {told}")
    if not ids:
        talk.tell("No packet is in the steam; the first one's clock starts when the steam rolls.")


def _packet_out(talk: Conversation, text: str) -> c.Command:
    return c.PacketOut(
        numbered(text, _packet_ids(talk), "Write the number of the packet; packets lists them.")
    )


def _photo(talk: Conversation, text: str) -> c.Command:
    path, _, about = text.partition(" ")
    return c.AddPhoto(path, about)


HANDLERS: dict[str, Handler] = {
    "photo": asking("Which picture, and what is on it? photos/edge.jpg the edge", _photo),
    "steam": lambda talk, rest: talk.do(c.ToggleSteam()),
    "band": _band,
    "bands": _bands,
    "packet out": asking("Which packet came out? Its number", _packet_out),
    "packets": _packets,
}
