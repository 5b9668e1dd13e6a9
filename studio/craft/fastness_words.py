"""What each grey-scale grade looks like, in our own words. House rule: no standard words its grades."""

from __future__ import annotations

CHANGE_WORDS = {
    "5": "no change to be seen, even edge to edge with the piece that was kept",
    "4-5": "a change that is only suspected, edge to edge in good light",
    "4": "a slight change, seen edge to edge and missed on its own",
    "3-4": "a small change, seen when the two lie beside each other",
    "3": "a plain change; two skeins like this will not pass for one lot in one piece",
    "2-3": "a strong change, seen at once from across the table",
    "2": "much of the colour is gone or turned; the shade is another one",
    "1-2": "most of the colour is gone or turned",
    "1": "hardly the same colour any more",
}
"""Change of the dyed piece against a part of it that was kept in the dark."""

STAINING_WORDS = {
    "5": "undyed cloth as clean as before",
    "4-5": "a trace of colour, seen only beside clean cloth",
    "4": "a slight tint, seen beside clean cloth and easily missed alone",
    "3-4": "a tint that is seen without looking for it",
    "3": "plainly coloured; wash it apart from anything pale",
    "2-3": "strongly coloured; wash it alone and cold",
    "2": "deeply coloured; more rinsing or another set is needed",
    "1-2": "very deeply coloured; most of what left the fibre is loose dye",
    "1": "nearly as deep as the dyed piece itself",
}
"""Colour that undyed cloth took up beside the dyed piece."""
