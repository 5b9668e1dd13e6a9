"""HTML exports: only known tags and attributes whatever the text, no script, the text still there."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest

from studio.craft.stripe.blank import Painting
from studio.craft.stripe.forecast import Forecast
from studio.craft.stripe.picture import Picture
from studio.plaintext import clean
from studio.plan.forecast import Foreseen, foresee
from studio.plan.reading import read_plan
from studio.plan.toml import read_text
from studio.report.export_html import (
    ACROSS,
    DOT,
    DrawnForecast,
    band_rows,
    draw,
    drawn_forecast,
    rests_on,
    session_html,
)
from studio.report.export_html import CLOTH_WIDTH as WIDTH
from studio.report.forecast import honesty_section
from studio.report.labels import YarnFacts, label_sheet
from studio.session.sheet import sheet_now
from studio.shelf.reading import load_shelf

ALLOWED = {
    "html": {"lang"},
    "meta": {"charset", "http-equiv", "content", "name"},
    "svg": {"class", "viewbox", "role", "aria-label"},
    "text": {"class", "x", "y", "text-anchor"},
    "rect": {"x", "y", "width", "height", "rx", "fill"},
    "td": {"class", "colspan"},
    "div": {"class", "style"},
    "p": {"class", "style"},
    **{tag: {"class"} for tag in ("th", "table", "span", "section", "pre")},
    **{tag: set() for tag in ("head", "title", "style", "body", "h1", "h2", "thead", "tbody", "tr", "br")},
    **{tag: set() for tag in ("footer", "ul", "li", "b")},
}
SAFE_STYLE = re.compile(r"(left: [0-9.]+mm(; top: [0-9.]+mm)?|top: auto; bottom: 8mm)")
EMPTY = {"meta", "br"}
SHARED = Path(__file__).resolve().parents[2] / "shared"


class Page(HTMLParser):
    """Reads a page and refuses what is not allowed."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.styles: list[str] = []
        self.metas: list[dict[str, str | None]] = []
        self.feed(html)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert tag in ALLOWED, tag
        assert {name for name, _ in attrs} <= ALLOWED[tag], (tag, attrs)
        assert len({name for name, _ in attrs}) == len(attrs)
        for name, value in attrs:
            if name == "style":
                assert SAFE_STYLE.fullmatch(value or ""), value
            if name == "class":
                assert re.fullmatch(r"[a-z ]+", value or ""), value
        if tag == "meta":
            self.metas.append(dict(attrs))
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        (self.styles if self.open[-1:] == ["style"] else self.words).append(data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(data)

    def handle_pi(self, data: str) -> None:
        raise AssertionError(data)

    def unknown_decl(self, data: str) -> None:
        raise AssertionError(data)


def made(source) -> dict[str, str]:  # type: ignore[no-untyped-def]
    name = source.state.title
    yarn = YarnFacts(((name, 60.0), ("silk", 40.0)), name, True)
    other = named(foreseen(), name)
    # The yarn is enough to draw: no cloth holds text of a file.
    drawn = msgspec.structs.replace(
        drawn_once(),
        cloths=drawn_once().cloths[1:2],
        bands=band_rows(other, run_once()[0]),
        rests_on=rests_on(other, run_once()[0]),
    )
    return {"page": session_html(source, forecast=drawn), "labels": label_sheet(source, yarn)}


@cache
def foreseen() -> Foreseen:
    """What the sample plan of the striped blank allows, on the sample shelf."""
    path = SHARED / "plans" / "tidewrack-stripes.plan.toml"
    plan = read_plan(read_text(path), name=path.name)
    return foresee(plan, load_shelf(SHARED))


@cache
def run_once() -> tuple[Forecast, Picture]:
    return foreseen().forecast(20), foreseen().picture()


@cache
def drawn_once() -> DrawnForecast:
    return draw(foreseen(), *run_once())


def named(foreseen: Foreseen, name: str) -> Foreseen:
    """The same with that name on every colour, as if a file had put it there."""
    palette = {key: msgspec.structs.replace(look, name=name) for key, look in foreseen.palette.items()}
    return msgspec.structs.replace(foreseen, palette=palette, notes=(name,))


def test_a_spread_of_the_studios_own_is_called_no_estimate_wherever_the_forecast_is_told() -> None:
    found, _ = run_once()
    for told, estimated in (("", True), ("yours, 3 swatches", False)):
        own = msgspec.structs.replace(foreseen(), spread_is=told)
        printed = " ".join(text for line in honesty_section(own, found).rows for text, _ in line)
        for said in (printed, " ".join(rests_on(own, found))):
            assert told in said and ("all three are estimates" in said) == estimated


def test_row_27_evil_text_is_only_ever_text(source_of, evil_corpus, sampled) -> None:
    plain = {kind: Page(html) for kind, html in made(source_of("20260912", "harmless")).items()}
    for evil in sampled(evil_corpus, 7):
        for kind, html in made(source_of("20260912", evil)).items():
            page = Page(html)
            assert page.tags == plain[kind].tags, evil
            assert page.styles == plain[kind].styles, evil
            shown = clean(evil, limit=60)[:12].strip()
            assert " ".join(shown.split()) in " ".join("".join(page.words).split()), evil
            for character in html.replace("\n", ""):
                assert character.isprintable() or character == "\u0301", repr(character)


@pytest.mark.parametrize("beginning", ["20260912", "20260926", "20261010", "20261031"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.one_in(3)
def test_a_page_needs_nothing_and_runs_nothing(source_of, beginning: str, paper) -> None:
    source = source_of(beginning)
    drawn = drawn_once()
    for html in (
        session_html(source, paper=paper, forecast=drawn),
        label_sheet(source, YarnFacts(), paper=paper),
    ):
        page = Page(html)
        policy = [m["content"] for m in page.metas if m.get("http-equiv") == "Content-Security-Policy"]
        assert policy == ["default-src 'none'; style-src 'unsafe-inline'"]
        assert f"size: {paper};" in page.styles[0]
        assert "url(" not in html and "@import" not in html and "http" not in html.replace("http-equiv", "")
        assert source.name in html and source.sha256 in html and "potside 0.1.0" in html


def test_the_page_tells_the_session_and_every_figure(source_of) -> None:
    source = source_of()
    flat = " ".join(" ".join(Page(session_html(source)).words).split())
    for words in (
        "misread the wool scale",
        "was 98.5",
        "steam lost for 4 min",
        "rinsed clear 4 of 5",
        "192 g",
    ):
        assert words in flat
    for figure in sheet_now(source.state).figures:
        assert " ".join(figure.because.split()) in flat and " ".join(figure.label.split()) in flat
    assert 'base = "harbour sock blank"' in flat


def test_the_forecast_is_on_the_page_with_its_odds_and_what_it_rests_on(source_of) -> None:
    without = session_html(source_of())
    drawn = drawn_forecast(foreseen(), 200)
    page = Page(session_html(source_of(), forecast=drawn))
    flat = " ".join(" ".join(page.words).split())
    assert "forecast" not in without.casefold() and page.tags.count("svg") == 1 + len(drawn.bands)
    for words in (
        "chance of a solid",
        "no record of what came out",
        "200 simulated paintings",
        "all three are estimates",
    ):
        assert words in flat, words
    assert [b.name for b in drawn.bands] == ["rust", "bare", "deep water"]
    assert "Forecast of blank, yarn and fabric; rust 12 rows:" in drawn.told


def test_bands_are_drawn_where_the_plan_has_them() -> None:
    """Painted exactly, 12 rows rust, 8 bare, 12 deep water, 8 bare on 220 rows: edges at 12, 20, 32 and 40 of 220."""
    exact = msgspec.structs.replace(foreseen(), painting=Painting(spread=0.0, tilt=0.0, wander=0.0))
    drawn = drawn_forecast(exact, 1)
    blank = drawn.cloths[0].stretches
    first = [s for s in blank if s.y == blank[0].y]
    assert [s.x for s in first[1:5]] == pytest.approx([720 * n / 220 for n in (12, 20, 32, 40)], abs=DOT)
    assert "Exact geometry" in drawn.rests_on[0]
    for cloth in drawn.cloths:
        for y in {s.y for s in cloth.stretches}:
            line = [s for s in cloth.stretches if s.y == y]
            assert line[0].x == 0 and line[-1].x + line[-1].width == pytest.approx(WIDTH)
            assert all(b.x == pytest.approx(a.x + a.width - 0.2) for a, b in pairwise(line))
            assert len(line) <= ACROSS and all(re.fullmatch("#[0-9a-f]{6}", s.hex) for s in line)
    assert max(s.y + s.height for c in drawn.cloths for s in c.stretches) <= drawn.height


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


@pytest.mark.deep
@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
@pytest.mark.parametrize("kind", ["page", "labels"])
def test_a_browser_draws_it_and_runs_nothing_of_it(source_of, tmp_path: Path, kind: str) -> None:
    """The page's text would change its own title if any of it ran; the PNG holds something."""
    evil = "<script>document.title='owned'</script><img src=x onerror=\"document.title='owned'\">"
    path, png = tmp_path / "page.html", tmp_path / "page.png"
    path.write_text(made(source_of("20260912", evil))[kind], encoding="utf-8")
    quiet = (
        "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking"
    )
    quiet += " --disable-component-update --disable-sync --window-size=900,1200"
    start = [CHROMIUM, *quiet.split(), f"--user-data-dir={tmp_path / 'profile'}"]
    run = {"capture_output": True, "timeout": 60, "check": True}
    subprocess.run([*start, f"--screenshot={png}", path.as_uri()], **run)
    assert png.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n" and png.stat().st_size > 10_000
    dom = subprocess.run([*start, "--dump-dom", path.as_uri()], **run).stdout.decode()
    assert "<title>owned" not in dom and "<img" not in dom and "<script" not in dom
