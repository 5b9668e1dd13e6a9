"""Lines from pipes, terminals and threads, with a limit on the wait."""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Iterator

import pytest

from studio.lines.conversation import BEL, Printer
from studio.lines.prompt import (
    LONGEST_LINE,
    Arrival,
    LineCutter,
    Lines,
    Stopped,
    stdin_lines,
    stopping_cleanly,
)


@pytest.fixture
def pipe() -> Iterator[tuple[Lines, int]]:
    reader, writer = os.pipe()
    yield Lines(lambda: os.read(reader, 100)), writer
    os.close(reader)


def test_a_pipe_gives_lines_as_they_come_and_then_its_end(pipe: tuple[Lines, int]) -> None:
    lines, writer = pipe
    assert lines.next(0.01) is Arrival.NOTHING_YET
    os.write(writer, b"41.5 g\r\n\nno")
    assert [lines.next(5), lines.next(5), lines.next(0)] == ["41.5 g", "", Arrival.NOTHING_YET]
    os.write(writer, b"te\xff\nhalf")
    assert lines.next(5) == "note\ufffd"
    os.close(writer)
    assert lines.next(5) is Arrival.END
    assert lines.next(0) is Arrival.END
    assert lines.unfinished == "half"
    assert not lines.by_hand


def test_a_line_without_end_does_not_fill_the_memory() -> None:
    cutter = LineCutter()
    for _ in range(100):
        cutter.feed(b"x" * 10_000)
    cutter.feed(b"\nnext\n")
    first, second = cutter.take(), cutter.take()
    assert first is not None and len(first) == LONGEST_LINE
    assert second == "next"


def test_a_stream_without_line_endings_holds_up_nothing() -> None:
    lines = Lines(lambda: b"x" * 100)
    assert lines.next(0.05) is Arrival.NOTHING_YET
    lines.stop_for(signal.SIGTERM)
    with pytest.raises(Stopped):
        lines.next(0.05)


def test_a_stream_that_never_waits_is_asked_again_and_lines_beyond_the_first_pieces_are_left_there() -> None:
    pieces = iter([b"a\n", None, b"\xffb\r\n", *[b"x\n"] * 20, b""])
    lines = Lines(lambda: next(pieces))
    assert [lines.next(5), lines.next(5)] == ["a", "\ufffdb"]
    assert next(pieces) == b"x\n", "a file without end does not fill the memory"
    while (said := lines.next(5)) is not Arrival.END:
        assert said == "x"


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminal there")
def test_a_terminal_is_a_hand_and_its_loss_is_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    import pty

    master, slave = pty.openpty()
    monkeypatch.setattr(sys, "stdin", os.fdopen(slave))
    lines = stdin_lines()
    assert lines.by_hand
    os.write(master, b"half a cup\n")
    assert lines.next(2) == "half a cup"
    os.close(master)
    assert lines.next(2) is Arrival.END


def test_a_closed_standard_input_has_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert stdin_lines().next(5) is Arrival.END


def test_a_signal_comes_out_between_two_lines_and_the_handler_is_put_back(
    pipe: tuple[Lines, int],
) -> None:
    lines, writer = pipe
    before = signal.getsignal(signal.SIGTERM)
    with pytest.raises(Stopped) as stopped, stopping_cleanly(lines):
        os.kill(os.getpid(), signal.SIGTERM)
        lines.next(0)
    assert stopped.value.number == signal.SIGTERM
    assert signal.getsignal(signal.SIGTERM) is before
    os.close(writer)


def test_the_bell_ends_its_line_and_odd_characters_never_fail() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii", newline="\n")
    printer = Printer(stream)
    printer.ring("high", "x", False)
    printer.say("ALARM high: étuve…")
    printer.say("next")
    assert raw.getvalue() == f"ALARM high: etuve...{BEL}\nnext\n".encode()


def test_a_stream_that_is_gone_is_a_broken_pipe() -> None:
    class Gone(io.StringIO):
        def write(self, text: str) -> int:
            raise OSError(5, "Input/output error")

    with pytest.raises(BrokenPipeError):
        Printer(Gone()).say("anyone there?")
