"""Every key of every screen. What shows keys or listens to them is made from these rows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

import msgspec

from studio.words.actions import AT_END, BY_FOCUS, key_of, written
from studio.words.actions import Action as A

NO_PLAN = "Choose a plan first; {home.new_plan} makes a new one."
NO_VALUE = "This step takes no value; what it takes stands above the keys."
NO_ROWS = "A forecast is of a knitted blank; nothing else has rows that are unravelled."
NO_BAND = "That changes a band; go to the layout first."
NO_COLOUR = (
    "{plan.add} and {plan.take_out} add and take out a colour among the colours, a band in the layout."
)

ACTIONS = (
    A("any", "read_on", "pagedown", "read on", "read on", "read(1)", "more_below", first=True),
    A("any", "read_back", "pageup", "read back", "", "read(-1)", "more_above", first=True),
    A("any", "theme", "f2", "dark or light", does="app.change_theme"),
    A("any", "palette", "ctrl+p", "find an action, a plan or a session by its name",
      does="app.find_by_name"),
    A("any", "keys", "question_mark,f1", "this page", "keys"),
    # -- while something is typed ------------------------------------------------------------------
    A("field", "take", "enter", "take it", "takes it", "-"),
    A("field", "leave", "escape", "go back; nothing is written", "goes back", "-"),
    A("adding", "take", "enter", "take it and go on to the next question", "goes on", "-"),
    A("adding", "before", "up", "the question before, with its answer", "goes back one", "-"),
    A("adding", "leave", "escape", "keep what was answered for later", "keeps it for later", "-"),
    A("finding", "take", "enter", "look for it", "to the list", "-"),
    A("finding", "leave", "escape", "all sessions again", "all sessions again", "-"),
    A("naming", "take", "enter", "make the plan", "make the plan", "-"),
    A("naming", "leave", "escape", "another beginning", "another beginning", "-"),
    A("typing", "take", "enter", "take it and go on to the next field", "take it", "-"),
    A("typing", "fits", "down", "take the first name that fits what you typed", "a name that fits", "-", "offers"),
    A("typing", "make", "down", "put something new on the shelf and take it", "new one", "-", "none_fits"),
    A("typing", "new_entry", "ctrl+n", "put something new on the shelf and take it", "new one", "-", "makes"),
    A("typing", "leave", "escape", "leave it as it was", "leave it as it was", "-"),
    # -- home --------------------------------------------------------------------------------------
    A("home", "choose", "enter", "open what is under the bar", "open"),
    A("home", "begin", "b", "begin the plan under the bar; asks first", "begin", "", "on_plan", NO_PLAN),
    A("home", "first_plan", "f", "the plan that came with the studio", "first skein", "", "first_plan",
      "A studio with a session of its own does not offer that; {home.new_plan} makes a plan."),
    A("home", "new_plan", "n", "a new plan", "new plan"),
    A("home", "edit_plan", "e", "change the plan under the bar", "edit", "", "on_plan", NO_PLAN),
    A("home", "logbook", "l", "the logbook", "logbook"),
    A("home", "shelf", "s", "the shelf", "shelf"),
    A("home", "day", "d", "a day of several plans and pieces", "day"),
    A("home", "rehearse", "r", "rehearse the sample plan: no water, no dye", "rehearse"),
    A("home", "habits", "h", "what your sessions taught", "habits"),
    A("home", "leave", "q", "quit", "quit"),
    # -- plans -------------------------------------------------------------------------------------
    A("worksheet", "begin", "b", "begin the session; asks first", "begin"),
    A("worksheet", "edit", "e", "change the plan", "edit"),
    A("worksheet", "why", "w", "why: equation and source of every figure, or the figures alone", "why"),
    A("worksheet", "forecast", "f", "the forecast: blank, yarn and fabric", "forecast", "", "blank", NO_ROWS),
    A("begin", "rehearse", "r", "rehearse: a fast clock, no water, no dye", "rehearse", "answer('rehearse')"),
    A("begin", "begin", "b", "begin the session", "begin", "answer('begin')"),
    A("begin", "leave", "escape,q", "back, nothing is begun", "back"),
    A("new_plan", "choose", "enter", "begin from what is under the bar", "choose"),
    A("plan", "edit", "enter", "type into the field; Enter, Up or Down takes it, Esc does not", "type"),
    A("plan", "up", "up", "choose a field", "", "move(-1)"),
    A("plan", "down", "down", "choose a field", "", "move(1)"),
    A("plan", "section_before", "left,shift+tab", "choose a section", "", "turn(-1)", repeats=True),
    A("plan", "section_after", "right,tab", "choose a section", "", "turn(1)", repeats=True),
    A("plan", "wider", "plus,equals_sign,kp_plus", "a band wider or narrower", "rows", "wider(1)", "in_layout",
      NO_BAND, repeats=True),
    A("plan", "narrower", "minus,kp_minus", "a band wider or narrower", "rows", "wider(-1)", "in_layout",
      NO_BAND, repeats=True),
    A("plan", "recolour", "v", "the next colour for a band; after the last it is bare", "colour", "",
      "in_layout", NO_BAND),
    A("plan", "add", "a", "add a colour, in the layout a band", "add", "", "in_list", NO_COLOUR),
    A("plan", "take_out", "x", "take out a colour, in the layout a band", "out", "", "in_list", NO_COLOUR),
    A("plan", "fill", "t", "lay the bands once, or to fill the piece", "fill", "", "in_layout", NO_BAND),
    A("plan", "new_entry", "ctrl+n", "from a field that names a dye, base or acid: a new one", "", "", "makes",
      "Type into a field that names a dye, a base or an acid; this makes a new one."),
    A("plan", "save", "s,ctrl+s", "save", "save"),
    A("plan", "begin", "b", "begin the session (saves first, then asks)", "begin"),
    A("plan", "caution", "c", "the next caution, and its field", "caution",
      repeats=True),
    A("plan", "why", "w", "why: equation, origin and source of the figures shown", "why"),
    A("plan", "forecast", "f", "forecast", "forecast", "", "blank", NO_ROWS),
    A("plan", "undo", "u,ctrl+z", "take a change back", "undo", "", "undoable", "There is nothing to take back.",
      repeats=True),
    A("plan", "redo", "y,ctrl+y", "make it again", "", "", "redoable", "There is nothing to do again.",
      repeats=True),
    A("plan", "clear", "delete,backspace", "leave the field out; what stands in for it shows in grey", "", "",
      "filled", "This field is empty."),
    A("plan", "worksheet", "r", "the whole worksheet (saves first)"),
    A("plan", "leave", "escape,q", "back; asks where something is not saved", "back"),
    A("changed", "as_new", "a", "save this under a name of its own", "own name", "answer('a')"),
    A("changed", "over", "o", "write over what is there now", "write over", "answer('o')"),
    A("changed", "leave", "escape", "back, nothing is written", "back"),
    A("unsaved", "take", "t", "take your edits up again", "take up", "answer('t')"),
    A("unsaved", "leave", "escape,f", "the file as it was saved; {plan.redo} brings the edits back while it is open",
      "as saved"),
    A("leaving", "save", "s", "save and leave", "save", "answer('s')"),
    A("leaving", "keep", "k", "leave; your edits are kept beside the plan and offered when you open it again",
      "keep", "answer('k')"),
    A("leaving", "give_up", "g", "give your edits up: leave with the plan as it was saved", "give up", "answer('g')",
      "unkept"),
    A("leaving", "leave", "escape", "stay", "stay"),
    A("forecast", "before", "left", "choose what is changed", "choose", "knob(-1)", repeats=True),
    A("forecast", "after", "right,tab", "choose what is changed", "choose", "knob(1)", repeats=True),
    A("forecast", "more", "plus,up,equals_sign,kp_plus", "more or less of it", "change", "change(1)",
      repeats=True),
    A("forecast", "less", "minus,down,kp_minus", "more or less of it", "change", "change(-1)", repeats=True),
    A("forecast", "as_planned", "0", "as it is planned", "as planned"),
    A("day", "choose", "enter", "one more piece of the plan under the bar", "one more"),
    A("day", "back", "left", "walk the day", "walk the day", "walk(-1)", "laid_out", repeats=True),
    A("day", "on", "right", "walk the day", "walk the day", "walk(1)", "laid_out", repeats=True),
    A("day", "fewer", "minus", "how many pieces of it", "how many", "count(-1)", repeats=True),
    A("day", "more", "plus", "how many pieces of it", "how many", "count(1)", repeats=True),
    A("day", "places", "p", "places in the steamer, one to eight", "places"),
    A("day", "start", "s", "when you start", "start"),
    A("day", "finish", "f", "by when it must be finished", "finish by"),
    A("day", "why", "w", "why in this order", "why"),
    # -- the bench ---------------------------------------------------------------------------------
    A("bench", "answer", "enter,space", "answer the alarm on top", "heard", "go", "alarm"),
    A("bench", "go", "enter,space", "what comes next: done, a value, a gate", "done", "", "go"),
    A("bench", "gate", "enter,space", "says which digit opens this gate", "", "go", "digit"),
    A("bench", "wait", "enter,space", "says how long this wait still takes", "", "go", "waiting"),
    *(A("bench", f"digit_{n}", f"{n}", "type a value, or the digit a gate shows", "",
        f"digit('{n}')", "number", NO_VALUE) for n in range(10)),
    A("bench", "end", "enter,space", "all steps are closed: go back", "go back", "go", "ended"),
    A("bench", "logbook", "l", "the logbook", "logbook", "", "ended"),
    A("bench", "snooze", "z", "quiet the alarm on top for a minute; its line stays", "later", "", "alarm",
      "No alarm stands."),
    A("bench", "true_time", "t", "say how long a clock has run", "how long it ran", "", "unsure",
      "Every clock is right."),
    A("bench", "bands", "p", "tick bands as they are painted", "bands", "over('bands')", "bands",
      "{bench.bands} ticks bands while you paint, {bench.packets} keeps packets while they steam."),
    A("bench", "reading", "r", "a temperature: packet, lid, bath or room", "reading", "ask('reading')", "hot"),
    A("bench", "steam", "g", "the steam is lost: what needs it stands still", "steam lost", "", "steam",
      "The steam is not rolling yet, so it cannot be lost."),
    A("bench", "steam_back", "g", "the steam rolls again", "steam is back", "steam", "steam_lost"),
    A("bench", "refill", "f", "boiling water into the pot", "fill pot", "ask('refill')", "pot",
      "Pot water is topped up while it is hot; before that, correct its first filling with {bench.correct}."),
    A("bench", "acid", "d", "more acid into the bath", "acid", "ask('acid')", "acid",
      "Acid is added later only to a dye bath while it is on the heat."),
    A("bench", "packets", "p", "packets in and out of the steam", "packets", "over('packets')", "packets"),
    A("bench", "more", "c", "more of a colour, in its jar's own proportions", "more colour", "ask('more')", "mixed",
      "More of a colour is mixed once its paint is, and before the fibre is hot."),
    A("bench", "again", "y", "the rinse will not clear: set, cool and rinse again", "set again", "ask('again')",
      "rinsed", "A second set is for fibre that bleeds: rinse first and grade the water."),
    A("bench", "note", "n", "a note", "note", "ask('note')", "step"),
    A("bench", "earlier", "h", "what happened earlier, with its time; it moves a clock if it names one", "",
      "ask('earlier')", "step"),
    A("bench", "entry", "i", "a picture, a swatch, drops of your dropper, water left in the pot", "", "", "step"),
    A("bench", "why", "w", "why: equation, origin and source of every figure; cautions", "why", "", "step"),
    A("bench", "undo", "u", "take back the newest; it stays in the record", "undo", "", "undo",
      "There is nothing to take back."),
    A("bench", "take_back", "j", "choose what to take back, or what to bring back", "", "over('taking_back')",
      "takes_back", "There is nothing to take back."),
    A("bench", "big", "b", "a clock as large as the screen", "big clock", "", "step"),
    A("bench", "temperature", "r", "a temperature: packet, lid, bath or room", "reading",
      "ask('reading')", "not_hot"),
    A("bench", "value", "v", "give the value", "", "ask('value')", "value", NO_VALUE),
    A("bench", "not_measured", "m", "not measured, with a reason", "", "ask('not_measured')", "value", NO_VALUE),
    A("bench", "override", "o", "pass this gate or end this wait, with a reason", "", "ask('override')", "gate",
      "Only a gate, or a wait whose clock has not run out, is passed with a reason."),
    A("bench", "skip", "x", "leave this step out, with a reason", "", "ask('skip')", "left_out",
      "A step that starts a clock is not left out, nor a gate or a wait; {bench.override} passes those with a reason."),
    A("bench", "not_heard", "x", "the bell is not heard there, with a reason", "not heard", "ask('skip')", "bell"),
    A("bench", "correct", "k", "correct a value given earlier; the old one stays visible", "", "over('correct')",
      "given", "No value has been given yet."),
    A("bench", "extend", "e", "more or less time on the clock, with a reason", "", "", "clock", "No clock is running."),
    A("bench", "ahead", "a", "forecast: the blank unravelled and knitted", "", "", "blank", NO_ROWS),
    A("bench", "lock", "l", "lock the keys to wipe them", "lock", "", "step"),
    A("bench", "sound", "s", "ring the bell, to hear it from where you heat", "", "", "step"),
    A("bench", "leave", "q", "leave; the session stays open and its clocks go on", "leave"),
    A("painting", "paint", "enter,space", "paint the marked band, and on to the next", "paint"),
    *(A("painting", f"digit_{n}", f"{n}", "mark a band by its number", "go to", f"digit({n})", repeats=True)
      for n in range(10)),
    A("painting", "up", "up,left", "mark a band", "", "move(-1)", repeats=True),
    A("painting", "down", "down,right", "mark a band", "", "move(1)", repeats=True),
    A("painting", "coat", "plus,equals_sign,kp_plus", "another coat on the marked band", "coat"),
    A("painting", "turn", "t", "the other side, front or back", "turn"),
    A("painting", "jar", "o", "paint it from another jar", "other jar"),
    A("painting", "left", "j", "what is left in a jar", "left", "ask('left')"),
    A("painting", "more", "c", "more of a colour", "more", "ask('more')"),
    A("painting", "undo", "u", "take back the newest: a coat, a jar, a note", "undo", "", "undo",
      "There is nothing to take back."),
    A("painting", "note", "n", "a note", "note", "ask('note')"),
    A("painting", "leave", "escape,q,p", "back", "back"),
    A("packets", "packet_in", "i", "another packet goes in", "another in", "ask('packet_in')"),
    A("packets", "packet_out", "o", "the chosen packet came out", "out", "", "packet", "No packet is in yet."),
    A("packets", "leave", "escape,q,p", "back", "back"),
    A("correct", "choose", "enter", "type the right value, and why", "choose"),
    A("taking_back", "choose", "enter", "take the marked one back; a second time where a clock hangs on it",
      "take back", "", "stands"),
    A("taking_back", "bring", "enter", "bring back the marked one, which was taken back", "bring back", "choose",
      "brings"),
    A("taking_back", "leave", "escape,q", "back, nothing is taken back", "back"),
    *(A("finish", f"rate_{n}", f"{n}", "rate the marked line", "rate", f"rate('{n}')", "rating")
      for n in range(1, 6)),
    A("finish", "go", "enter,space", "says which digit closes the record", "", "", "closing",
      "A number from 1 to 5 rates the marked line; {finish.not_judged} leaves it unjudged."),
    A("finish", "not_judged", "m", "not judged, with a reason", "not judged", "ask('not_judged')", "rating"),
    A("finish", "note", "n", "a note", "note", "ask('note')"),
    A("finish", "undo", "u", "take back the newest", "undo", "", "undo", "There is nothing to take back."),
    A("finish", "leave", "escape,q", "back to the bench", "back"),
    A("entries", "photo", "p", "a picture, by its path in the studio folder", "picture", "answer('photo')"),
    A("entries", "swatch", "s", "rounds counted on a knitted swatch", "swatch", "answer('swatch')"),
    A("entries", "dropper", "d", "drops of your dropper, counted into a measure", "drops", "answer('dropper')"),
    A("entries", "pot", "w", "water that is left in the pot", "pot water", "answer('pot')", "steamed"),
    A("entries", "leave", "escape,q", "back, nothing is kept", "back"),
    A("leave", "yes", "y", "leave", "leave", "answer('leave')"),
    A("leave", "abandon", "a", "abandon the session for good (asks why)", "abandon", "answer('abandon')"),
    A("leave", "leave", "escape,enter,n,q,space", "stay", "stay"),
    A("big", "leave", "escape,b,q,enter,space", "back", "back"),
    A("glossary", "leave", "escape,w,q,enter,space", "back", "back"),
    A("why", "leave", "escape,w,q,enter,space", "back", "back"),
    A("card", "words", "w", "what the words on this screen mean, then all others", "words"),
    A("card", "leave", "escape,question_mark,f1,q,enter,space", "back", "back"),
    # -- the shelf ---------------------------------------------------------------------------------
    A("shelf", "choose", "enter", "look at what is under the bar", "look"),
    A("shelf", "add", "a", "a new entry of this kind", "add", "", "adds",
      "Water and studio are one entry: {shelf.choose} on a line changes it."),
    A("shelf", "question_before", "up", "the question before, with its answer", "", "", "adding"),
    A("shelf", "kind_before", "left", "to the other kinds of things", "kinds", "kind(-1)", repeats=True),
    A("shelf", "kind_after", "right", "to the other kinds of things", "kinds", "kind(1)", repeats=True),
    A("shelf", "used_up", "u", "what the newest finished session used up", "used up"),
    A("shelf", "shopping", "p", "a shopping list for some plans", "shopping"),
    A("entry", "choose", "enter", "change the value under the bar", "change"),
    A("entry", "remove", "d", "take it off the shelf; asks first", "take off", "", "removable",
      "Water and studio stay; {entry.choose} changes a value."),
    A("shopping", "mark", "space,enter", "the plan under the bar on or off the list", "on or off"),
    A("draw_down", "choose", "enter", "take what is under the bar off the shelf, or leave it", "take one", "",
      "taking", "Nothing is left to decide."),
    A("draw_down", "all", "a", "take all of it off the shelf; asks first", "take all", "", "taking",
      "Nothing is left to decide."),
    # -- sessions ----------------------------------------------------------------------------------
    A("habits", "why", "enter,w", "why: how it is measured and in which sessions", "why"),
    A("habits", "pin", "p", "pin it to a value of yours", "pin"),
    A("habits", "switch", "o", "off where it is on, on where it is off", "off or on"),
    A("logbook", "choose", "enter", "read the session under the bar", "read"),
    A("logbook", "find", "slash", "find words of titles, notes, dyes, colours, cautions", "find"),
    A("logbook", "mark", "space", "mark the session under the bar, or take its mark away", "mark"),
    A("logbook", "compare", "c", "what differs between the marked sessions", "compare"),
    A("logbook", "waiting", "f", "fastness tests that wait", "fastness tests"),
    A("logbook", "out", "q", "out of the logbook", "", "leave"),
    A("logbook", "leave", "escape", "out of the search, then out of the logbook", "back", "back"),
    A("session", "remark", "n", "a remark, added after the record", "remark"),
    A("session", "follow_up", "f", "its fastness tests", "tests"),
    A("session", "repeat", "r", "repeat it: a new plan from what you did", "repeat"),
    A("session", "entry", "i", "a picture, a swatch or drops, added after the record", "other entry"),
    A("session", "open_picture", "o", "open a picture", "pictures", "", "pictures",
      "This session has no picture; {session.entry} and {entries.photo} keep one."),
    A("session", "go_on", "c", "continue it in a new file; this one stays as it is", "continue", "", "goes_on",
      "Only a damaged session that was not finished is continued in a new file."),
    A("session", "why", "w", "why: equation, origin and source of its figures", "why"),
    A("session", "hand_over", "x", "labels, a web page, tables or text of it, written to a file", "labels, export"),
    A("hand_over", "labels", "l", "labels for skein and jars, to print and cut", "labels", "answer('labels')"),
    A("hand_over", "page", "h", "a web page, to read or print", "web page", "answer('html')"),
    A("hand_over", "tables", "t", "two tables for a spreadsheet, of events and of figures", "tables", "answer('csv')"),
    A("hand_over", "text", "m", "text with marks, as Markdown", "text", "answer('markdown')"),
    A("hand_over", "leave", "escape,q", "back, nothing is written", "back"),
    A("repeat", "save", "enter", "save it as a new plan", "save as new plan"),
    A("repeat", "next", "tab", "between weight and base", "next", "app.focus_next"),
    A("repeat", "leave", "escape", "back", "back"),
    A("follow", "choose", "enter", "what comes next: plan it, or grade it", "next"),
    A("follow", "grade", "g", "grade it by the grey scale", "grade"),
    A("follow", "plan", "p", "plan it for a day", "plan"),
    A("follow", "cancel", "x", "call it off", "call off"),
    A("waiting", "choose", "enter", "grade the test under the bar", "grade", "", "any_waiting",
      "None waits; {session.follow_up} on a session's page plans one."),
    # -- and the way out of all that is only looked at ---------------------------------------------
    *(A(where, "leave", "escape,q", "back", "back") for where in (
        "worksheet", "new_plan", "forecast", "day", "correct", "shelf", "entry", "shopping", "draw_down",
        "habits", "compare", "session", "follow", "waiting",
    )),
)  # fmt: skip


_EVERYWHERE = tuple(row for row in ACTIONS if row.where == "any")
NAMED_KEY = re.compile(r"\{(\w+\.\w+)\}")
_changed: dict[str, str] = {}


def declared(where: str) -> tuple[A, ...]:
    """The rows of a screen as they are declared, with those that hold everywhere before its way out."""
    own = tuple(row for row in ACTIONS if row.where == where)
    taken = {key for row in own for key in row.keys.split(",")}
    typed = all(row.does == BY_FOCUS for row in own)
    everywhere = () if typed else tuple(r for r in _EVERYWHERE if taken.isdisjoint(r.keys.split(",")))
    return (*(r for r in own if r.name not in AT_END), *everywhere, *(r for r in own if r.name in AT_END))


@cache
def rows_of(where: str) -> tuple[A, ...]:
    """The rows of a screen with the keys of this studio; of a field its own alone."""
    return tuple(
        msgspec.structs.replace(row, keys=_changed.get(row.id, row.keys), says=spoken(row.says))
        for row in declared(where)
    )


def spoken(sentence: str) -> str:
    """The sentence with the key of now for `{bench.override}`.

    >>> spoken("Press 3 when it is so, or pass it with a reason ({bench.override}); {home.new_plan} makes a plan.")
    'Press 3 when it is so, or pass it with a reason (O); N makes a plan.'
    """

    def key(named: re.Match[str]) -> str:
        row = _BY_ID.get(named[1])
        return written(_changed.get(row.id, row.keys).split(",")[0]) if row else named[0]

    return NAMED_KEY.sub(key, sentence)


_BY_ID = {row.id: row for row in ACTIONS}


KEYS_FILE = "keys.toml"
"""Where a studio has keys of its own, beside its shelf."""


def remap(wanted: Mapping[str, object]) -> list[str]:
    """Take the keys of a studio, by the id of their action; one sentence for each that keeps its own instead."""
    _changed.clear()
    rows_of.cache_clear()
    wrong = []
    for name, told in wanted.items():
        try:
            _changed[name] = _keys(name, told)
        except ValueError as problem:
            wrong.append(str(problem))
    rows_of.cache_clear()
    return wrong


def remapped() -> Mapping[str, str]:
    """The keys of the studio that are not as declared, by the id of their action."""
    return _changed


def _keys(name: str, told: object) -> str:
    row = _BY_ID.get(name)
    if row is None or row.does == BY_FOCUS:
        raise ValueError(f"{name} is no action with a key of its own; ? shows those of a screen.")
    keys = [key_of(part) for part in told.split(",")] if isinstance(told, str) else [""]
    if "" in keys:
        raise ValueError(f'{name} needs a key, for example "{row.keys}"; it stays at {written(row.keys)}.')
    here = declared(row.where) if row.where != "any" else ACTIONS
    for other in here:
        was = row.keys.split(",")
        taken = {*_changed.get(other.id, other.keys).split(",")} - {*was}
        if other.id != name and taken & {*keys}:
            raise ValueError(
                f"{name}: {written((taken & {*keys}).pop())} is the key of {other.id} already; "
                f"it stays at {written(was[0])}."
            )
    return ",".join(keys)
