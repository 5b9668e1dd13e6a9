"""The session's own sentences name keys of the bench; here they name what is written in a line."""

from __future__ import annotations

INSTEAD = (
    ("Press U to take it back.", "Write undo to take back the newest."),
    ("To end it early, press O and give a reason.", "To end it early, write override and a reason."),
    ("read it again (R)", "write reading and the degrees again"),
    ("reads less (R).", "reads less: write reading and the degrees."),
    ("press O to pass it with a reason.", "write override and a reason to pass it."),
    (
        "say first how long it has really been (T).",
        "write first how long it has really been: ran and the minutes.",
    ),
    ("write a note (N)", "write note and a remark"),
    ("type a few words, or press Esc to go back.", "type a few words, or Enter alone to go back."),
    (
        "Enter again if it is so; it will be marked.",
        "Write yes if it is so, and it will be marked; or type the value again.",
    ),
    ("correct the first filling (K).", "correct the first filling: write correct."),
    ("with boiling water (F)", "with boiling water, and write refill"),
    ("more (C) or paint drier.", "more, and write mix; or paint drier."),
    ("when it rolls again (G).", "when it rolls again, and write steam then."),
    ("correct it (K).", "write correct."),
    ("correct its water (K).", "write correct."),
    ("or add acid (D), ", "or add acid, and write acid and how much: "),
    ("Or M and a reason.", "Or write not measured and a reason."),
    ("hold it longer (E).", "hold it longer: write more, minutes and a reason."),
    ("has run (T).", "has run: write ran and the minutes."),
    (
        "+ gives it another, O names another jar.",
        "write band, its number and coat for another, or band, its number, from and another jar.",
    ),
    ("Enter closes it.", "Enter alone closes it."),
)


def for_lines(sentence: str) -> str:
    """The sentence with line commands in place of keys.

    >>> for_lines("A gate or a wait is not skipped; press O to pass it with a reason.")
    'A gate or a wait is not skipped; write override and a reason to pass it.'
    """
    for keys, words in INSTEAD:
        sentence = sentence.replace(keys, words)
    return sentence
