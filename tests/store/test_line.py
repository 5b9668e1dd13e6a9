"""One event, one line, one way to write it."""

from __future__ import annotations

import json
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.session.folding import FIRST_PREV, Record
from studio.store.disk import LineError, Unstorable
from studio.store.line import MOST_BYTES, decode, encode

AT = "2026-11-25T06:36:38.123Z"


def sealed(body: str | bytes) -> bytes:
    """A line with a check sum that fits, whatever the body says; the body comes without its last brace."""
    head = body.encode() if isinstance(body, str) else body
    return head + b',"crc":"%08x"}' % zlib.crc32(head)


def with_data(data: str) -> bytes:
    return sealed(
        f'{{"at":"{AT}","boot":"9f3a12cd","boot_ns":123,"data":{data},"kind":"noted","n":12,"prev":"0badcafe"'
    )


def test_the_line_is_as_the_format_says():
    line = encode(
        Record(n=12, kind="step.done", at=AT, boot_ns=123, boot="9f3a12cd", data={"step": "presoak.in"}),
        "0badcafe",
    )
    head = (
        b'{"at":"2026-11-25T06:36:38.123Z","boot":"9f3a12cd","boot_ns":123,"data":{"step":"presoak.in"},'
        b'"kind":"step.done","n":12,"prev":"0badcafe"'
    )
    assert line == head + b',"crc":"' + format(zlib.crc32(head), "08x").encode() + b'"}\n'
    assert json.loads(line)["crc"] == decode(line[:-1]).crc


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(codec="utf-8")),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)
DATA = st.dictionaries(st.text(st.characters(codec="utf-8"), max_size=8), JSON, max_size=5)


@given(DATA, st.integers(1, 10**9), st.integers(0, 2**63 - 1))
def test_what_is_written_is_read_back(data, n, boot_ns):
    try:
        line = encode(Record(n=n, kind="noted", at=AT, boot_ns=boot_ns, boot="b", data=data), FIRST_PREV)
    except Unstorable:
        assert "\\ud" in json.dumps(data), "only lone surrogates may be refused here"
        return
    back = decode(line[:-1])
    assert (back.data, back.n, back.boot_ns, back.prev) == (data, n, boot_ns, FIRST_PREV)
    assert line.isascii()
    assert line.count(b"\n") == 1


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ('{"x":NaN}', "NaN is not a number"),
        ('{"x":-Infinity}', "Infinity is not a number"),
        ('{"x":1e999}', "Number out of range"),
        ('{"x":1,"x":2}', "the key x stands twice"),
        ('{"x":"\\ud800"}', "lone surrogate"),
        ('{"x":' + "9" * 5000 + "}", "Exceeds the limit"),
        ('{"x":' + "[" * 100_000 + "]" * 100_000 + "}", "nested more than 64 deep"),
        ('{"x":' + '{"y":' * 70 + "1" + "}" * 70 + "}", "nested more than 64 deep"),
        ('{"x": 1}', "one agreed way"),
        ('{"x":1.0e0}', "one agreed way"),
        ('{"b":1,"a":2}', "one agreed way"),
        ('{"x":"\\u0041"}', "one agreed way"),
        ("[]", "data is not a table"),
        ("{", "Expecting property name"),
        ('{"x":"' + "a" * MOST_BYTES + '"}', "longer than"),
    ],
)
def test_hostile_lines_are_refused_with_a_reason(data, reason):
    with pytest.raises(LineError) as caught:
        decode(with_data(data))
    assert reason in caught.value.reason
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ('"n":12', '"n":0', "n (is not|must be) a whole number"),
        ('"n":12', '"n":true', "n (is not|must be) a whole number"),
        ('"n":12', '"n":12.0', "n (is not|must be) a whole number"),
        ('"n":12', '"n":"12"', "n (is not|must be) a whole number"),
        ('"n":12', '"m":12', "not a whole line"),
        (AT, "2026-13-25T06:36:38.123Z", "not a UTC time"),
        (AT, "2026-11-25T06:36:38.123+01:00", "not a UTC time"),
        (AT, "2026-11-25T06:36:38Z", "not a UTC time"),
        ("0badcafe", "0BADCAFE", "prev is not eight"),
        ("noted", "", "kind must be a text"),
        ("noted", "k" * 101, "kind must be a text"),
        ('"boot_ns":123', '"boot_ns":-1', "boot_ns must be"),
    ],
)
def test_members_that_are_wrong(old, new, reason):
    good = with_data("{}").decode()
    with pytest.raises(LineError, match=reason):
        decode(sealed(good[: good.index(',"crc"')].replace(old, new)))


def test_bytes_that_are_no_text():
    with pytest.raises(LineError, match="not ASCII"):
        decode(sealed(with_data('{"x":"?"}').split(b',"crc"')[0].replace(b"?", b"\xff")))
    with pytest.raises(LineError, match="not ASCII"):
        decode(sealed(with_data('{"x":"?"}').split(b',"crc"')[0].replace(b"?", "é".encode())))


def test_an_upper_case_check_sum_is_refused():
    line = next(
        line for i in range(99) if (line := with_data(f'{{"x":{i}}}'))[-10:-2].upper() != line[-10:-2]
    )
    decode(line)
    with pytest.raises(LineError):
        decode(line[:-10] + line[-10:-2].upper() + b'"}')


@given(st.binary(max_size=200) | st.binary(max_size=200).map(sealed))
def test_no_bytes_raise_anything_else(raw):
    with pytest.raises(LineError):
        decode(raw)


@given(st.text(st.characters(), max_size=100).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_no_data_raises_anything_else(raw):
    try:
        decode(sealed(with_data("?").split(b',"crc"')[0].replace(b"?", raw)))
    except LineError as error:
        assert str(error).isprintable()


@pytest.mark.parametrize(
    "data",
    [
        {"x": float("nan")},
        {"x": float("inf")},
        {"x": "\ud800"},
        {"\udfff": 1},
        {1: "x"},
        {"x": 10**5000},
        {"x": object()},
        {"x": "a" * MOST_BYTES},
        {"x": {("a", "b"): 1}},
    ],
)
def test_what_cannot_be_kept_is_refused_before_anything_is_written(data):
    with pytest.raises(Unstorable) as caught:
        encode(Record(n=1, kind="noted", at=AT, boot_ns=1, boot="b", data=data), FIRST_PREV)
    assert caught.value.exit_code == 4
    assert str(caught.value).startswith("This cannot be kept in the session file: ")


def test_deep_data_is_refused():
    deep: list = []
    for _ in range(100_000):
        deep = [deep]
    with pytest.raises(Unstorable):
        encode(Record(n=1, kind="noted", at=AT, boot_ns=1, boot="b", data={"x": deep}), FIRST_PREV)


def test_tuples_become_lists():
    line = encode(Record(n=1, kind="noted", at=AT, boot_ns=1, boot="b", data={"x": (1, (2, 3))}), FIRST_PREV)
    assert decode(line[:-1]).data == {"x": [1, [2, 3]]}


AT_ONCE = """
import sys, threading
from pathlib import Path
from studio.store.reading import read_session
from studio.tables import rows
sys.setswitchinterval(1e-6)
together = threading.Barrier(4)
def read():
    together.wait()
    read_session(Path(sys.argv[1]))
    for table in (rows.dyes, rows.acids, rows.fibres, rows.dye_classes, rows.practice, rows.holds):
        table()
threads = [threading.Thread(target=read) for _ in range(4)]
for one in threads: one.start()
for one in threads: one.join()
"""


def test_four_threads_may_read_the_first_session_and_the_tables_at_once():
    """msgspec ended the program where two threads were the first to read into one shape."""
    sample = min((Path(__file__).resolve().parents[2] / "sessions").glob("*.jsonl"))
    ended = subprocess.run([sys.executable, "-c", AT_ONCE, str(sample)], capture_output=True, text=True)
    assert (ended.returncode, ended.stderr) == (0, "")
