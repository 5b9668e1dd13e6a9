"""Text is made safe to show."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wcwidth import wcswidth

from studio.plaintext import clean, osc_text, slug

ANY = st.text(st.characters(), max_size=300)
STEERS = [
    chr(c) for c in (*range(0x20), *range(0x7F, 0xA0), 0x61C, 0x200E, 0x200F, *range(0x202A, 0x202F))
] + [chr(c) for c in (*range(0x2066, 0x206A), 0x2028, 0x2029, 0xFEFF, 0xD800, 0xDFFF)]


def test_each_steering_character_becomes_visible():
    for character in STEERS:
        code = f"\\x{ord(character):02x}" if ord(character) < 256 else f"\\u{ord(character):04x}"
        assert clean(f"a{character}b") == f"a{code}b"


@given(ANY, st.integers(0, 60), st.booleans())
def test_whatever_the_text_it_is_safe_and_fits(text, limit, multiline):
    shown = clean(text, limit=limit, multiline=multiline)
    shown.encode("utf-8")
    assert not any(c in shown for c in STEERS if c != "\n" or not multiline)
    lines = shown.split("\n")
    # An outside measure of the width; it counts a few newer or unassigned characters differently.
    if all(unicodedata.category(c) not in ("Cn", "Cf", "Co", "Mc", "So", "Sk", "Lo") for c in shown):
        assert sum(wcswidth(line) for line in lines) <= limit


@given(st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=100))
def test_plain_text_is_left_alone(text):
    assert clean(text, limit=100) == text


def test_wide_and_zero_width_text():
    assert clean("染" * 200, limit=10) == "染" * 4 + "…"
    assert clean("e" + "\u0301" * 50) == "e" + "\u0301" * 4
    assert clean("\t1") == "\\x091"
    assert clean("a\tb\r\nc\x0bd", multiline=True) == "a    b\nc\\x0bd"
    assert len(clean("\u0301" * 1_000_000, limit=5)) <= 5


@pytest.mark.parametrize("markup", ["[/x]", "[red]", "[@click=app.quit]q[/]", "mordant [10%]", "[" * 90])
def test_markup_is_text(markup):
    assert clean(markup) == markup


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("../../etc/x", "etc-x"),
        ("/etc/x", "etc-x"),
        ("C:\\x", "c-x"),
        ("con", "con-session"),
        ("COM1", "com1-session"),
        ("nul.txt", "nul-txt"),
        ("a\0b", "a-b"),
        ("x" * 300, "x" * 40),
        ("", "session"),
        ("\U0001f9f6", "session"),
        ("--rf", "rf"),
        ("Grün & Blau", "grun-blau"),
        ("x" * 39 + " y", "x" * 39),
    ],
)
def test_names_of_files(title, name):
    assert slug(title) == name


@given(ANY)
def test_every_title_gives_a_name(title):
    assert re.fullmatch("[a-z0-9-]{1,40}", slug(title))
    assert not slug(title).startswith("-")


@given(ANY)
def test_titles_of_windows_cannot_end_the_sequence(text):
    assert not set(osc_text(text)) & {"\x1b", "\x07", "\x9c", "\n", ";"}
    assert len(osc_text(text)) <= 120 or not osc_text(text).isascii()
